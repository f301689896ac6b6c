"""What a revision changes is told field by field; names stay out of the short form."""

from datetime import date

from pipeline.facts.differences import changed_fields, differences
from pipeline.facts.job import Job
from pipeline.facts.record import record_of
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.jobs import JobRow


def record(occupier, *circuits, photos=None):
    rows = tuple(
        Circuit(job="A-1", board="MAIN", circuit=name, description=what, typed={"circuit": name, "description": what})
        for name, what in circuits
    )
    row = JobRow(job="A-1", occupier=occupier, typed={"job": "A-1", "occupier": occupier})
    return record_of(Job(row=row, circuits=rows, photo_sums=photos or {}), [], {}, date(2026, 11, 24))


def test_each_value_that_differs_is_named_with_both_sides_in_the_order_of_the_sheets():
    before = record("Sam Sample", ("1", "charge point"), ("2", "sockets"))
    after = record("Robin Sample", ("2", "lights"), ("1", "charge point"))
    assert [(each.field, each.before, each.after) for each in differences(before, after)] == [
        ("Jobs Occupier", "Sam Sample", "Robin Sample"),
        ("Circuits MAIN 2 Description", "sockets", "lights"),
    ]


def test_equal_records_have_no_differences():
    assert differences(record("Sam"), record("Sam")) == []


def test_rows_and_photos_that_come_or_go_are_told():
    found = differences(record("Sam"), record("Sam", ("1", "charge point"), photos={"a.jpg": "ab" * 32}))
    assert {(each.sheet, each.before) for each in found} == {("Circuits", ""), ("Photos", "")}


def test_the_short_form_names_fields_and_nobody():
    line = changed_fields(record("Sam Sample"), record("Robin Sample"))
    assert line == "Jobs Occupier"


def test_a_long_list_is_cut_and_counted():
    many = [(str(each), "charge point") for each in range(20)]
    assert changed_fields(record("Sam"), record("Sam", *many)).endswith(" more")
