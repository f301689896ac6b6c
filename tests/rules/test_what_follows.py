"""A finding that only follows from another one waits for it; whatever it does not explain is told beside it."""

import pytest

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.rules.causes import cells_of, of_defaults, unread_of, without_followers, without_outdone
from pipeline.rules.records import NO_POINT

FAIL, QUERY, NOTE, NOT_ASSESSED = Verdict.FAIL, Verdict.QUERY, Verdict.NOTE, Verdict.NOT_ASSESSED
HERE, THERE, OTHER_SHEET = Place("Readings", "L3"), Place("Readings", "M9"), Place("Jobs", "B3")
LOST = "references_lead_to_a_row_of_the_job"


def finding(rule, verdict=FAIL, places=(HERE,), scope=Scope.JOB, **told):
    usual = {"job": "J1", "subject": "Job", "message": "Odd."}
    return Finding(rule, verdict, places=places, scope=scope, **(usual | told))


def cell(rule, verdict=FAIL, places=(HERE,)):
    return finding(rule, verdict, places, Scope.CELL)


def waits(cause, follower):
    """Whether of two findings the second is left for later; the first is told in any order."""
    told = without_followers([cause, follower])
    assert cause in told
    assert without_followers([follower, cause])[-1] is cause
    return follower not in told


@pytest.mark.parametrize(
    ("cause", "follower", "later"),
    [
        # a cell that could not be read
        (cell("text_is_a_number"), finding("zs_is_odd"), True),
        (cell("text_is_a_number"), finding("zs_is_odd", places=(THERE, HERE)), True),
        (cell("text_is_a_number"), finding("zs_is_odd", places=(THERE,)), False),
        (cell("text_is_a_number"), cell("another_at_the_cell"), False),
        (cell("number_is_clear", QUERY), finding("zs_is_odd"), True),
        (cell("reference_is_listed", QUERY), finding("zs_is_odd"), True),
        (cell("number_is_usual", QUERY), finding("zs_is_odd"), False),
        (cell("number_is_clear", NOTE), finding("zs_is_odd"), False),
        (cell("key_is_plain"), finding("zs_is_odd"), False),
        (cell("cell_is_filled"), finding("zs_is_odd"), False),
        (finding("zs_is_high"), finding("zs_is_odd"), False),
        # at one of the same cells
        (finding("r1_r2_fits_the_cable", QUERY), finding("zs_agrees_with_its_parts", QUERY), True),
        (finding("r1_r2_fits_the_cable", QUERY), finding("zs_agrees_with_its_parts", QUERY, (THERE,)), False),
        (finding("inspected_aspects_are_satisfactory"), finding("zs_agrees_with_its_parts", QUERY), False),
        (finding("r1_r2_fits_the_cable", QUERY), finding("zs_is_odd", QUERY), False),
        # anywhere in the job
        (finding("days_are_not_to_come"), finding("people_are_authorised_on_the_day", FAIL, (THERE,)), True),
        (finding("days_are_not_to_come"), finding("people_are_insured", FAIL, (THERE,)), False),
        (finding("cells_are_not_merged"), finding("new_circuits_have_readings", FAIL, (THERE,)), True),
        # dates
        (finding("days_are_not_to_come"), finding("dates_follow_the_order_of_the_work"), True),
        (finding("days_are_not_to_come"), finding("dates_follow_the_order_of_the_work", FAIL, (THERE,)), False),
        (finding("days_are_not_to_come"), finding("zs_is_odd"), False),
        (finding("days_are_not_to_come", QUERY), finding("dates_follow_the_order_of_the_work"), False),
        # a row that has been pushed aside
        (cell("row_stands_under_its_headings"), finding("zs_is_odd", QUERY, (Place("Readings", "Z3"),)), True),
        (cell("row_stands_under_its_headings"), finding("zs_is_odd", QUERY, (Place("Readings", "L4"),)), False),
        (cell("row_stands_under_its_headings"), finding("zs_is_odd", QUERY, (Place("Jobs", "L3"),)), False),
        (cell("row_is_odd", QUERY), finding("zs_is_odd", QUERY, (Place("Readings", "Z3"),)), False),
        (
            cell("row_stands_under_its_headings", FAIL, (Place("Readings", "A2:A4"),)),
            finding("zs_is_odd", QUERY, (Place("Readings", "Z4"),)),
            True,
        ),
        # rows that are not there
        (finding("single_rows_are_there"), finding("anything", NOT_ASSESSED, ()), True),
        (finding("single_rows_are_there"), finding("anything", FAIL, ()), False),
        (finding("single_rows_are_there"), finding("anything", NOT_ASSESSED), False),
        (finding("points_equal_their_control_total"), finding("final_circuits_serve_one_point", found=NO_POINT), True),
        (finding("points_equal_their_control_total"), finding("final_circuits_serve_one_point", found="two"), False),
        (finding("points_equal_their_control_total"), finding("zs_is_odd", found=NO_POINT), False),
    ],
)
def test_what_follows_from_a_finding_waits_for_it(cause, follower, later):
    assert waits(cause, follower) is later


