"""Rows become records: what is blank, what belongs to nobody, and what one cause does to many cells."""

from datetime import date

import pytest

from pipeline.facts.field import Mark, Place
from pipeline.facts.findings import Verdict
from pipeline.workbook.parsed import did_you_mean
from tests.workbook.spoilt import JOB, TWO_JOBS, place, sound_rows, spoil, told, typed


def test_a_sound_job_has_nothing_to_tell():
    assert typed(sound_rows()).findings == ()


@pytest.mark.parametrize("attribute", ["zs", "insulation_le", "polarity"])
def test_a_blank_reading_of_a_tested_job_fails(attribute):
    week = spoil("Readings", attribute, None)
    assert [(each.rule, each.verdict, each.places) for each in week.findings] == [
        ("cell_is_filled", Verdict.FAIL, (place("Readings", attribute),))
    ]


def test_a_job_still_to_visit_needs_no_readings():
    rows = sound_rows()
    rows["Jobs"][0]["state"] = "to visit"
    rows["Readings"][0].update(zs=None, polarity=None)
    assert told(typed(rows)) == set()


def test_a_job_still_to_visit_needs_its_design():
    rows = sound_rows()
    rows["Jobs"][0]["state"] = "to visit"
    rows["Circuits"][0]["length"] = None
    assert told(typed(rows)) == {("cell_is_filled", "fail", JOB)}


def test_a_row_with_nothing_but_its_job_is_told_once():
    rows = sound_rows()
    rows["Supplies"] = [{"job": JOB}]
    week = typed(rows)
    assert told(week) == {("cell_is_filled", "fail", JOB)}
    assert len(week.findings) == 1
    assert "cells of this row are blank" in week.findings[0].message
    assert place("Supplies", "ze") in week.findings[0].places


@pytest.mark.parametrize(("job", "hint"), [(None, ""), ("LN-1O1", "Did you mean 'LN-101'?"), ("Total", "")])
def test_a_row_of_no_job_fails_for_itself_alone(job, hint):
    rows = sound_rows()
    rows["Readings"].append({**rows["Readings"][0], "job": job, "attempt": 2, "zs": "O.62"})
    week = typed(rows)
    assert told(week) == {("row_belongs_to_a_job", "fail", "")}
    assert week.findings[0].places == (place("Readings", "job", 4),)
    assert hint in week.findings[0].message
    assert len(week.jobs[0].readings) == 1


@pytest.mark.parametrize(
    ("sheet", "typed_as", "hint"),
    [
        ("Supplies", "LN-1O1", "Did you mean 'LN-101'?"),
        ("Supplies", "LN-110", "Did you mean 'LN-101'?"),
        ("Supplies", "ln101", "Did you mean 'LN-101'?"),
        ("Readings", "LN-104", "Did you mean 'LN-101'?"),
        ("Readings", "XY-7", "is not on the sheet 'Jobs'. Nothing"),
    ],
)
def test_a_job_that_lacks_its_row_is_suggested_and_none_that_has_it(sheet, typed_as, hint):
    rows = sound_rows(*TWO_JOBS)
    rows[sheet][0]["job"] = typed_as
    [lost] = [each for each in typed(rows).findings if each.rule == "row_belongs_to_a_job"]
    assert hint in lost.message
    assert f"'{TWO_JOBS[1]}'?" not in lost.message


def test_a_job_to_visit_is_not_suggested_for_its_readings():
    rows = sound_rows(*TWO_JOBS)
    rows["Jobs"][0]["state"] = "to visit"
    rows["Readings"][0]["job"] = "LN-104"
    [lost] = [each for each in typed(rows).findings if each.rule == "row_belongs_to_a_job"]
    assert "Did you mean" not in lost.message


def test_names_that_are_equally_near_are_offered_together_and_many_are_not():
    assert did_you_mean("TD-7", ["TD-7T", "TD-7S", "ZZ-1"]) == " Did you mean 'TD-7T' or 'TD-7S'?"
    assert did_you_mean("TD-7", [f"TD-7{letter}" for letter in "ABCD"]) == ""


def test_a_name_that_a_default_gives_and_no_list_has_is_told_once_at_the_default():
    rows = sound_rows(*TWO_JOBS)
    for row in rows["Jobs"]:
        row["designer"] = None
    rows["Defaults"] = [{"sheet": "Jobs", "column": "Designer", "value": "NOBODY"}]
    [found] = [each for each in typed(rows).findings if each.rule == "reference_is_listed"]
    assert found.job == ""
    assert found.places == (place("Defaults", "value"),)


@pytest.mark.parametrize(
    ("sheet", "attribute", "expected"),
    [
        ("Circuits", "length", "a number in m, usually 1 to 300 (To the metre)"),
        ("Supplies", "looped", "one of: yes; no; unknown"),
        ("Jobs", "client", "words"),
    ],
)
def test_a_blank_says_what_belongs_there(sheet, attribute, expected):
    [found] = spoil(sheet, attribute, None).findings
    assert found.expected == expected


