"""One slip is told once: what only follows from it waits until it is mended."""

from datetime import date

import pytest

from pipeline.demo.spoil import find_row, keep_jobs, set_cell
from pipeline.demo.week import TODAY, demo_rows
from pipeline.facts.findings import Verdict
from pipeline.stages.check import check
from pipeline.stages.decide import decide_all
from pipeline.stages.validate import type_week
from pipeline.telling import holding
from pipeline.workbook.cells import from_plain
from pipeline.workbook.child import open_workbook
from pipeline.workbook.write import write_workbook

JOB, OTHER = "LN-101", "LN-102"


@pytest.fixture
def told(tmp_path):
    """What the office is told of a week's first job, as rule and verdict."""

    def judge(rows, job=JOB):
        path = tmp_path / "week.xlsx"
        write_workbook(path, rows)
        week = type_week(from_plain(open_workbook(path.read_bytes()), path.name, "0" * 64), TODAY, None)
        decisions = decide_all(check(week), None, {})
        [mine] = [each for each in decisions if each.reference == job]
        return [(each.rule, each.verdict) for each in holding(mine)]

    return judge


def sound(*jobs):
    return {**keep_jobs(demo_rows(), *(jobs or (JOB,))), "Photos": []}


def again(rows, sheet, **changes):
    rows[sheet].append({**find_row(rows, sheet, JOB), **changes})
    return rows


FAIL = Verdict.FAIL


def test_a_circuit_under_the_name_of_a_board_that_there_is_not_is_told_at_the_circuit_alone(told):
    rows = sound()
    find_row(rows, "Circuits", JOB)["board"] = "XX9"
    assert told(rows) == [("references_lead_to_a_row_of_the_job", FAIL)]


def test_a_sound_job_has_nothing_to_tell(told):
    assert told(sound()) == []


@pytest.mark.parametrize(
    ("sheet", "attribute", "typed"),
    [
        ("Jobs", "premises", "house"),
        ("Jobs", "work", "new circut"),
        ("Supplies", "earthing_system", "TNCS"),
        ("Readings", "instrument", "T9"),
        ("Charge points", "open_pen", "devise"),
        ("Charge points", "model", "TD-7"),
        ("Circuits", "rcd_type", "AA"),
        ("Readings", "zs", "O.32"),
    ],
)
def test_a_word_that_cannot_be_read_raises_no_alarm_of_other_rules(told, sheet, attribute, typed):
    found = told(set_cell(sound(), sheet, JOB, attribute, typed))
    assert len(found) == 1
    assert found[0][1] is FAIL


@pytest.mark.parametrize("sheet", ["Boards", "Circuits", "Readings", "Charge points"])
@pytest.mark.parametrize("changes", [{}, {"description": "another"}])
def test_a_row_that_stands_twice_is_told_as_that_alone(told, sheet, changes):
    changes = {name: value for name, value in changes.items() if name in find_row(sound(), sheet, JOB)}
    assert told(again(sound(), sheet, **changes)) == [("rows_are_entered_once", FAIL)]


@pytest.mark.parametrize(("sheet", "value"), [("Readings", "77"), ("Charge points", "77")])
def test_a_circuit_misnamed_once_is_told_where_it_is_misnamed(told, sheet, value):
    assert told(set_cell(sound(), sheet, JOB, "circuit", value)) == [("references_lead_to_a_row_of_the_job", FAIL)]


def test_a_circuit_that_is_missing_is_told_once_with_every_cell_that_names_it(told):
    rows = sound()
    rows["Circuits"] = []
    assert told(rows) == [("references_lead_to_a_row_of_the_job", FAIL)]


@pytest.mark.parametrize("sheet", ["Supplies", "Inspections"])
def test_a_missing_row_is_told_as_that_alone(told, sheet):
    assert told({**sound(), sheet: []}) == [("single_rows_are_there", FAIL)]


def test_a_missing_charge_point_is_told_by_its_count(told):
    assert told({**sound(), "Charge points": []}) == [("points_equal_their_control_total", FAIL)]


def test_a_design_date_to_come_is_told_as_that_alone(told):
    assert told(set_cell(sound(), "Jobs", JOB, "designed", date(2026, 12, 24))) == [("days_are_not_to_come", FAIL)]


def test_a_figure_out_of_its_range_is_told_by_the_rule_that_knows_more(told):
    assert told(set_cell(sound(), "Readings", JOB, "rcd_time", 4)) == [("rcds_trip_in_time", Verdict.QUERY)]


def test_a_voltage_that_no_supply_has_does_not_make_the_loop_odd(told):
    assert told(set_cell(sound(), "Supplies", JOB, "voltage_l1", 23)) == [
        ("supply_voltage_is_within_its_band", Verdict.QUERY)
    ]


def test_test_results_of_a_job_to_visit_hold_it_until_the_state_is_right(told):
    assert told(set_cell(sound(), "Jobs", JOB, "state", "to visit")) == [
        ("jobs_to_visit_have_no_test_results", Verdict.FAIL)
    ]
