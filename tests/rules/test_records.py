"""What was written down: counted, entered once, leading somewhere."""

from rules.honest import (
    board_row,
    build,
    but,
    change,
    circuit_row,
    found,
    judge,
    planned,
    point_row,
    readings_row,
    supply_row,
    verdicts,
)

from pipeline.facts.findings import Verdict
from pipeline.facts.rows.inspections import Inspection
from pipeline.facts.rows.supply import Supply

FAIL, PASS, QUERY = Verdict.FAIL, Verdict.PASS, Verdict.QUERY


def test_a_lost_circuit_fails_the_control_total():
    job = but(build(), "row", circuits_total=12)
    assert judge("circuits_equal_their_control_total", job) == [("Job", FAIL)]
    assert judge("circuits_equal_their_control_total", build()) == [("Job", PASS)]


def test_a_blank_control_total_is_not_assessed():
    job = but(build(), "row", circuits_total=None)
    assert judge("circuits_equal_their_control_total", job) == [("Job", Verdict.NOT_ASSESSED)]


def test_a_lost_charge_point_fails_the_control_total():
    assert judge("points_equal_their_control_total", build(points=())) == [("Job", FAIL)]


def test_the_same_circuit_number_twice_in_one_board_fails():
    job = build(circuits=(circuit_row(), circuit_row(length=20)))
    assert judge("rows_are_entered_once", job) == [("Board MAIN, circuit 9", FAIL)]


def test_a_second_attempt_is_no_second_row():
    job = build(readings=(readings_row(zs=1.5), readings_row(attempt=2)))
    assert judge("rows_are_entered_once", job) == [("Job", PASS)]
    twice = build(readings=(readings_row(), readings_row()))
    assert judge("rows_are_entered_once", twice) == [("Board MAIN, circuit 9", FAIL)]


def test_references_to_rows_that_are_not_there_fail_at_their_cell():
    rule = "references_lead_to_a_row_of_the_job"
    assert judge(rule, build()) == [("Job", PASS)]
    assert judge(rule, build(points=(point_row(circuit="8"),))) == [("Charge point CP1", FAIL)]
    assert judge(rule, build(readings=(readings_row(board="SUB"),))) == [("Board SUB, circuit 9", FAIL)]
    assert judge(rule, but(build(), "points", scheme="LM1")) == [("Charge point CP1", FAIL)]
    assert judge(rule, but(build(), "boards", fed_board="SUB", fed_circuit="1")) == [("Board MAIN", FAIL)]


def test_boards_that_feed_each_other_fail():
    loop = (
        board_row(fed_board="SUB", fed_circuit="1"),
        board_row(board="SUB", fed_board="MAIN", fed_circuit="2"),
    )
    assert verdicts("boards_are_fed_from_the_intake", build(boards=loop)) == {FAIL}
    assert verdicts("boards_are_fed_from_the_intake", build()) == {PASS}


def test_two_points_on_one_final_circuit_fail():
    rule = "final_circuits_serve_one_point"
    assert verdicts(rule, build(points=(point_row(), point_row(point="CP2")))) == {FAIL}
    assert verdicts(rule, build(points=())) == {FAIL}
    assert verdicts(rule, build()) == {PASS}
    assert verdicts(rule, but(build(), "circuits", feeds="distribution circuit")) == {FAIL}
    old = but(build(points=()), "circuits", new="existing")
    assert verdicts(rule, old) == {Verdict.NOT_APPLICABLE}


def test_a_tested_circuit_without_readings_fails_and_a_planned_one_is_spared():
    rule = "new_circuits_have_readings"
    assert judge(rule, build(readings=())) == [("Board MAIN, circuit 9", FAIL)]
    assert judge(rule, planned(build())) == []
    feeder = circuit_row(circuit="1", feeds="distribution circuit", new="existing")
    assert judge(rule, build(circuits=(feeder,), points=(), readings=())) == [
        ("Board MAIN, circuit 1", Verdict.NOT_APPLICABLE)
    ]


def test_a_job_without_supply_or_inspection_fails():
    rule = "single_rows_are_there"
    assert judge(rule, build(supply=Supply())) == [("Job", FAIL), ("Job", PASS)]
    assert judge(rule, build(inspection=Inspection())) == [("Job", PASS), ("Job", FAIL)]
    assert judge(rule, planned(build(supply=supply_row()))) == [("Job", PASS)]


def test_minor_works_with_a_new_circuit_are_asked_about():
    rule = "kind_of_work_fits_the_circuits"
    minor = but(build(), "row", work="addition or alteration without a new circuit")
    assert judge(rule, minor) == [("Job", QUERY)]
    assert judge(rule, but(minor, "circuits", new="existing")) == [("Job", PASS)]
    assert judge(rule, but(build(), "circuits", new="existing")) == [("Job", QUERY)]
    assert judge(rule, build()) == [("Job", PASS)]


def test_the_places_of_a_doubled_row_are_the_cells_that_should_differ():
    job = build(circuits=(circuit_row(), change(circuit_row(), length=20)))
    assert [str(each) for each in found("rows_are_entered_once", job)[0].places] == ["Circuits C3", "Circuits C3"]
