"""What is left of the voltage at the vehicle: drops of the sections summed from the origin."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

from pipeline.editions import CABLE_CELLS, Drop, Missing, Value, weakest
from pipeline.editions import Load as DropLoad
from pipeline.facts.choices import OpenPenMeasure
from pipeline.facts.field import Place
from pipeline.facts.findings import Calculation, Confidence, Input, Verdict
from pipeline.facts.quantities import magnitude, quantity
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.points import Point
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule, surplus
from pipeline.rules.conductors import cable_of
from pipeline.rules.loads import alone_of, load_of, phases_of
from pipeline.rules.outcomes import (
    blank,
    cells,
    distinct,
    lacking,
    name_of,
    not_applicable,
    passed,
    tabled,
    typed,
    untabled,
)
from pipeline.standards.formula import figure

REFERENCE = "IEC 60364-5-52, Annex G"
# devices that sense the supply's voltage open below their lower limit
SENSING = frozenset({OpenPenMeasure.DEVICE, OpenPenMeasure.INSIDE})


@dataclass(frozen=True, slots=True)
class Total:
    """The drop from the origin to a point, in per cent, with its sections."""

    percent: float
    sections: tuple[Drop, ...]
    length: float
    inputs: tuple[Input, ...]

    @property
    def confidence(self) -> Confidence:
        """As sure as the least sure section."""
        return weakest(each.share.confidence for each in self.sections)

    def calculation(self, limit: Value) -> Calculation:
        """The working: each section's drop in volts and per cent, and their sum."""
        numbers = "; ".join(
            f"{each.volts.worked.numbers if each.volts.worked else ''} = {each.volts.shown} = {each.share.shown}"
            for each in self.sections
        )
        symbols = self.sections[0].volts.worked
        return Calculation(
            f"{symbols.symbols if symbols else 'u'}; Δu = Σ(100 × u / U)",
            numbers,
            figure(self.percent, "%"),
            f"{limit.upper(quantity(self.percent, '%'))} ({limit.reference})",
            margin(self.percent, magnitude(limit.quantity, "%")),
            (*self.inputs, tabled("Δu_max", limit)),
        )


def total_drop(case: Case, circuit: Circuit, *, single_phase: bool = False) -> Total | Outcome:
    """The drop at the end of a circuit; with `single_phase` every section carries what one phase carries alone."""
    key = ("drop", id(circuit), single_phase)
    return case.once(key, lambda: _total_drop(case, circuit, single_phase=single_phase))


def _total_drop(case: Case, circuit: Circuit, *, single_phase: bool) -> Total | Outcome:
    """The same, worked out."""
    job = case.job
    if gap := lacking("Supply", job.supply, "voltage"):
        return gap
    drops: list[Drop] = []
    inputs: list[Input] = []
    length = 0.0
    for section in job.path(circuit):
        # one feeder serves many points
        found = case.once(("section", id(section), single_phase), partial(_section, case, section, single_phase))
        if isinstance(found, Outcome):
            return found
        drop, own = found
        drops.append(drop)
        length += magnitude(section.length, "m")
        inputs += own
    percent = sum(magnitude(each.share.quantity, "%") for each in drops)
    return Total(percent, tuple(drops), length, distinct(inputs))


def _section(case: Case, section: Circuit, single_phase: bool) -> tuple[Drop, list[Input]] | Outcome:  # noqa: FBT001
    """The drop of one section with its inputs."""
    run = cable_of(case, section)
    load = alone_of(case, section) if single_phase else load_of(case, section)
    if run is None:
        return blank(name_of(section), section, *CABLE_CELLS)
    if load is None or isinstance(load, Outcome):
        return load or not_applicable(name_of(section), "No charge point of this job stands behind this circuit.")
    phases = 1 if single_phase else phases_of(case, section)
    drop = case.edition.drops.drop(DropLoad(run, quantity(load.amperes, "A"), phases), case.job.supply.voltage)
    if isinstance(drop, Missing):
        return untabled(name_of(section), drop, section.where("cable", "insulation", "live_size"))
    published = [tabled(symbol, each) for symbol, each in drop.figures]
    return drop, [*load.inputs, typed("L", section, "length"), typed("S", section, "live_size"), *published]


def _of_points(case: Case) -> Iterator[tuple[Point, Circuit]]:
    """Each charge point with its circuit."""
    for point in case.job.points:
        if circuit := case.job.circuit(point.board, point.circuit):
            yield point, circuit


@rule(title="The voltage drop is within its limit", area=Area.VOLTAGE_DROP, reference=REFERENCE)
def voltage_drop_is_within_its_limit(case: Case) -> Iterator[Outcome]:
    """Summed from the origin to the point, at full load."""
    for point, circuit in _of_points(case):
        total = total_drop(case, circuit)
        yield total if isinstance(total, Outcome) else _judged(case, point, total)


