"""Whether a fault to earth disconnects in time: the loop as designed and as measured, against its limit."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from pipeline.editions import CABLE_CELLS, DEVICE_CELLS, Device, Missing, Value, derived, together, weakest
from pipeline.facts.choices import ByWhat, Connection, EarthingSystem, Function, YesNo
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Input, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.reading import number_read
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import Area, Case, Outcome, margin, meets, rule
from pipeline.rules.conductors import cable_of
from pipeline.rules.earthing import FaultRcd, fault_rcd
from pipeline.rules.instruments import band, band_at_the_origin, spread, uncertain
from pipeline.rules.outcomes import (
    blank,
    cells,
    name_of,
    not_applicable,
    passed,
    permitted,
    shown,
    tabled,
    typed,
    unmeasured,
    untabled,
    working,
)
from pipeline.standards.formula import upper_limit
from pipeline.standards.iec_60364_4_41_2005.clause_411 import fault_current, loop_impedance

REFERENCE = "IEC 60364-4-41, 411.4.4"
ON_TT = "IEC 60364-4-41, 411.5.3"


def device_limit(case: Case, circuit: Circuit) -> Value | Outcome:
    """The largest loop impedance that the circuit's overcurrent device allows."""
    return case.once(("limit", id(circuit)), lambda: _device_limit(case, circuit))


def _device_limit(case: Case, circuit: Circuit) -> Value | Outcome:
    """The same, worked out."""
    job, device, system = case.job, Device.of(circuit), case.job.earthing_of(circuit)
    if device is None or circuit.feeds is None:
        return blank(name_of(circuit), circuit, *DEVICE_CELLS, "feeds")
    if system is None or job.supply.voltage is None:
        return blank("Supply", job.supply, "earthing_system", "voltage")
    protection, socket = case.edition.protection, _has_socket(job, circuit)
    time = protection.disconnection_time(system, circuit.feeds, device.rating, job.supply.voltage, socket_outlet=socket)
    limit = time if isinstance(time, Missing) else protection.loop_limit(device, time.quantity, job.supply.voltage)
    return untabled(name_of(circuit), limit, circuit.where(*DEVICE_CELLS)) if isinstance(limit, Missing) else limit


def earth_loop(case: Case, circuit: Circuit, *, warm: bool) -> Value | Outcome:
    """Z_e and the sum of R_1 + R_2 along the path, the conductors at full load or at 20 °C."""
    return case.once(("loop", id(circuit), warm), lambda: _earth_loop(case, circuit, warm=warm))


def _earth_loop(case: Case, circuit: Circuit, *, warm: bool) -> Value | Outcome:
    """The same, worked out."""
    supply = case.job.supply
    if gap := unmeasured("Supply", supply, "ze"):
        return gap
    parts = sections_of(case, circuit, warm=warm)
    if isinstance(parts, Outcome):
        return parts
    ze = supply.ze.quantity if supply.ze else None
    return derived(loop_impedance(z_e=ze, r1_r2=tuple(each.quantity for each in parts)), *parts)


def sections_of(case: Case, circuit: Circuit, *, warm: bool) -> tuple[Value, ...] | Outcome:
    """R_1 + R_2 of each section of the path, the conductors at full load or at 20 °C."""
    return case.once(("sections", id(circuit), warm), lambda: _sections_of(case, circuit, warm=warm))


def _sections_of(case: Case, circuit: Circuit, *, warm: bool) -> tuple[Value, ...] | Outcome:
    """The same, worked out."""
    cables = case.edition.cables
    found: list[Value | Missing] = []
    for section in case.job.path(circuit):
        run = cable_of(case, section)
        if run is None:
            return blank(name_of(section), section, *CABLE_CELLS)
        found.append(cables.warm_pair_resistance(run) if warm else cables.pair_resistance(run))
    parts = together(*found)
    if isinstance(parts, Missing):
        return untabled(name_of(circuit), parts, circuit.where("live_size", "cpc_size"))
    return parts


def on_tn(case: Case) -> Iterator[Circuit]:
    """Circuits whose faults are cleared by overcurrent devices."""
    return (each for each in case.job.circuits if case.job.earthing_of(each) is not EarthingSystem.TT)


def _declared(case: Case, circuit: Circuit, z_s: Any) -> bool:
    """Whether an RCD that the designer declares as fault protection clears a fault through this loop."""
    if circuit.rcd_for_fault is not YesNo.YES or circuit.rcd_rating is None or case.job.supply.voltage is None:
        return False
    protection = case.edition.protection
    current = fault_current(u_0=case.job.supply.voltage, z_s=z_s).quantity
    enough = meets(protection.residual_disconnecting_current(circuit.rcd_rating).quantity, current)
    return enough and meets(z_s, protection.largest_electrode_resistance(circuit.rcd_rating).quantity)


