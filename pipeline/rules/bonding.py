"""The earthing conductor and main bonding of the intake: their sizes, and whether they are continuous."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from pipeline.editions import Missing, Value
from pipeline.facts.choices import EarthingSystem, Material
from pipeline.facts.field import Mark, Needed
from pipeline.facts.findings import Calculation, Confidence, Input, Verdict
from pipeline.facts.quantities import quantity
from pipeline.facts.rows.supply import Supply
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule, surplus
from pipeline.rules.outcomes import (
    cells,
    lacking,
    not_applicable,
    passed,
    shown,
    tabled,
    typed,
    unmeasured,
    untabled,
)

# words of somebody who does not know
UNSURE = ("unsure", "not sure", "unknown", "?")
# a bonding conductor from end to end: common practice, from memory
BONDING_OHM = 0.05


@rule(
    title="The earthing conductor has its size",
    area=Area.EARTHING,
    reference="IEC 60364-5-54, 542.3",
    needed=Needed.TEST,
)
def earthing_conductor_has_its_size(case: Case) -> Iterator[Outcome]:
    """By the size of the tails; on TT, where it lies in the ground, by minima that are from memory."""
    supply = case.job.supply
    if gap := lacking("Supply", supply, "earthing_conductor", "tails_size", "earthing_system"):
        yield gap
        return
    tt = supply.earthing_system is EarthingSystem.TT
    earthing = case.edition.earthing
    needed = earthing.buried_size(sheathed=True) if tt else earthing.earthing_size(supply.tails_size)
    if isinstance(needed, Missing):
        yield untabled("Supply", needed, supply.where("tails_size"))
        return
    inputs = (typed("S_E", supply, "earthing_conductor"), typed("S", supply, "tails_size"))
    yield _sized(supply, ("earthing conductor", inputs), needed, Verdict.QUERY if tt else Verdict.FAIL)


def _sized(supply: Supply, what: tuple[str, tuple[Any, ...]], needed: Value, short: Verdict) -> Outcome:
    """The verdict on a conductor by its smallest size."""
    name, inputs = what
    attribute = "earthing_conductor" if name == "earthing conductor" else "bonding_size"
    size = getattr(supply, attribute)
    worked = needed.worked
    calculation = Calculation(
        worked.symbols if worked else "S ≥ S_min",
        worked.numbers if worked else f"{shown(supply, attribute)} ≥ {needed.shown}",
        shown(supply, attribute),
        f"at least {needed.lower()} ({needed.reference})",
        None,
        (*inputs, tabled("S_min", needed)),
    )
    worked_out = replace(calculation, margin=surplus(size, needed.quantity))
    if reaches(size, needed.quantity):
        # sizes come in steps: to be exactly as large as asked is no close call
        good = passed("Supply", f"The {name} is large enough.", cells(*inputs), calculation, needed.confidence)
        return replace(good, calculation=worked_out)
    return Outcome(
        short,
        "Supply",
        f"The {name} is too small.",
        cells(*inputs),
        found=shown(supply, attribute),
        expected=f"at least {needed.lower()}",
        remedy=f"Replace the {name} by a larger one.",
        calculation=worked_out,
    )


@rule(title="Main bonding has its size", area=Area.EARTHING, reference="IEC 60364-5-54, 544.1", needed=Needed.TEST)
def main_bonding_has_its_size(case: Case) -> Iterator[Outcome]:
    """By the supply's neutral on TN-C-S, else by the earthing conductor; nothing to bond needs no conductor."""
    supply = case.job.supply
    if (supply.bonding_to or "").strip().lower().startswith("none"):
        yield not_applicable("Supply", "No part is present that must be bonded.")
        return
    if gap := lacking("Supply", supply, "bonding_to", "bonding_size", "earthing_system", "earthing_conductor"):
        yield gap
        return
    if any(word in (supply.bonding_to or "").lower() for word in UNSURE):
        yield Outcome(
            Verdict.QUERY,
            "Supply",
            "It is not sure which parts must be bonded.",
            supply.where("bonding_to"),
            found=supply.shown("bonding_to"),
            expected="each part that must be bonded, or 'none present'",
            remedy="Have the tester look where water, gas, oil and steel enter, and measure to earth.",
        )
        return
    if supply.bonding_material not in (None, Material.COPPER):
        yield Outcome(
            Verdict.QUERY,
            "Supply",
            "The tables here are for copper bonding.",
            supply.where("bonding_material"),
            found=supply.shown("bonding_material"),
            expected="copper, or a size with the same conductance",
            remedy="Have the signatory compare the conductance with that of the copper size.",
        )
        return
    neutral = supply.neutral_size if supply.neutral_size is not None else supply.tails_size
    system = supply.earthing_system or EarthingSystem.TN_C_S
    needed = case.edition.earthing.bonding_size(system, neutral, supply.earthing_conductor)
    if isinstance(needed, Missing):
        yield untabled("Supply", needed, supply.where("neutral_size", "tails_size"))
        return
    inputs = (
        typed("S_b", supply, "bonding_size"),
        typed("S_N", supply, "neutral_size" if supply.neutral_size is not None else "tails_size"),
        typed("S_E", supply, "earthing_conductor"),
    )
    yield _sized(supply, ("main bonding conductor", inputs), needed, Verdict.FAIL)


@rule(
    title="Main bonding is continuous", area=Area.EARTHING, reference="common practice, from memory", needed=Needed.TEST
)
def main_bonding_is_continuous(case: Case) -> Iterator[Outcome]:
    """Where its resistance was measured; from end to end it is hardly more than a twentieth of an ohm."""
    supply = case.job.supply
    reading = supply.bonding_continuity
    if reading is None or reading.mark is Mark.NOT_APPLICABLE:
        yield not_applicable("Supply", "The continuity of the main bonding was not entered.")
        return
    if gap := unmeasured("Supply", supply, "bonding_continuity", aid=True):
        yield gap
        return
    calculation = Calculation(
        "R_b ≤ R_b,usual",
        f"{shown(supply, 'bonding_continuity')} ≤ {BONDING_OHM} Ω",
        shown(supply, "bonding_continuity"),
        f"{BONDING_OHM} Ω (common practice, from memory)",
        margin(reading.quantity, quantity(BONDING_OHM, "Ω")),
        (
            typed("R_b", supply, "bonding_continuity"),
            Input("R_b,usual", f"{BONDING_OHM} Ω (common practice)", None, Confidence.MEMORY),
        ),
    )
    if meets(reading.quantity, quantity(BONDING_OHM, "Ω")):
        # a reading above the figure is only told, so that one close to it is no query
        good = passed("Supply", "The main bonding is continuous.", cells(*calculation.inputs), None, Confidence.MEMORY)
        yield replace(good, found=calculation.result, expected=calculation.limit, calculation=calculation)
    else:
        yield Outcome(
            Verdict.NOTE,
            "Supply",
            "The resistance of the main bonding is higher than that of a short copper conductor.",
            supply.where("bonding_continuity"),
            found=shown(supply, "bonding_continuity"),
            expected=f"about {BONDING_OHM} Ω or less",
            remedy="Look at its clamps and its length.",
            calculation=calculation,
        )