def _judged(case: Case, point: Point, total: Total) -> Outcome:
    """The verdict on the drop at a point."""
    limit = case.edition.drops.limit(quantity(total.length, "m"))
    calculation, places = total.calculation(limit), cells(*total.inputs)
    if meets(total.percent, magnitude(limit.quantity, "%")):
        sure = weakest((total.confidence, limit.confidence))
        return passed(name_of(point), "The voltage drop is within its limit.", places, calculation, sure)
    return _over(case, point, total, limit)


def _over(case: Case, point: Point, total: Total, limit: Value) -> Outcome:
    """The verdict on a drop above its limit: a query, and a fail where no supply may drop so far."""
    greatest, (lowest, _) = case.edition.drops.greatest(), case.edition.charging.open_pen_voltages()
    left = magnitude(case.job.supply.voltage, "V") * (1 - total.percent / 100)
    hopeless = not meets(total.percent, magnitude(greatest.quantity, "%"))
    hopeless = hopeless or not reaches(left, magnitude(lowest.quantity, "V"))
    return Outcome(
        Verdict.FAIL if hopeless else Verdict.QUERY,
        name_of(point),
        "The voltage drop is above its limit.",
        cells(*total.inputs),
        found=f"{figure(total.percent, '%')}, leaving {figure(left, 'V')} at the vehicle",
        expected=f"at most {limit.upper(quantity(total.percent, '%'))}",
        remedy="Choose a larger cable, or lock the point's limit lower.",
        calculation=total.calculation(limit),
    )


@rule(title="One phase alone drops no more", area=Area.VOLTAGE_DROP, reference=REFERENCE)
def one_phase_alone_drops_no_more(case: Case) -> Iterator[Outcome]:
    """Where three phases lead to a point, single-phase vehicles on one of them load the neutral of the whole path."""
    for point, circuit in _of_points(case):
        if all(phases_of(case, each) != 3 for each in case.job.path(circuit)):
            continue
        total = total_drop(case, circuit, single_phase=True)
        yield total if isinstance(total, Outcome) else _alone(case, point, total)


def _alone(case: Case, point: Point, total: Total) -> Outcome:
    """The verdict on the drop at a point while one phase alone is loaded."""
    limit = case.edition.drops.limit(quantity(total.length, "m"))
    if meets(total.percent, magnitude(limit.quantity, "%")):
        sure = weakest((total.confidence, limit.confidence))
        message = "Vehicles on one phase keep within the limit too."
        return passed(name_of(point), message, cells(*total.inputs), total.calculation(limit), sure)
    return replace(
        _over(case, point, total, limit),
        message="With single-phase vehicles on one phase alone the voltage drop is above its limit.",
        remedy="Choose a larger cable or a lower limit; where the points take turns on L1, L2 and L3, "
        "end the numbers of their ways with the phase.",
    )


@rule(title="The vehicle keeps its voltage", area=Area.VOLTAGE_DROP, reference="common practice")
def vehicles_keep_their_voltage(case: Case) -> Iterator[Outcome]:
    """The volts at the vehicle; a device that opens below its limit must not do so on a low public supply."""
    for point, circuit in _of_points(case):
        total = total_drop(case, circuit)
        if isinstance(total, Outcome):
            continue
        lowest_public, _ = case.edition.testing.voltage_band()
        opens, _ = case.edition.charging.open_pen_voltages()
        nominal = magnitude(case.job.supply.voltage, "V")
        volts, least = nominal * (1 - total.percent / 100), magnitude(lowest_public.quantity, "V")
        low = least - nominal * total.percent / 100
        places: tuple[Place, ...] = cells(*total.inputs) + point.where("open_pen")
        drop, sensing = figure(nominal - volts, "V"), point.open_pen in SENSING
        # below that voltage a device may open: told, since it endangers nobody, and no limit of the drop
        opening = sensing and not reaches(low, magnitude(opens.quantity, "V"))
        calculation = Calculation(
            "U = U_0 − u; U_low = U_min − u",
            f"{figure(nominal, 'V')} − {drop} = {figure(volts, 'V')}; "
            f"{lowest_public.shown} − {drop} = {figure(low, 'V')}",
            figure(low if sensing else volts, "V"),
            f"told, not limited; a device opens below {opens.shown} on a low supply ({opens.reference})"
            if opening
            else f"at least {opens.shown} on a low supply ({opens.reference})"
            if sensing
            else "told, not limited",
            surplus(low, magnitude(opens.quantity, "V")) if sensing and not opening else None,
            (*total.inputs, tabled("U_min", lowest_public), *([tabled("U_open", opens)] if sensing else [])),
        )
        if opening:
            yield Outcome(
                Verdict.NOTE,
                name_of(point),
                "On a low public supply the device against an open PEN may open while a vehicle charges.",
                places,
                found=f"{lowest_public.shown} less the drop: {figure(low, 'V')}",
                expected=f"at least {opens.shown}",
                remedy="Tell the client, or reduce the drop.",
                calculation=calculation,
            )
        else:
            lowest = f", on a low supply {figure(low, 'V')}" if sensing else ""
            message = f"At full load the vehicle sees {figure(volts, 'V')}{lowest}."
            yield passed(name_of(point), message, places, calculation, plausible=True)
