"""Whether the protective conductor survives the fault it carries: by table, by a bound, else not assessed."""

from collections.abc import Iterator
from typing import Any

from pipeline.editions import CABLE_CELLS, DEVICE_CELLS, CableRun, Device, Missing, Value, derived, together, weakest
from pipeline.facts.choices import DeviceStandard, EarthingSystem, ProtectiveConductor, RcdDelay
from pipeline.facts.findings import Calculation, Verdict
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.circuits import Circuit
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.conductors import cable_of
from pipeline.rules.earthing import fault_rcd
from pipeline.rules.loop_impedance import earth_loop
from pipeline.rules.outcomes import (
    blank,
    cells,
    name_of,
    not_applicable,
    nought,
    passed,
    tabled,
    typed,
    unmeasured,
    untabled,
)
from pipeline.standards.iec_60364_4_41_2005.clause_411 import fault_current
from pipeline.standards.iec_60364_4_43_2008.clause_434 import smallest_area

REFERENCE = "IEC 60364-5-54, 543.1"
BREAKERS = frozenset({DeviceStandard.MCB, DeviceStandard.RCBO})


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
            yield _by_bound(case, circuit, run, needed)


def _by_table(circuit: Circuit, run: CableRun, needed: Value) -> Outcome:
    """A pass by the size of the line conductor."""
    inputs = (typed("S", circuit, "live_size"), typed("S_p", circuit, "cpc_size"))
    worked = needed.worked
    calculation = Calculation(
        worked.symbols if worked else "S_p ≥ S_p,min",
        worked.numbers if worked else needed.shown,
        f"{inputs[1].shown}",
        f"at least {needed.shown} ({needed.reference})",
        margin(needed.quantity, run.cpc_size),
        inputs,
    )
    message = "The protective conductor is as large as the table asks."
    return passed(name_of(circuit), message, cells(*inputs), calculation, needed.confidence)


def _by_bound(case: Case, circuit: Circuit, run: CableRun, needed: Value) -> Outcome:
    """S ≥ I √t / k with the time in which the device surely has cleared; a bound, so a note.

    The current is that of a fault at the far end, as common practice reckons; nearer the board it is larger and
    the breaker faster than the time taken here.
    """
    loop = _loop(case, circuit)
    if isinstance(loop, Outcome):
        return loop
    current = fault_current(u_0=case.job.supply.voltage, z_s=loop.quantity)
    parts = together(_clearing_time(case, circuit, current.quantity), case.edition.earthing.protective_factor(run))
    if isinstance(parts, Missing):
        return untabled(name_of(circuit), parts, circuit.where("cpc_size", *DEVICE_CELLS))
    time, k = parts
    area = derived(smallest_area(current=current.quantity, time=time.quantity, k=k.quantity), loop, time, k)
    inputs = (typed("S_p", circuit, "cpc_size"), tabled("k", k), tabled("t", time))
    calculation = Calculation(
        f"S_p ≥ {area.worked.symbols if area.worked else ''}; {current.symbols}",
        f"{area.worked.numbers if area.worked else ''}; {current.numbers} = {current.shown}",
        inputs[0].shown,
        f"at least {area.shown} ({area.reference})",
        margin(area.quantity, run.cpc_size),
        inputs,
    )
    good = meets(area.quantity, run.cpc_size)
    return Outcome(
        Verdict.NOTE if good else Verdict.NOT_ASSESSED,
        name_of(circuit),
        "The protective conductor is smaller than the table asks, but bears a fault by a bound on the safe side."
        if good
        else "Not assessed: neither the table nor the bound shows that the protective conductor bears a fault.",
        cells(*inputs) + circuit.where("live_size"),
        found=inputs[0].shown,
        expected=f"at least {needed.shown} by the table, or {area.shown} by the bound",
        remedy="Nothing; the calculation is on the record."
        if good
        else "Choose a larger protective conductor, or have the let-through energy compared with the maker's data.",
        calculation=calculation,
    )


def _unbounded(case: Case) -> Missing:
    """Why no bound holds for a device."""
    return Missing(
        "The protective conductor is smaller than the table asks, and a bound holds only for circuit-breakers that "
        "trip at once: the maker's let-through energy is needed.",
        case.edition.protection.instantaneous_time().reference,
    )


def _loop(case: Case, circuit: Circuit) -> Value | Outcome:
    """The cold loop to the end of a circuit: the larger current of the two temperatures."""
    if case.job.supply.voltage is None:
        return blank("Supply", case.job.supply, "voltage")
    if case.job.earthing_of(circuit) is not EarthingSystem.TT:
        return earth_loop(case, circuit, warm=False)
    electrode = case.job.electrode(circuit)
    if electrode is None:
        return not_applicable(name_of(circuit), "Told where the electrode is missing.")
    subject = name_of(electrode)
    if gap := unmeasured(subject, electrode, "resistance") or nought(subject, electrode, "resistance"):
        return gap
    most = case.edition.protection.stable_electrode()
    return Value(electrode.resistance.quantity if electrode.resistance else None, most.confidence, most.reference, "Ω")


def _clearing_time(case: Case, circuit: Circuit, current: Any) -> Value | Missing:
    """The time in which the device has surely cleared: a breaker's instantaneous trip, or on TT the RCD's limit."""
    protection, device = case.edition.protection, Device.of(circuit)
    if case.job.earthing_of(circuit) is EarthingSystem.TT:
        rcd = fault_rcd(case.job, circuit)
        return protection.rcd_time(RcdDelay.S if rcd and rcd.delayed else RcdDelay.NONE, 1)
    if device is None or device.standard not in BREAKERS:
        return _unbounded(case)
    time = protection.instantaneous_time()
    needed = protection.disconnecting_current(device, time.quantity)
    if isinstance(needed, Missing):
        return needed
    return time if reaches(current, needed.quantity) else _unbounded(case)


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
