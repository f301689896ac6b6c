"""Whether the protective conductor survives the fault it carries: by table, by a bound, by let-through energy."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pipeline.editions import CABLE_CELLS, DEVICE_CELLS, CableRun, Device, Missing, Value, derived, together, weakest
from pipeline.facts.choices import EarthingSystem, ProtectiveConductor, RcdDelay, YesNo
from pipeline.facts.findings import Calculation, Input, Verdict
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.circuits import Circuit
from pipeline.rules.base import Area, Case, Outcome, meets, reaches, rule, surplus
from pipeline.rules.conductors import cable_of
from pipeline.rules.earth_faults import Fault, largest_fault
from pipeline.rules.earthing import fault_rcd
from pipeline.rules.far_end import BREAKERS, heating_current
from pipeline.rules.loop_impedance import earth_loop
from pipeline.rules.outcomes import (
    blank,
    cells,
    name_of,
    passed,
    tabled,
    typed,
    untabled,
)
from pipeline.standards.iec_60364_4_41_2005.clause_411 import fault_current
from pipeline.standards.iec_60364_4_43_2008.clause_434 import area_for_energy, smallest_area

REFERENCE = "IEC 60364-5-54, 543.1"


@rule(title="The protective conductor bears a fault", area=Area.PROTECTIVE_CONDUCTORS, reference=REFERENCE)
def protective_conductors_bear_a_fault(case: Case) -> Iterator[Outcome]:
    """As large as the table asks, else large enough for the fault until an instantaneous breaker has cleared it."""
    for circuit in case.job.circuits:
        run = cable_of(case, circuit)
        if run is None:
            yield blank(name_of(circuit), circuit, *CABLE_CELLS)
            continue
        needed = case.edition.earthing.protective_size(run)
        if isinstance(needed, Missing):
            yield untabled(name_of(circuit), needed, circuit.where("live_size", "cpc_size"))
        elif reaches(run.cpc_size, needed.quantity):
            yield _by_table(circuit, run, needed)
        else:
            yield _calculated(case, circuit, run, needed)


def _by_table(circuit: Circuit, run: CableRun, needed: Value) -> Outcome:
    """A pass by the size of the line conductor."""
    inputs = (typed("S", circuit, "live_size"), typed("S_p", circuit, "cpc_size"), tabled("S_p,min", needed))
    worked = needed.worked
    calculation = Calculation(
        worked.symbols if worked else "S_p ≥ S_p,min",
        worked.numbers if worked else needed.shown,
        f"{inputs[1].shown}",
        f"at least {needed.lower(run.cpc_size)} ({needed.reference})",
        surplus(run.cpc_size, needed.quantity),
        inputs,
    )
    message = "The protective conductor is as large as the table asks."
    return passed(name_of(circuit), message, cells(*inputs), calculation, needed.confidence)


@dataclass(frozen=True, slots=True)
class Shown:
    """A smallest area that a fault asks for, and the figures it comes from."""

    area: Value
    figures: tuple[Input, ...]
    numbers: str


def _calculated(case: Case, circuit: Circuit, run: CableRun, needed: Value) -> Outcome:
    """By the bound S ≥ I √t / k; where that is not enough, by the let-through energy; else the maker's data decide."""
    fault = largest_fault(case, circuit)
    if isinstance(fault, Outcome):
        return fault
    bound, energy = _bound(case, circuit, run, fault), _let_through(case, circuit, run, fault)
    for each, message in () if isinstance(bound, Missing) else ((bound, BY_BOUND), (energy, BY_ENERGY)):
        if isinstance(each, Shown) and meets(each.area.quantity, run.cpc_size):
            return _borne(circuit, run, each, message)
    if circuit.let_through is not None:
        return _by_maker(case, circuit, run, fault)
    if isinstance(bound, Missing):
        return untabled(name_of(circuit), bound, circuit.where("cpc_size", *DEVICE_CELLS))
    told = f", {energy.area.lower()} by let-through energy" if isinstance(energy, Shown) else ""
    return Outcome(
        Verdict.QUERY if told else Verdict.NOT_ASSESSED,
        name_of(circuit),
        "The protective conductor is too small by the table, by the bound and by the let-through energy of class 3."
        if told
        else "Not assessed: neither the table nor the bound shows that the protective conductor bears a fault.",
        circuit.where("cpc_size", "live_size", *DEVICE_CELLS),
        found=f"{magnitude(run.cpc_size, 'mm²'):g} mm²",
        expected=f"at least {needed.lower()} by the table, {bound.area.lower()} by the bound{told}",
        remedy="Choose a larger protective conductor, or have the let-through energy compared with the maker's data.",
        calculation=_working(circuit, run, energy if isinstance(energy, Shown) else bound),
    )


