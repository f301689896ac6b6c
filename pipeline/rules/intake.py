"""The operator's part of the supply as it was found: polarity, earth terminal, and its loops against each other."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf, isfinite
from typing import Any

from pipeline.facts.choices import Confirmed, EarthingSystem, Function
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Input, Verdict
from pipeline.facts.quantities import magnitude
from pipeline.facts.reading import number_read
from pipeline.facts.rows.supply import Supply
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.instruments import band_at_the_origin, read_off, spread
from pipeline.rules.outcomes import blank, cells, lacking, not_applicable, nought, passed, shown, typed, unmeasured
from pipeline.rules.slips import Pair, advice
from pipeline.standards.formula import figure
from pipeline.standards.iec_60364_4_41_2005.clause_411 import fault_current

# the largest Ze in ohms that operators of the United Kingdom declare: common practice
DECLARED = {EarthingSystem.TN_C_S: 0.35, EarthingSystem.TN_S: 0.8}
# how far the fault current to earth may lie from U / Ze, as a share: common practice, as for the one to neutral
LEAST, MOST = 0.8, 1.25


@rule(
    title="The supply's polarity and earth are confirmed",
    area=Area.POLARITY,
    reference="IEC 60364-6, 6.4.3.6 and 6.4.3.2",
    needed=Needed.TEST,
)
def polarity_and_earth_of_the_supply_are_confirmed(case: Case) -> Iterator[Outcome]:
    """Line and neutral as they should be, and the earthing conductor seen connected."""
    supply = case.job.supply
    for attribute in ("polarity", "earthing_connected"):
        title, answer = supply.fields()[attribute].title, getattr(supply, attribute)
        if answer is None:
            yield blank("Supply", supply, attribute)
        elif answer is Confirmed.CONFIRMED:
            yield passed("Supply", f"{title}: confirmed.", supply.where(attribute))
        else:
            yield Outcome(
                Verdict.FAIL if answer is Confirmed.WRONG else Verdict.QUERY,
                "Supply",
                f"{title}: {answer}.",
                supply.where(attribute),
                found=answer,
                expected="confirmed",
                remedy="Keep the installation isolated, ring the network operator, and test again."
                if answer is Confirmed.WRONG
                else "Test it and enter the outcome.",
            )


@rule(title="Ze is what operators declare", area=Area.LOOP_IMPEDANCE, reference="common practice")
def ze_is_what_operators_declare(case: Case) -> Iterator[Outcome]:
    """A larger one is a matter for the operator; it is only told, since the circuits are judged by it."""
    supply = case.job.supply
    if gap := lacking("Supply", supply, "earthing_system") or unmeasured("Supply", supply, "ze"):
        yield gap
        return
    most = DECLARED.get(supply.earthing_system or EarthingSystem.TT)
    if most is None or supply.ze is None:
        yield not_applicable("Supply", "On TT the electrode decides.")
        return
    ohm = magnitude(supply.ze.quantity, "Ω")
    calculation = Calculation(
        "Z_e ≤ Z_e,declared",
        f"{shown(supply, 'ze')} ≤ {most} Ω",
        shown(supply, "ze"),
        f"{most} Ω ({supply.earthing_system}, common practice)",
        margin(ohm, most),
        (typed("Z_e", supply, "ze"),),
    )
    if meets(ohm, most):
        yield passed("Supply", "Ze is what operators declare at most.", supply.where("ze"), calculation)
    else:
        yield Outcome(
            Verdict.NOTE,
            "Supply",
            "Ze is larger than operators declare for such a supply.",
            supply.where("ze"),
            found=shown(supply, "ze"),
            expected=calculation.limit,
            remedy="Measure again; if it is so, tell the network operator.",
            calculation=calculation,
        )


@rule(
    title="Fault current to earth and Ze agree",
    area=Area.FAULT_CURRENT,
    reference="common practice",
    needed=Needed.TEST,
)
def fault_current_to_earth_agrees_with_ze(case: Case) -> Iterator[Outcome]:
    """An instrument gives both from one measurement, so that one follows from the other."""
    supply = case.job.supply
    reading = supply.fault_current_le
    if supply.earthing_system is EarthingSystem.TT or (reading is not None and not reading.measured):
        yield not_applicable("Supply", "No fault current to earth was measured, as on TT.")
        return
    gap = lacking("Supply", supply, "fault_current_le", "voltage", aid=True)
    yield gap or unmeasured("Supply", supply, "ze") or nought("Supply", supply, "ze") or _to_earth(case)


def voltage_then(supply: Supply) -> Any:
    """The voltage during the tests; the nominal one where none was measured, or one that no supply has."""
    measured, usual = supply.voltage_l1, supply.fields()["voltage_l1"].usual
    if measured is None or not measured.measured or usual is None:
        return supply.voltage
    return measured.quantity if usual[0] <= magnitude(measured.quantity, "V") <= usual[1] else supply.voltage


@dataclass(frozen=True, slots=True)
class Span:
    """Between what a fault current lies by Z_e, in kiloamperes, each figure off by as much as its instrument may be."""

    least: float
    most: float
    inputs: tuple[Input, ...]

    @property
    def low(self) -> str:
        """The lower end as printed."""
        return figure(self.least, "kA")

    @property
    def high(self) -> str:
        """The upper end as printed."""
        return figure(self.most, "kA") if isfinite(self.most) else "any"


def span_by_loop(case: Case, attribute: str, volts: tuple[Any, Any], shares: tuple[float, float]) -> Span:
    """The span of a fault current of the intake by Z_e and a lower and an upper voltage, each times its share."""
    supply = case.job.supply
    off_z, off_i = (
        read_off(supply, each, band_at_the_origin(case, getattr(supply, each), unit, function))
        for each, unit, function in (("ze", "Ω", Function.LOOP), (attribute, "kA", Function.FAULT_CURRENT))
    )
    ze = number_read(supply.ze, "Ω")
    low, high = (share * magnitude(each, "V") / 1000 for share, each in zip(shares, volts, strict=True))
    inputs = (typed("I_pf", supply, attribute), *spread(off_i, "kA"), typed("Z_e", supply, "ze"), *spread(off_z, "Ω"))
    most = high / (ze - off_z) + off_i if ze > off_z else inf
    return Span(max(0.0, low / (ze + off_z) - off_i), most, inputs)


def _to_earth(case: Case) -> Outcome:
    """The verdict on a fault current to earth; both figures may be off as far as their instrument may be."""
    supply = case.job.supply
    volts = voltage_then(supply)
    worked = fault_current(u_0=volts, z_s=supply.ze.quantity if supply.ze else None)
    follows = magnitude(worked.quantity, "kA")
    found = number_read(supply.fault_current_le, "kA")
    span = span_by_loop(case, "fault_current_le", (volts, volts), (LEAST, MOST))
    inputs = (*span.inputs, typed("U", supply, "voltage_l1"))
    calculation = Calculation(
        f"{LEAST} × U / (Z_e + ±) − ± ≤ I_pf ≤ {MOST} × U / (Z_e − ±) + ±",
        worked.numbers,
        shown(supply, "fault_current_le"),
        f"from {span.low} to {span.high} (common practice)",
        None,
        inputs,
    )
    if reaches(found, span.least) and meets(found, span.most):
        return passed("Supply", "Fault current to earth and Ze agree.", cells(*inputs), calculation)
    pair = Pair("fault current to earth", found, "by Ze", follows, "kA")
    return Outcome(
        Verdict.QUERY,
        "Supply",
        "Fault current to earth and Ze do not agree.",
        cells(*inputs),
        found=pair.said,
        expected=calculation.limit,
        remedy=advice(pair.slips(), "Compare both with the site sheet, and measure again."),
        calculation=calculation,
    )