def test_a_job_without_a_name_is_no_job():
    rows = sound_rows(*TWO_JOBS)
    rows["Jobs"][1]["job"] = None
    week = typed(rows)
    assert [each.reference for each in week.jobs] == [JOB]
    assert ("row_belongs_to_a_job", "fail", "") in told(week)
    assert told(week, job=JOB) == set()


@pytest.mark.parametrize(
    "name",
    [
        "../../etc/x",
        "CON",
        "nul",
        "COM1",
        "J1.",
        "J/1",
        "J:1",
        "J\n1",
        "J" * 300,
        "J\u200b1",
        "J\u00a01",
        "Jа1",
        "J 1",
        "-J1",
    ],
)
def test_a_job_with_a_bad_name_is_held_and_the_others_go_on(name):
    rows = sound_rows(*TWO_JOBS)
    for given in rows.values():
        for row in given:
            if row.get("job") == JOB:
                row["job"] = name
    week = typed(rows)
    bad, good = week.jobs
    assert bad.reference.isprintable()
    assert told(week) == {("key_is_plain", "fail", bad.reference)}
    assert len([each for each in week.findings if each.verdict is Verdict.FAIL]) == 1
    assert len(bad.readings) == len(good.readings) == 1


def test_two_names_that_only_look_alike_are_two_jobs():
    rows = sound_rows(*TWO_JOBS)
    rows["Jobs"][1]["job"] = "LN-\u200b101"
    week = typed(rows)
    assert [each.reference for each in week.jobs] == [JOB, "LN-⟨U+200B⟩101"]


@pytest.mark.parametrize("name", ["LN-101 ", " LN-101", "LN-101\u00a0"])
def test_blanks_around_a_job_are_left_out_with_a_note(name):
    week = spoil("Readings", "job", name)
    assert told(week) == {("key_is_plain", "note", JOB)}
    assert len(week.jobs[0].readings) == 1


def test_every_mapped_cell_has_its_place_and_only_filled_ones_what_was_typed():
    reading = typed(sound_rows()).jobs[0].readings[0]
    assert set(reading.at) == set(reading.fields())
    assert "remarks" in reading.at
    assert "remarks" not in reading.typed
    assert reading.typed["zs"] == "0.32"
    assert typed(sound_rows()).jobs[0].row.typed["surveyed"] == "2026-10-21"


def test_a_limitation_takes_its_reason_from_the_row():
    rows = sound_rows()
    rows["Readings"][0].update(zs="LIM", limitation_reason="Board locked")
    week = typed(rows)
    assert told(week) == set()
    assert (week.jobs[0].readings[0].zs.mark, week.jobs[0].readings[0].zs.reason) == (Mark.LIMITATION, "Board locked")


def test_a_limitation_takes_its_reason_from_the_job():
    rows = sound_rows()
    rows["Jobs"][0]["limitations"] = "Intake sealed"
    rows["Supplies"][0]["ze"] = "LIM"
    assert typed(rows).jobs[0].supply.ze.reason == "Intake sealed"


def test_a_date_that_can_be_two_days_is_read_only_where_another_proves_the_day_first():
    alone = spoil("Jobs", "surveyed", "03/04/2026")
    assert alone.jobs[0].row.surveyed is None
    assert told(alone) == {("date_order_is_clear", "query", JOB)}
    rows = sound_rows()
    rows["Jobs"][0].update(surveyed="03/04/2026", next_inspection="16/11/2036")
    assert typed(rows).jobs[0].row.surveyed == date(2026, 4, 3)


def test_one_date_with_the_month_first_makes_the_others_doubtful():
    rows = sound_rows()
    rows["Jobs"][0].update(surveyed="03/04/2026", designed="04/25/2026")
    week = typed(rows)
    assert told(week) == {("date_order_is_clear", "fail", JOB), ("date_is_possible", "fail", JOB)}


def test_a_column_that_goes_wrong_from_a_row_on_is_told_once_a_job():
    rows = sound_rows()
    first = rows["Readings"][0]
    rows["Readings"] = [{**first, "attempt": n} for n in range(1, 10)]
    for row in rows["Readings"][3:]:
        row["zs"] = "confirmed"
    week = typed(rows)
    assert len(week.findings) == 1
    finding = week.findings[0]
    assert finding.places == (Place("Readings", "L6:L11"),)
    assert "from row 6 to row 11" in finding.message


def test_a_run_through_several_jobs_is_told_to_each():
    rows = sound_rows(*TWO_JOBS)
    first, second = rows["Readings"]
    rows["Readings"] = [
        *({**first, "attempt": n} for n in range(1, 5)),
        *({**second, "attempt": n} for n in range(1, 5)),
    ]
    for row in rows["Readings"]:
        row["zs"] = "confirmed"
    assert sorted((each.job, str(each.places[0])) for each in typed(rows).findings) == [
        (TWO_JOBS[0], "Readings L3:L6"),
        (TWO_JOBS[1], "Readings L7:L10"),
    ]