BY_BOUND = (
    "The protective conductor is smaller than the table asks, but bears the largest fault current "
    "for the time in which the device has surely cleared it."
)
BY_ENERGY = (
    "The protective conductor is smaller than the table asks, but bears a fault by let-through energy, "
    "the device taken as of class 3 as usual (common practice)."
)


def _by_maker(case: Case, circuit: Circuit, run: CableRun, fault: Fault) -> Outcome:
    """By the let-through energy that was entered: its own maker's decides, another's is asked about."""
    k = case.edition.earthing.protective_factor(run)
    if isinstance(k, Missing):
        return untabled(name_of(circuit), k, circuit.where("cpc_size"))
    area = derived(area_for_energy(energy=circuit.let_through, k=k.quantity), k)
    figures = (*fault.figures, typed("I²t", circuit, "let_through"), tabled("k", k))
    source = circuit.let_through_source or "no source named"
    shown_by = Shown(case.edition.earthing.by_calculation(area), figures, f"I²t: {source}; {fault.numbers}")
    calculation = _working(circuit, run, shown_by)
    bears, own = meets(area.quantity, run.cpc_size), circuit.let_through_own is YesNo.YES
    sure = own and circuit.let_through_source is not None
    if bears and sure:
        message = "The protective conductor bears what the device lets through, by its maker's figure."
        return passed(name_of(circuit), message, cells(*calculation.inputs), calculation, k.confidence)
    return Outcome(
        Verdict.QUERY if bears or not sure else Verdict.FAIL,
        name_of(circuit),
        "The let-through energy is not shown to be of the device's own maker."
        if not sure
        else "The protective conductor does not bear what the device lets through.",
        cells(*calculation.inputs) + circuit.where("let_through_own", "let_through_source"),
        found=f"{magnitude(run.cpc_size, 'mm²'):g} mm², {source}",
        expected=calculation.limit,
        remedy="Enter the figure of the device's own maker with its source, or choose a larger protective conductor.",
        calculation=calculation,
    )


def _borne(circuit: Circuit, run: CableRun, by: Shown, message: str) -> Outcome:
    """A note on a conductor that is large enough by calculation; close to a figure from memory a query."""
    calculation = _working(circuit, run, by)
    good = passed(name_of(circuit), message, cells(*calculation.inputs), calculation, by.area.confidence)
    if good.verdict is not Verdict.PASS:
        return good
    return Outcome(
        Verdict.NOTE,
        name_of(circuit),
        message,
        cells(*calculation.inputs),
        found=calculation.result,
        expected=calculation.limit,
        remedy="Nothing; the calculation is on the record.",
        calculation=calculation,
    )


def _working(circuit: Circuit, run: CableRun, by: Shown) -> Calculation:
    """The area needed against the one that is there."""
    worked = by.area.worked
    size = typed("S_p", circuit, "cpc_size")
    return Calculation(
        f"S_p ≥ S_min; {worked.symbols if worked else ''}",
        f"{worked.numbers if worked else by.area.shown}; {by.numbers}",
        size.shown,
        f"at least {by.area.lower(run.cpc_size)} ({by.area.reference})",
        surplus(run.cpc_size, by.area.quantity),
        (size, *by.figures),
    )


def _bound(case: Case, circuit: Circuit, run: CableRun, fault: Fault) -> Shown | Missing:
    """S ≥ I √t / k with the time in which the device surely has cleared; of a fuse, the current of that time."""
    k = case.edition.earthing.protective_factor(run)
    point = _clearing(case, circuit, fault)
    if isinstance(k, Missing) or isinstance(point, Missing):
        return k if isinstance(k, Missing) else point if isinstance(point, Missing) else _unbounded(case)
    heating, time = point
    area = derived(smallest_area(current=heating, time=time.quantity, k=k.quantity), time, k)
    area = case.edition.earthing.by_calculation(area.weakened(fault.confidence))
    return Shown(area, (*fault.figures, tabled("t", time), tabled("k", k)), fault.numbers)