@pytest.mark.parametrize(
    ("places", "follower", "later"),
    [
        ((HERE,), finding("anything", NOT_ASSESSED, (THERE,), message="The circuit leads to no row."), True),
        ((HERE,), finding("anything", NOT_ASSESSED, (THERE,), message="Zs is missing."), False),
        ((HERE,), finding("anything", FAIL, (THERE,), message="The circuit leads to no row."), False),
        ((HERE,), finding("circuits_equal_their_control_total", FAIL, (THERE,)), True),
        ((HERE,), finding("kind_of_work_fits_the_circuits", QUERY, (THERE,)), True),
        ((OTHER_SHEET,), finding("circuits_equal_their_control_total", FAIL, (THERE,)), False),
        ((HERE,), finding("points_equal_their_control_total", FAIL, (THERE,)), False),
        ((HERE,), finding("new_circuits_have_readings", FAIL, (THERE,)), True),
        ((Place("Charge points", "C3"),), finding("new_circuits_have_readings", FAIL, (THERE,)), False),
        ((HERE,), finding("zs_is_odd", FAIL, (THERE,)), False),
        (
            (Place("Charge points", "C3"),),
            finding("final_circuits_serve_one_point", FAIL, (THERE,), found=NO_POINT),
            True,
        ),
        ((HERE,), finding("final_circuits_serve_one_point", FAIL, (THERE,), found=NO_POINT), False),
        ((Place("Charge points", "C3"),), finding("zs_is_odd", FAIL, (THERE,), found=NO_POINT), False),
    ],
)
def test_what_follows_from_a_row_that_is_misnamed_waits_for_it(places, follower, later):
    assert waits(finding(LOST, FAIL, places, found="XX9", expected="MAIN"), follower) is later


@pytest.mark.parametrize(
    ("circuit", "later"), [("circuit 9", True), ("circuit 10", True), ("circuit 8", False), ("circuit 1", False)]
)
def test_a_reading_of_a_circuit_that_stands_under_a_board_that_is_not_there_waits_for_that_board(circuit, later):
    known = "one of this job's rows on the sheet Circuits: circuit 9 of board XX9, circuit 10 of board XX9"
    board = finding(LOST, FAIL, (Place("Circuits", "B3"),), found="board XX9", expected="board MAIN")
    reading = finding(LOST, FAIL, (THERE,), found=f"{circuit} of board MAIN", expected=known)
    assert waits(board, reading) is later
    assert not waits(finding(LOST, FAIL, found="board XX"), reading)
    assert not waits(board, finding("zs_is_odd", FAIL, (THERE,), found=reading.found, expected=known))


def test_findings_keep_their_order():
    both = [finding("a"), finding("b", QUERY), finding("c", NOTE)]
    assert without_followers(both) == both


def test_a_run_down_a_column_is_each_of_its_cells():
    run = finding("a", places=(Place("Readings", "AB9:AB11"), OTHER_SHEET))
    cells = [Place("Readings", f"AB{row}") for row in (9, 10, 11)]
    assert list(cells_of(run)) == [*cells, OTHER_SHEET]


def test_whatever_asks_for_one_unread_cell_sees_a_blank():
    explains = unread_of({HERE})
    assert explains(finding("a", places=(THERE, HERE)))
    assert not explains(finding("a", places=(THERE,)))
    assert not explains(finding("a", places=()))


@pytest.mark.parametrize(
    ("judged", "told"),
    [
        ((finding("rcds_trip_in_time"),), False),
        ((finding("rcds_trip_in_time", QUERY),), False),
        ((finding("rcds_trip_in_time", NOTE),), True),
        ((finding("zs_is_odd"),), True),
        ((finding("rcds_trip_in_time", places=()),), True),
        ((finding("rcds_trip_in_time", places=(THERE,)),), True),
        ((finding("rcds_trip_in_time", places=(HERE, THERE)),), False),
        ((finding("rcds_trip_in_time", places=(THERE, HERE)),), True),
    ],
)
def test_a_rule_that_knows_more_tells_an_unusual_figure_in_its_stead(judged, told):
    usual, other = cell("number_is_usual", QUERY), cell("text_is_a_number")
    assert without_outdone([usual, other], judged) == ([usual, other] if told else [other])


def test_an_unusual_figure_in_two_cells_is_told_unless_both_are_told_better():
    usual = cell("number_is_usual", QUERY, (HERE, THERE))
    assert without_outdone([usual], [finding("rcds_trip_in_time")]) == [usual]
    assert without_outdone([usual], [finding("rcds_trip_in_time", places=(each,)) for each in (HERE, THERE)]) == []


def test_only_what_stands_wholly_among_the_defaults_concerns_many_jobs():
    default = Place("Defaults", "B3")
    assert of_defaults(finding("a", places=(default, default)), "Defaults") == (default, default)
    assert of_defaults(finding("a", places=(default, HERE)), "Defaults") == ()
    assert of_defaults(finding("a", places=(HERE,)), "Defaults") == ()
    assert of_defaults(finding("a", places=()), "Defaults") == ()