@rule(title="The designed loop lets the device trip", area=Area.LOOP_IMPEDANCE, reference=REFERENCE)
def predicted_zs_is_within_its_limit(case: Case) -> Iterator[Outcome]:
    """Z_e and the hot conductors of the whole path, against the device's limit."""
    for circuit in case.job.circuits:
        if case.job.earthing_of(circuit) is EarthingSystem.TT:
            yield not_applicable(name_of(circuit), "On TT the RCD disconnects; its limit is judged with the electrode.")
            continue
        limit, loop = device_limit(case, circuit), earth_loop(case, circuit, warm=True)
        if isinstance(limit, Outcome):
            yield limit
        else:
            yield loop if isinstance(loop, Outcome) else _predicted(case, circuit, loop, limit)


def _predicted(case: Case, circuit: Circuit, loop: Value, limit: Value) -> Outcome:
    """The verdict on a predicted loop."""
    supply = case.job.supply
    declared = supply.ze_by is ByWhat.ENQUIRY
    off = 0.0 if declared or not supply.ze else band_at_the_origin(case, supply.ze, "Ω")
    sections = sections_of(case, circuit, warm=True)
    inputs = (
        typed("Z_e", supply, "ze"),
        *spread(off, "Ω"),
        *(typed("L", each, "length") for each in case.job.path(circuit)),
        *(tabled("R_1 + R_2", each) for each in (() if isinstance(sections, Outcome) else sections)),
        typed("I_n", circuit, "device_rating"),
        permitted("Z_s,max", limit, loop.quantity),
    )
    most = limit.upper(loop.quantity)
    calculation = _added_up(working(loop, limit, *inputs), shown(supply, "ze"), sections)
    if meets(loop.quantity, limit.quantity):
        if not meets(magnitude(loop.quantity, "Ω") + off, magnitude(limit.quantity, "Ω")):
            return Outcome(
                Verdict.QUERY,
                name_of(circuit),
                uncertain("The designed loop", off, "Ω"),
                cells(*inputs),
                found=loop.shown,
                expected=f"at most {most}",
                remedy="Measure Ze with a more exact instrument, or choose a larger protective conductor.",
                calculation=calculation,
            )
        if not declared:
            sure = weakest((loop.confidence, limit.confidence))
            message = "The designed loop lets the device trip in time."
            return passed(name_of(circuit), message, cells(*inputs), calculation, sure)
        return Outcome(
            Verdict.NOTE,
            name_of(circuit),
            "The designed loop lets the device trip in time, by the largest Ze that the operator declares.",
            cells(*inputs) + supply.where("ze_by"),
            found=loop.shown,
            expected=f"at most {most}",
            remedy="Measure Ze at the visit.",
            calculation=calculation,
        )
    rcd = _declared(case, circuit, loop.quantity)
    return Outcome(
        Verdict.QUERY if rcd else Verdict.FAIL,
        name_of(circuit),
        "The designed loop is too large for the overcurrent device"
        f"{'; the designer declares the RCD as fault protection' if rcd else ''}.",
        cells(*inputs),
        found=loop.shown,
        expected=f"at most {most}",
        remedy="Choose a larger protective conductor or another device, or declare an RCD as fault protection.",
        calculation=calculation,
    )


def _added_up(calculation: Calculation, z_e: str, sections: tuple[Value, ...] | Outcome) -> Calculation:
    """The working with each section's resistance per metre, its factors for the temperature, and its length."""
    worked = [] if isinstance(sections, Outcome) else [each.worked for each in sections if each.worked]
    if not worked:
        return calculation
    symbols = "; ".join(dict.fromkeys(each.symbols for each in worked))
    numbers = " + ".join([z_e, *(each.numbers for each in worked)])
    return replace(calculation, symbols=f"{calculation.symbols}; {symbols}", numbers=numbers)


@rule(title="Zs as measured lets the device trip", area=Area.LOOP_IMPEDANCE, reference=REFERENCE, needed=Needed.TEST)
def measured_zs_is_within_its_limit(case: Case) -> Iterator[Outcome]:
    """Up to the share of the limit that allows for warm conductors; between share and limit somebody decides.

    On TT, where the RCD disconnects, up to U_L / I_Δn.
    """
    for circuit in case.job.circuits:
        row, tt = case.job.latest(circuit), case.job.earthing_of(circuit) is EarthingSystem.TT
        rcd = fault_rcd(case.job, circuit) if tt else None
        if row is None or (tt and rcd is None):
            continue
        if gap := unmeasured(name_of(circuit), row, "zs", "zs_source"):
            yield gap
        elif rcd is not None:
            yield replace(_measured_on_tt(case, circuit, row, rcd), reference=ON_TT)
        else:
            limit = device_limit(case, circuit)
            yield limit if isinstance(limit, Outcome) else _measured(case, circuit, row, limit)


def cold_limit(case: Case, limit: Value) -> float:
    """Up to which reading on a cold circuit, in ohms, a loop limit holds at once."""
    return magnitude(limit.quantity, "Ω") * float(case.edition.protection.loop_share().quantity.magnitude)