def _let_through(case: Case, circuit: Circuit, run: CableRun, fault: Fault) -> Shown | Missing:
    """S ≥ √(I²t) / k with the largest energy that the device lets through at that current; on TT the RCD clears."""
    device = Device.of(circuit)
    if device is None or case.job.earthing_of(circuit) is EarthingSystem.TT:
        return _unbounded(case)
    energy = case.edition.protection.let_through(device, fault.current)
    parts = together(energy, case.edition.earthing.protective_factor(run))
    if isinstance(parts, Missing):
        return parts
    energy, k = parts
    area = derived(area_for_energy(energy=energy.quantity, k=k.quantity), energy, k)
    area = case.edition.earthing.by_calculation(area.weakened(fault.confidence))
    figures = (*fault.figures, tabled("I²t", energy), tabled("k", k))
    return Shown(area, figures, f"I²t of class 3; {fault.numbers}")


def _unbounded(case: Case) -> Missing:
    """Why no bound holds for a device."""
    return Missing(
        "The protective conductor is smaller than the table asks, and no bound holds at this fault current: "
        "the maker's let-through energy is needed.",
        case.edition.protection.instantaneous_time().reference,
    )


def _clearing(case: Case, circuit: Circuit, fault: Fault) -> tuple[Any, Value] | Missing:
    """The heating current and the time in which the device has surely cleared; on TT within the RCD's limit.

    The smallest current must do for that time, the largest one heats; a fuse lets through most at the smallest, at
    the far end of the warm circuit.
    """
    protection, device = case.edition.protection, Device.of(circuit)
    if case.job.earthing_of(circuit) is EarthingSystem.TT:
        rcd = fault_rcd(case.job, circuit)
        time = protection.rcd_time(RcdDelay.S if rcd and rcd.delayed else RcdDelay.NONE, 1)
        return time if isinstance(time, Missing) else (fault.current, time)
    points = _unbounded(case) if device is None else protection.clearing_points(device)
    if device is None or isinstance(points, Missing):
        return points if isinstance(points, Missing) else _unbounded(case)
    current = fault.least
    if device.standard not in BREAKERS:
        loop = earth_loop(case, circuit, warm=True)
        if isinstance(loop, Outcome):
            return _unbounded(case)
        current = fault_current(u_0=case.job.supply.voltage, z_s=loop.quantity).quantity
    point = next((each for each in points if reaches(current, each[0].quantity)), None)
    return (heating_current(device, fault.current, point[0]), point[1]) if point else _unbounded(case)


@rule(title="A separate protective conductor is not too thin", area=Area.PROTECTIVE_CONDUCTORS, reference=REFERENCE)
def separate_conductors_are_not_too_thin(case: Case) -> Iterator[Outcome]:
    """Outside a cable it needs a size for its mechanical strength, more where nothing protects it."""
    for circuit in case.job.circuits:
        if circuit.cpc is not ProtectiveConductor.SEPARATE or circuit.cpc_size is None:
            continue
        bare, guarded = (case.edition.earthing.separate_size(protected=each) for each in (False, True))
        size, subject, places = circuit.cpc_size, name_of(circuit), circuit.where("cpc", "cpc_size")
        if reaches(size, bare.quantity):
            sure = weakest((bare.confidence, guarded.confidence))
            yield passed(subject, "The separate protective conductor has its size.", places, confidence=sure)
            continue
        thin = not reaches(size, guarded.quantity)
        yield Outcome(
            Verdict.FAIL if thin else Verdict.NOTE,
            subject,
            "The separate protective conductor is too thin."
            if thin
            else "The separate protective conductor needs protection against damage.",
            places,
            found=f"{magnitude(size, 'mm²'):g} mm²",
            expected=f"at least {bare.shown}, or {guarded.shown} where it is protected ({bare.reference})",
            remedy="Choose a larger conductor, or run it in conduit or trunking.",
        )
