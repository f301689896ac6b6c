"""Which of a job's findings only follow from another one: a cause is told once, and what follows once it is mended.

Nothing is left out unless a failure that holds the job explains it, so that no job goes on for it.
"""

from collections.abc import Callable, Iterable, Sequence

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.rules.records import NO_POINT

# a broken name is read as it stands, and what a blank does is each rule's own to say
READ_ALL_THE_SAME = frozenset({"key_is_plain", "cell_is_filled"})
ORDER, CIRCUITS = "dates_follow_the_order_of_the_work", "circuits_equal_their_control_total"
SERVED, TESTED, WORK = "final_circuits_serve_one_point", "new_circuits_have_readings", "kind_of_work_fits_the_circuits"

UNUSUAL = "number_is_usual"
# rules that hold one figure against its own range, and say better what is odd about it
SHARPER = frozenset(
    {
        "cables_fit_their_entry", "conductors_fit_the_terminals", "mounting_heights_are_as_the_maker_says",
        "rcds_trip_in_time", "supply_voltage_is_within_its_band", "terminals_are_tightened_as_the_maker_says",
    }
)  # fmt: skip

Explains = Callable[[Finding], bool]


def without_followers(findings: Sequence[Finding]) -> list[Finding]:
    """The findings of one job that are causes of their own, in their order."""
    explanations = [explains for each in findings if each.verdict is Verdict.FAIL for explains in _explaining(each)]
    unread = {place for each in findings if _unread(each) for place in each.places}
    return [
        each
        for each in findings
        if each.scope is Scope.CELL
        or not (unread.intersection(each.places) or any(explains(each) for explains in explanations))
    ]


def _unread(finding: Finding) -> bool:
    """Whether a finding says that a cell could not be read: every rule that asks for it sees a blank."""
    return finding.verdict is Verdict.FAIL and finding.scope is Scope.CELL and finding.rule not in READ_ALL_THE_SAME


def _explaining(cause: Finding) -> Iterable[Explains]:
    """What a failure of the records explains in other rules."""
    sheets, cells = {place.sheet for place in cause.places}, set(cause.places)
    match cause.rule:
        case "references_lead_to_a_row_of_the_job":
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
