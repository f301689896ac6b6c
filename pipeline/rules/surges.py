"""Decisions that the designer records: protection against surges, and against arcs where the premises ask for it."""

from collections.abc import Iterator

from pipeline.facts.choices import ArcFaultDetection, Premises, RuleFamily, SurgeProtection
from pipeline.facts.findings import Verdict, WhenMissing
from pipeline.facts.rows.supply import Supply
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, not_applicable, passed

THERE = frozenset({SurgeProtection.FITTED, SurgeProtection.PRESENT})
# only whoever owns one dwelling may do without at a wish alone (BS 7671, 443.4.1; from memory)
ONE_DWELLING = frozenset({Premises.DWELLING, Premises.RENTED_DWELLING})
# where people sleep above one another (BS 7671, 421.1.7, asks for it on socket-outlet circuits there; from memory)
SHARED = frozenset({Premises.FLATS})


@rule(
    title="Surge protection is decided",
    area=Area.SURGES,
    reference="IEC 60364-4-44, 443 (from memory)",
)
def surge_protection_is_decided(case: Case) -> Iterator[Outcome]:
    """Fitted, there already, or omitted by somebody who is named; a wish alone is enough for one dwelling only."""
    supply, premises = case.job.supply, case.job.row.premises
    places = supply.where("surge", "surge_by")
    if supply.surge is None:
        yield blank("Supply", supply, "surge")
    elif supply.surge in THERE:
        yield passed("Supply", f"Surge protection: {supply.surge}.", places)
    elif supply.surge_by is None:
        yield _open(supply, "Surge protection is omitted, and nobody says who decided it.", "who decided it and when")
    elif supply.surge is SurgeProtection.OMITTED_CLIENT and premises not in ONE_DWELLING:
        yield _open(
            supply,
            "A client's wish alone omits surge protection in one dwelling only.",
            "a risk assessment, or a device",
        )
    else:
        yield Outcome(
            Verdict.NOTE,
            "Supply",
            f"Surge protection is {supply.surge}.",
            places,
            found=supply.surge_by,
            expected="a device, or a decision with its author",
            remedy="Nothing; the decision is on the record.",
        )


def _open(supply: Supply, message: str, expected: str) -> Outcome:
    """A query on a decision that is not complete."""
    return Outcome(
        Verdict.QUERY,
        "Supply",
        message,
        supply.where("surge", "surge_by"),
        found=f"{supply.shown('surge')}; by {supply.surge_by or 'nobody named'}",
        expected=expected,
        remedy="Enter who decided it and when, or fit a device.",
    )


@rule(
    title="Arc-fault detection is decided",
    area=Area.SURGES,
    reference="IEC 60364-4-42, 421.7 (from memory)",
    when_missing=WhenMissing.PRINT,
)
def arc_fault_detection_is_decided(case: Case) -> Iterator[Outcome]:
    """Where the premises ask for a decision; elsewhere only what was decided is told."""
    supply, row = case.job.supply, case.job.row
    places = supply.where("arc_fault", "arc_fault_by")
    if supply.arc_fault in (ArcFaultDetection.FITTED, ArcFaultDetection.NOT_ASKED):
        yield passed("Supply", f"Arc-fault detection: {supply.arc_fault}.", places)
    elif supply.arc_fault is ArcFaultDetection.OMITTED:
        named = supply.arc_fault_by is not None
        yield Outcome(
            Verdict.NOTE if named else Verdict.QUERY,
            "Supply",
            "Arc-fault detection is omitted after a risk assessment.",
            places,
            found=supply.arc_fault_by or "nobody named",
            expected="who decided it and when",
            remedy="Nothing; the decision is on the record." if named else "Enter who decided it and when.",
        )
    elif row.family is RuleFamily.UK and row.premises in SHARED:
        yield Outcome(
            Verdict.NOTE,
            "Supply",
            "In a house of flats arc-fault detection is considered, and no decision is recorded.",
            places,
            found="blank",
            expected=", ".join(supply.choices("arc_fault")),
            remedy="Record the decision; circuits of socket-outlets in high buildings need it.",
        )
    else:
        yield not_applicable("Supply", "These premises ask for no decision on arc-fault detection.")