def test_four_cells_are_told_one_by_one():
    rows = sound_rows()
    rows["Readings"] = [{**rows["Readings"][0], "attempt": n, "zs": "confirmed"} for n in range(1, 5)]
    assert len(typed(rows).findings) == 4


def test_a_firm_that_was_never_filled_in_is_told_at_its_row():
    rows = sound_rows()
    rows["Firm"] = []
    week = typed(rows)
    assert told(week) == {("cell_is_filled", "fail", "")}
    assert place("Firm", "name") in week.findings[0].places
    assert week.jobs[0].firm.at["name"] == place("Firm", "name")


def test_a_remark_on_no_aspect_fails_with_what_was_meant():
    rows = sound_rows()
    rows["Inspection remarks"] = [{"job": JOB, "aspect": "State of the intakes", "remark": "Old but sound"}]
    week = typed(rows)
    assert told(week) == {("reference_is_listed", "fail", JOB)}
    assert "Did you mean 'State of the intake'?" in week.findings[0].message


def test_all_rows_that_name_one_unknown_job_are_told_as_one():
    rows = sound_rows(*TWO_JOBS)
    rows["Jobs"] = rows["Jobs"][:1]
    week = typed(rows)
    lost = [each for each in week.findings if each.rule == "row_belongs_to_a_job"]
    assert len(lost) == 1
    assert {each.sheet for each in lost[0].places} == {
        "Supplies", "Boards", "Circuits", "Readings", "Charge points", "Inspections",
    }  # fmt: skip


def test_a_blank_row_says_how_many_cells_are_found_and_expected():
    rows = sound_rows()
    rows["Firm"] = []
    whole = next(each for each in typed(rows).findings if each.places[0].sheet == "Firm")
    assert whole.found == "6 blank cells"
    assert whole.message.startswith("6 cells of this row are blank")
    assert whole.expected == "a value in each of them"


@pytest.mark.parametrize(
    ("sheet", "attribute", "source"),
    [
        ("Firm", "telephone", "the firm's own papers"),
        ("People", "name", "the person's own papers"),
        ("Instruments", "serial", "calibration certificate"),
        ("Models", "designation", "the maker's instructions"),
        ("Readings", "zs", "the site sheet"),
    ],
)
def test_the_remedy_sends_the_reader_to_where_the_value_is_found(sheet, attribute, source):
    remedies = {each.remedy for each in spoil(sheet, attribute, None).findings}
    assert any(source in each for each in remedies)
    assert sheet == "Readings" or not any("site sheet" in each for each in remedies)


@pytest.mark.parametrize(("text", "swapped"), [("11/31/2026", True), ("31/11/2026", False)])
def test_a_day_that_no_calendar_has_is_told_how_dates_are_read_where_the_month_seems_to_stand_first(text, swapped):
    [finding] = spoil("Jobs", "energised", text).findings
    assert finding.rule == "date_is_possible"
    assert ("are read with the day first" in finding.message) is swapped


def test_only_what_can_do_the_thing_is_suggested_for_a_name_that_is_not_listed():
    rows = sound_rows()
    for sheet in ("Instruments", "Accuracies"):
        for row in rows[sheet]:
            row["instrument"] = {"T1": "TM1"}.get(row["instrument"], row["instrument"])
    rows["Charge points"][0]["torque_tool"] = "TQ7"
    messages = [each.message for each in typed(rows).findings]
    assert [each for each in messages if each.startswith("'T1'")] == [
        "'T1' is not on the sheet 'Instruments'. Did you mean 'TM1'? The same in 2 cells."
    ]
    assert [each for each in messages if each.startswith("'TQ7'")] == [
        "'TQ7' is not on the sheet 'Instruments'. Did you mean 'TQ1' or 'TQ2'?"
    ]


def test_blanks_around_one_name_are_noted_once_a_job_and_not_for_each_row_that_has_it():
    rows = sound_rows()
    for sheet in rows.values():
        for row in sheet:
            row.update({"job": f"{JOB} "} if row.get("job") else {})
    [note] = typed(rows).findings
    assert note.places[0] == place("Jobs", "job")
    assert "The same in" in note.message


@pytest.mark.parametrize(
    ("sheet", "subject"),
    [
        ("Readings", "Readings: Board DB1, Circuit 9, Attempt 1"),
        ("Charge points", "Charge points CP1"),
        ("Supplies", "Supplies row 3"),
    ],
)
def test_a_row_is_called_by_what_each_of_its_names_names(sheet, subject):
    rows = sound_rows()
    rows["Readings"][0].update(board="DB1", circuit="9", attempt=1)
    [name] = [name for name in ("zs", "serial", "ze") if name in rows[sheet][0]]
    rows[sheet][0][name] = "?"
    assert subject in {each.subject for each in typed(rows).findings}
