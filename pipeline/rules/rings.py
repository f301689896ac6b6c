"""Readings of a ring: end to end in the ratio of the sizes, and a quarter of their sum as R1+R2."""

from collections.abc import Iterator

from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Verdict
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import Area, Case, Outcome, meets, rule
from pipeline.rules.outcomes import cells, name_of, not_applicable, passed, shown, typed, unmeasured
from pipeline.rules.slips import Pair, advice
from pipeline.standards.formula import figure

REFERENCE = "common practice (verification of ring final circuits)"
# how far readings of one ring may lie from each other, in ohms or as a share: common practice
OHM, SHARE = 0.05, 0.2
ENDS = ("ring_r1", "ring_rn", "ring_r2")


def _rings(case: Case) -> Iterator[tuple[Circuit, CircuitReadings]]:
    """Circuits of which any end-to-end reading was entered."""
    for circuit in case.job.circuits:
        row = case.job.latest(circuit)
        if row and any(getattr(row, each) is not None for each in ENDS):
            yield circuit, row


def _ohm(row: CircuitReadings, attribute: str) -> float:
    """A reading in ohms that is known to be there."""
    return magnitude(getattr(row, attribute).quantity, "Ω")


def _judged(circuit: Circuit, row: CircuitReadings, pair: Pair, working: tuple[str, str]) -> Outcome:
    """The verdict on a reading of a ring against what the others give."""
    symbols, numbers = working
    allowed = max(OHM, SHARE * pair.follows)
    inputs = tuple(typed(row.fields()[each].title, row, each) for each in (*ENDS, "r1_r2") if getattr(row, each))
    calculation = Calculation(
        symbols,
        f"{numbers} = {figure(pair.follows, 'Ω')}",
        figure(pair.entered, "Ω"),
        f"{figure(pair.follows, 'Ω')} ± {figure(allowed, 'Ω')} (common practice)",
        None,
        inputs,
    )
    if meets(abs(pair.entered - pair.follows), allowed):
        return passed(
            name_of(circuit), f"Ring circuit: {pair.what} agrees with the other readings.", cells(*inputs), calculation
        )
    return Outcome(
        Verdict.QUERY,
        name_of(circuit),
        f"Ring circuit: {pair.what} does not agree with the other readings.",
        cells(*inputs),
        found=pair.said,
        expected=calculation.limit,
        remedy=advice(pair.slips(), "Look for a broken or bridged ring, compare with the site sheet, measure again."),
        calculation=calculation,
    )


@rule(title="Readings of a ring agree", area=Area.CONTINUITY, reference=REFERENCE, needed=Needed.TEST)
def readings_of_a_ring_agree(case: Case) -> Iterator[Outcome]:
    """Neutral as line, protective conductor in the ratio of the sizes, (r_1 + r_2) / 4 as R1+R2."""
    rings = list(_rings(case))
    if not rings:
        yield not_applicable("Job", "No circuit of this job is a ring.")
    for circuit, row in rings:
        if gap := unmeasured(name_of(circuit), row, *ENDS):
            yield gap
            continue
        r_1, r_n, r_2 = (_ohm(row, each) for each in ENDS)
        ends = list(_of_the_ends(circuit, row, (r_1, r_n, r_2)))
        yield from ends
        # of ends that do not agree, no quarter says anything more
        if row.r1_r2 is not None and row.r1_r2.measured and all(each.verdict is Verdict.PASS for each in ends):
            quarter = Pair("R1+R2", _ohm(row, "r1_r2"), "a quarter of the ends", (r_1 + r_2) / 4, "Ω")
            numbers = f"({shown(row, 'ring_r1')} + {shown(row, 'ring_r2')}) / 4"
            yield _judged(circuit, row, quarter, ("R_1 + R_2 ≈ (r_1 + r_2) / 4", numbers))


def _of_the_ends(circuit: Circuit, row: CircuitReadings, ohms: tuple[float, float, float]) -> Iterator[Outcome]:
    """The neutral and the protective conductor end to end against the line."""
    r_1, r_n, r_2 = ohms
    neutral = Pair("the neutral end to end", r_n, "the line", r_1, "Ω")
    yield _judged(circuit, row, neutral, ("r_n ≈ r_1", shown(row, "ring_r1")))
    if circuit.live_size is not None and circuit.cpc_size is not None:
        ratio = magnitude(circuit.live_size, "mm²") / magnitude(circuit.cpc_size, "mm²")
        protective = Pair("the protective conductor end to end", r_2, "by the sizes", r_1 * ratio, "Ω")
        numbers = f"{shown(row, 'ring_r1')} × {shown(circuit, 'live_size')} / {shown(circuit, 'cpc_size')}"
        yield _judged(circuit, row, protective, ("r_2 ≈ r_1 × S / S_p", numbers))
