"""The smallest short circuit of a circuit: it still trips the device, and the line conductor bears it."""

from collections.abc import Iterator

from pipeline.editions import CABLE_CELLS, DEVICE_CELLS, Device, Missing, Value, derived, together, weakest
from pipeline.facts.choices import EarthingSystem
from pipeline.facts.findings import Calculation, Verdict, WhenMissing
from pipeline.facts.quantities import magnitude, quantity
from pipeline.facts.rows.circuits import Circuit
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.conductors import cable_of
from pipeline.rules.outcomes import (
    blank,
    cells,
    lacking,
    name_of,
    nought,
    passed,
    tabled,
    typed,
    unmeasured,
    untabled,
)
from pipeline.standards.iec_60364_4_41_2005.clause_411 import fault_current, neutral_loop_impedance
from pipeline.standards.iec_60364_4_43_2008.clause_434 import smallest_area


@rule(
    title="A fault at the far end is cleared",
    area=Area.FAULT_CURRENT,
    reference="IEC 60364-4-43, 434.5.2",
    when_missing=WhenMissing.PRINT,
)
def far_end_faults_are_cleared(case: Case) -> Iterator[Outcome]:
    """Line to neutral with hot conductors: the device trips at once, and the line conductor bears it until then."""
    for circuit in case.job.circuits:
        device, loop = Device.of(circuit), _neutral_loop(case, circuit)
        if device is None:
            yield blank(name_of(circuit), circuit, *DEVICE_CELLS)
        elif isinstance(loop, Outcome):
            yield loop
        else:
            yield _far_end(case, circuit, device, loop)


def _neutral_loop(case: Case, circuit: Circuit) -> Value | Outcome:
    """Line–neutral loop at the end of a circuit, hot; at the origin Z_e stands for it on TN, U_0 / I_pf on TT."""
    supply = case.job.supply
    tt = supply.earthing_system is EarthingSystem.TT
    attribute = "fault_current" if tt else "ze"
    gap = unmeasured("Supply", supply, attribute) or lacking("Supply", supply, "voltage")
    if gap := gap or nought("Supply", supply, attribute):
        return gap
    origin = getattr(supply, attribute).quantity
    if tt:
        origin = quantity(magnitude(supply.voltage, "V") / magnitude(origin, "A"), "Ω")
    found: list[Value | Missing] = []
    for section in case.job.path(circuit):
        run = cable_of(case, section)
        if run is None:
            return blank(name_of(section), section, *CABLE_CELLS)
        found.append(case.edition.cables.warm_live_resistance(run))
    parts = together(*found)
    if isinstance(parts, Missing):
        return untabled(name_of(circuit), parts, circuit.where("live_size"), aid=True)
    worked = neutral_loop_impedance(z_0=origin, r1_rn=tuple(each.quantity for each in parts))
    return derived(worked, *parts)


def _far_end(case: Case, circuit: Circuit, device: Device, loop: Value) -> Outcome:
    """The verdict on the smallest short circuit of a circuit."""
    run, time = cable_of(case, circuit), case.edition.protection.instantaneous_time()
    needed = case.edition.protection.disconnecting_current(device, time.quantity)
    if isinstance(needed, Missing) or run is None:
        reason = needed if isinstance(needed, Missing) else Missing("The cable is not described.", time.reference)
        return untabled(name_of(circuit), reason, circuit.where(*DEVICE_CELLS), aid=True)
    k = case.edition.earthing.line_factor(run)
    if isinstance(k, Missing):
        return untabled(name_of(circuit), k, circuit.where("live_size"), aid=True)
    current = fault_current(u_0=case.job.supply.voltage, z_s=loop.quantity)
    area = smallest_area(current=current.quantity, time=time.quantity, k=k.quantity)
    inputs = (typed("L", circuit, "length"), typed("S", circuit, "live_size"), tabled("I_a", needed), tabled("k", k))
    calculation = Calculation(
        f"I_a ≤ U_0 / Z_LN; {loop.worked.symbols if loop.worked else 'Z_LN'}; {area.symbols}",
        f"{current.numbers}; {loop.worked.numbers if loop.worked else ''}; {area.numbers} = {area.shown}",
        current.shown,
        f"at least {needed.shown} ({needed.reference})",
        margin(needed.quantity, current.quantity),
        inputs,
    )
    if reaches(current.quantity, needed.quantity) and meets(area.quantity, run.live_size):
        sure = weakest((loop.confidence, needed.confidence, k.confidence))
        message = "A short circuit at the far end trips the device at once, and the line conductor bears it."
        return passed(name_of(circuit), message, cells(*inputs), calculation, sure)
    return Outcome(
        Verdict.QUERY,
        name_of(circuit),
        "A short circuit at the far end may not trip the device at once.",
        cells(*inputs),
        found=current.shown,
        expected=f"at least {needed.shown}",
        remedy="Choose a larger cable or a device that trips at a lower current.",
        calculation=calculation,
    )
