"""Which of a job's findings only follow from another one: a cause is told once, and what follows once it is mended.

Nothing is left out unless a finding that holds the job explains it, so that no job goes on for it.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.rules.records import NO_POINT

# a broken name is read as it stands, and what a blank does is each rule's own to say
READ_ALL_THE_SAME = frozenset({"key_is_plain", "cell_is_filled"})
REFERENCES = "references_lead_to_a_row_of_the_job"
ORDER, CIRCUITS = "dates_follow_the_order_of_the_work", "circuits_equal_their_control_total"
SERVED, TESTED, WORK = "final_circuits_serve_one_point", "new_circuits_have_readings", "kind_of_work_fits_the_circuits"

# queries on cells that have no value until they are answered
NOT_READ_YET = frozenset(
    {
        "number_is_clear", "number_is_in_the_columns_unit", "choice_is_in_the_list", "date_is_complete",
        "date_order_is_clear", "reference_is_listed",
    }
)  # fmt: skip
# rules → what explains them at one of the same cells
AT_A_CELL = {
    "zs_agrees_with_its_parts": {"r1_r2_fits_the_cable"},
    "remarks_and_outcomes_agree": {"inspected_aspects_are_satisfactory"},
    "flat_cables_are_ones_that_are_made": {"conductors_fit_the_terminals"},
}
# rules → what explains them wherever in the job it stands
ANYWHERE = {
    "protective_conductors_bear_a_fault": {"breaking_capacity_covers_the_fault_current"},
    "instruments_are_calibrated_on_the_day_of_the_tests": {"days_are_not_to_come"},
    "people_are_authorised_on_the_day": {"days_are_not_to_come"},
    "new_circuits_have_readings": {"cells_are_not_merged"},
}
ASTRAY = "row_stands_under_its_headings"
UNUSUAL = "number_is_usual"
# rules that hold one figure against its own range, and say better what is odd about it
SHARPER = frozenset(
    {
        "cables_fit_their_entry", "conductors_fit_the_terminals", "mounting_heights_are_as_the_maker_says",
        "rcds_trip_in_time", "supply_voltage_is_within_its_band", "terminals_are_tightened_as_the_maker_says",
    }
)  # fmt: skip

RANGE = re.compile(r"([A-Z]+)([0-9]+):[A-Z]+([0-9]+)")
Explains = Callable[[Finding], bool]


def without_followers(findings: Sequence[Finding]) -> list[Finding]:
    """The findings of one job that are causes of their own, in their order."""
    explanations = [explains for each in findings if each.verdict is Verdict.FAIL for explains in _explaining(each)]
    unread = {place for each in findings if _unread(each) for place in each.places}
    explanations += [unread_of(unread), *map(_at_a_cell, findings), *_of_rows(findings)]
    return [each for each in findings if each.scope is Scope.CELL or not any(told(each) for told in explanations)]


def unread_of(cells: set[Place]) -> Explains:
    """Whatever asks for a cell that could not be read sees a blank."""
    return lambda each: not cells.isdisjoint(each.places)


def _unread(finding: Finding) -> bool:
    """Whether a finding says that a cell could not be read."""
    if finding.scope is not Scope.CELL or finding.rule in READ_ALL_THE_SAME:
        return False
    return finding.verdict is Verdict.FAIL or (finding.verdict is Verdict.QUERY and finding.rule in NOT_READ_YET)


def _at_a_cell(cause: Finding) -> Explains:
    """What follows from a finding at one of its own cells, or, for some, anywhere in the job."""
    cells = set(cause.places)
    return lambda each: (
        cause.rule in ANYWHERE.get(each.rule, ())
        or (cause.rule in AT_A_CELL.get(each.rule, ()) and not cells.isdisjoint(each.places))
    )


def _of_rows(findings: Sequence[Finding]) -> Iterator[Explains]:
    """Of a row whose cells were pushed aside no rule says anything that is worth reading."""
    rows = {_row(place) for each in findings if each.rule == ASTRAY for place in cells_of(each)}
    if rows:
        yield lambda each: any(_row(place) in rows for place in each.places)


def cells_of(finding: Finding) -> Iterator[Place]:
    """The cells of a finding, those of a run down a column one by one."""
    for place in finding.places:
        match = RANGE.fullmatch(place.cell)
        if not match:
            yield place
        else:
            yield from (Place(place.sheet, f"{match[1]}{row}") for row in range(int(match[2]), int(match[3]) + 1))


def _row(place: Place) -> tuple[str, str]:
    """Sheet and row of a cell."""
    return place.sheet, place.cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")


def _explaining(cause: Finding) -> Iterable[Explains]:
    """What a failure of the records explains in other rules."""
    sheets, cells = {place.sheet for place in cause.places}, set(cause.places)
    match cause.rule:
        case "references_lead_to_a_row_of_the_job":
            yield lambda each: each.rule == REFERENCES and _names_circuit_of(each, board=cause.found)
            yield lambda each: each.verdict is Verdict.NOT_ASSESSED and "leads to no row" in each.message
            yield lambda each: each.rule in {CIRCUITS, WORK} and not sheets.isdisjoint({"Readings", "Charge points"})
            yield lambda each: each.rule == TESTED and "Readings" in sheets
            yield lambda each: _unserved(each) and "Charge points" in sheets
        case "single_rows_are_there":
            yield lambda each: each.verdict is not Verdict.FAIL and not each.places
        case "days_are_not_to_come":
            yield lambda each: each.rule == ORDER and not cells.isdisjoint(each.places)
        case "points_equal_their_control_total":
            yield _unserved


def _names_circuit_of(finding: Finding, *, board: str) -> bool:
    """Whether a circuit that is not found stands there, under the name of a board that there is not."""
    circuit = finding.found.partition(" of board ")[0]
    return f"{circuit} of {board}," in f"{finding.expected},"


def _unserved(finding: Finding) -> bool:
    """Whether a finding tells of a circuit without a charge point."""
    return finding.rule == SERVED and finding.found.endswith(NO_POINT)


def without_outdone(cells: Sequence[Finding], judged: Iterable[Finding]) -> list[Finding]:
    """What was found at the cells of a job, without the unusual figures on which a rule has its own, sharper word."""
    told = {
        each.places[0]
        for each in judged
        if each.rule in SHARPER and each.places and each.verdict in {Verdict.FAIL, Verdict.QUERY}
    }
    return [each for each in cells if each.rule != UNUSUAL or not told.issuperset(each.places)]


def of_defaults(finding: Finding, sheet: str) -> tuple[Place, ...]:
    """The cells of a finding if all of them stand among the defaults, which fill the rows of many jobs."""
    return finding.places if finding.places and all(each.sheet == sheet for each in finding.places) else ()