def _measured(case: Case, circuit: Circuit, row: CircuitReadings, limit: Value) -> Outcome:
    """The verdict on a loop reading."""
    share = case.edition.protection.loop_share()
    zs = number_read(row.zs, "Ω")
    most = magnitude(limit.quantity, "Ω")
    cold = cold_limit(case, limit)
    off = band(case.job, row, Function.LOOP, row.zs, "Ω")
    permissible, judged = limit.upper(row.zs.quantity if row.zs else None), upper_limit(cold, "Ω", zs)
    relation = f"{share.shown} × {limit.worked.numbers if limit.worked else permissible}"
    calculation = Calculation(
        f"Z_s ≤ {share.shown} × Z_s,max; {limit.worked.symbols if limit.worked else 'Z_s,max from the table'}",
        f"{shown(row, 'zs')} ≤ {relation}",
        shown(row, "zs"),
        f"{judged} (on cold conductors, of {permissible} permitted; {limit.reference}; {share.reference})",
        margin(zs, cold),
        (
            typed("Z_s", row, "zs"),
            *spread(off, "Ω"),
            permitted("Z_s,max", limit, row.zs.quantity if row.zs else None),
            tabled("share", share),
        ),
    )
    places = row.where("zs") + circuit.where(*DEVICE_CELLS)
    expected = f"at most {judged} ({share.shown} of the {permissible} permitted, since warm conductors resist more)"
    if meets(zs + off, cold):
        sure = weakest((limit.confidence, share.confidence))
        return passed(name_of(circuit), "Zs is within its limit.", places, calculation, sure)
    if meets(zs, most):
        message = f"Zs is within the {permissible} permitted, but may go beyond it once the conductors are warm."
        if meets(zs, cold):
            message = uncertain("Zs", off, "Ω")
        verdict = Verdict.QUERY
    else:
        message = "Zs is too large: the overcurrent device may not trip in time."
        verdict = Verdict.QUERY if _declared(case, circuit, row.zs.quantity if row.zs else None) else Verdict.FAIL
    return Outcome(
        verdict,
        name_of(circuit),
        message,
        places,
        found=shown(row, "zs"),
        expected=expected,
        remedy="Look for a loose or thin connection and measure again; else change cable or device.",
        calculation=calculation,
    )


def _measured_on_tt(case: Case, circuit: Circuit, row: CircuitReadings, rcd: FaultRcd) -> Outcome:
    """The verdict on a loop reading that the RCD of the circuit is to disconnect, in the time that is named."""
    job, protection = case.job, case.edition.protection
    limit = protection.largest_electrode_resistance(rcd.rating)
    off = band(job, row, Function.LOOP, row.zs, "Ω")
    zs, most = number_read(row.zs, "Ω"), magnitude(limit.quantity, "Ω")
    allowed = limit.upper(row.zs.quantity if row.zs else None)
    calculation = Calculation(
        f"Z_s ≤ {limit.worked.symbols if limit.worked else 'Z_s,max'}",
        f"{shown(row, 'zs')} ≤ {limit.worked.numbers if limit.worked else ''} = {allowed}",
        shown(row, "zs"),
        f"{allowed} ({limit.worked.numbers if limit.worked else ''}; {limit.reference})",
        margin(zs, most),
        (typed("Z_s", row, "zs"), *spread(off, "Ω"), rcd.input, permitted("Z_s,max", limit), *_time(case, circuit)),
    )
    places = row.where("zs") + rcd.places
    if meets(zs + off, most):
        message = "Zs is within what the RCD allows on TT."
        return passed(name_of(circuit), message, places, calculation, limit.confidence)
    return Outcome(
        Verdict.QUERY if meets(zs, most) else Verdict.FAIL,
        name_of(circuit),
        uncertain("Zs", off, "Ω") if meets(zs, most) else "Zs is too large: the RCD may not disconnect in time.",
        places,
        found=shown(row, "zs"),
        expected=f"at most {allowed}",
        remedy="Look for a loose connection and measure again; else improve the electrode.",
        calculation=calculation,
    )


def _time(case: Case, circuit: Circuit) -> tuple[Input, ...]:
    """The longest time to disconnect a circuit on TT, where its cells tell it."""
    job, device = case.job, Device.of(circuit)
    if device is None or circuit.feeds is None or job.supply.voltage is None:
        return ()
    time = case.edition.protection.disconnection_time(
        EarthingSystem.TT,
        circuit.feeds,
        device.rating,
        job.supply.voltage,
        socket_outlet=_has_socket(job, circuit),
    )
    return () if isinstance(time, Missing) else (tabled("t_max", time),)


def _has_socket(job: Job, circuit: Circuit) -> bool:
    """Whether a charge point of the circuit has a socket-outlet."""
    models = [job.model(each.model) for each in job.points_on(circuit)]
    return any(each is not None and each.connection is Connection.SOCKET for each in models)
