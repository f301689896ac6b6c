"""The smallest short circuit of a circuit: it still trips the device, and the line conductor bears it."""

from collections.abc import Iterator
from typing import Any

from pipeline.editions import CABLE_CELLS, DEVICE_CELLS, Device, Missing, Value, derived, together, weakest
from pipeline.facts.choices import DeviceStandard, EarthingSystem
from pipeline.facts.findings import Calculation, Verdict, WhenMissing
from pipeline.facts.quantities import magnitude, quantity
from pipeline.facts.rows.circuits import Circuit
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule, surplus
from pipeline.rules.conductors import cable_of
from pipeline.rules.fault_current import largest_at
from pipeline.rules.outcomes import (
    blank,
    cells,
    lacking,
    name_of,
    nought,
    passed,
    shown,
    tabled,
    typed,
    unmeasured,
    untabled,
)
from pipeline.standards.formula import figure
from pipeline.standards.iec_60364_4_41_2005.clause_411 import neutral_loop_impedance, smallest_short_circuit
from pipeline.standards.iec_60364_4_43_2008.clause_434 import smallest_area

# circuit-breakers that trip at once at a multiple of their rating
BREAKERS = frozenset({DeviceStandard.MCB, DeviceStandard.RCBO})


@rule(
    title="A fault at the far end is cleared",
    area=Area.FAULT_CURRENT,
    reference="IEC 60364-4-43, 434.5.2",
    when_missing=WhenMissing.PRINT,
)
def far_end_faults_are_cleared(case: Case) -> Iterator[Outcome]:
    """Line to neutral, conductors hot, voltage lowest: the device trips at once, and the line bears it until then."""
    for circuit in case.job.circuits:
        device, loop = Device.of(circuit), _neutral_loop(case, circuit)
        if device is None:
            yield blank(name_of(circuit), circuit, *DEVICE_CELLS)
        elif isinstance(loop, Outcome):
            yield loop
        else:
            judged = _far_end(case, circuit, device, loop)
            open_ = judged.verdict in (Verdict.QUERY, Verdict.NOT_ASSESSED)
            yield (_by_overload(case, circuit, judged) if open_ else None) or judged


def _by_overload(case: Case, circuit: Circuit, judged: Outcome) -> Outcome | None:
    """What settles a far end that the device may not clear at once: it protects the conductors against overload.

    So it does with I_n ≤ I_z, and it must break the largest fault current at its place; None where either is not shown.
    """
    run, board = cable_of(case, circuit), case.job.board(circuit.board)
    if (
        run is None
        or board is None
        or circuit.device is None
        or circuit.device_rating is None
        or circuit.breaking_capacity is None
    ):
        return None
    capacity, share = case.edition.cables.capacity(run), case.edition.cables.fuse_factor(circuit.device)
    largest = largest_at(case.job, board)
    if isinstance(capacity, Missing) or isinstance(largest, Outcome):
        return None
    least = min((capacity.effective, capacity.unburied), key=lambda each: magnitude(each.quantity, "A"))
    i_z, i_n = share.quantity.magnitude * magnitude(least.quantity, "A"), magnitude(circuit.device_rating, "A")
    if not meets(i_n, i_z) or not meets(largest.kiloamperes, magnitude(circuit.breaking_capacity, "kA")):
        return None
    inputs = (typed("I_n", circuit, "device_rating"), tabled("I_t", capacity.tabulated), *largest.inputs)
    calculation = Calculation(
        "I_n ≤ I_z; I_pf ≤ I_cn",
        f"{figure(i_n, 'A')} ≤ {figure(i_z, 'A')}; "
        f"{figure(largest.kiloamperes, 'kA')} ≤ {shown(circuit, 'breaking_capacity')}",
        figure(i_n, "A"),
        f"{figure(i_z, 'A')} ({capacity.tabulated.reference})",
        margin(i_n, i_z),
        (*inputs, typed("I_cn", circuit, "breaking_capacity")),
    )
    return Outcome(
        Verdict.NOTE,
        name_of(circuit),
        "A short circuit at the far end may not trip the device at once, but the conductors are protected "
        "against overload by the same device, IEC 60364-4-43, 435.1.",
        cells(*calculation.inputs),
        found=judged.found,
        expected="disconnection at once, or I_n ≤ I_z",
        remedy="Nothing; disconnection in time is judged by Zs.",
        reference="IEC 60364-4-43, 435.1",
        calculation=calculation,
    )


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
    run, points = cable_of(case, circuit), case.edition.protection.clearing_points(device)
    if isinstance(points, Missing):
        return untabled(name_of(circuit), points, circuit.where(*DEVICE_CELLS), aid=True)
    if run is None:
        return blank(name_of(circuit), circuit, *CABLE_CELLS)
    k = case.edition.earthing.line_factor(run)
    if isinstance(k, Missing):
        return untabled(name_of(circuit), k, circuit.where("live_size"), aid=True)
    c_min = case.edition.protection.voltage_factor()
    current = smallest_short_circuit(c_min=c_min.quantity, u_0=case.job.supply.voltage, z_ln=loop.quantity)
    needed, time = next((each for each in points if reaches(current.quantity, each[0].quantity)), points[-1])
    area = smallest_area(current=heating_current(device, current.quantity, needed), time=time.quantity, k=k.quantity)
    inputs = (
        typed("L", circuit, "length"),
        typed("S", circuit, "live_size"),
        tabled("Z_LN", loop),
        tabled("C_min", c_min),
        tabled("I_a", needed),
        tabled("t", time),
        tabled("k", k),
    )
    calculation = Calculation(
        f"{current.symbols} ≥ I_a; {loop.worked.symbols if loop.worked else 'Z_LN'}; {area.symbols}",
        f"{current.numbers}; {loop.worked.numbers if loop.worked else ''}; {area.numbers} = {area.shown}",
        current.shown,
        f"at least {needed.lower(current.quantity)} ({needed.reference})",
        surplus(current.quantity, needed.quantity),
        inputs,
    )
    within = "at once" if device.standard in BREAKERS else f"within {time.shown}"
    if reaches(current.quantity, needed.quantity) and meets(area.quantity, run.live_size):
        sure = weakest((loop.confidence, needed.confidence, k.confidence))
        message = f"A short circuit at the far end trips the device {within}, and the line conductor bears it."
        return passed(name_of(circuit), message, cells(*inputs), calculation, sure)
    trips = reaches(current.quantity, needed.quantity)
    return Outcome(
        Verdict.QUERY,
        name_of(circuit),
        f"The line conductor may not bear a short circuit at the far end for {time.shown}."
        if trips
        else f"A short circuit at the far end may not trip the device {within}.",
        cells(*inputs),
        found=f"{current.shown}, for which {area.shown} are needed" if trips else current.shown,
        expected=f"at most {run.live_size.m:g} mm²" if trips else f"at least {needed.lower(current.quantity)}",
        remedy="Choose a larger cable or a device that trips at a lower current.",
        calculation=calculation,
    )


def heating_current(device: Device, current: Any, needed: Value) -> Any:
    """The current that heats a conductor most: a breaker's fault current, of a fuse the least that melts it in time."""
    return current if device.standard in BREAKERS else needed.quantity
