"""Electrodes beside their RCD: a rod's resistance by its soil, as an aid, and the current that trips in time."""

from collections.abc import Iterator
from dataclasses import replace

from pipeline.editions import Value
from pipeline.facts.choices import EarthingSystem, ElectrodeKind, RcdDelay, YesNo
from pipeline.facts.findings import Calculation, Confidence, Verdict, WhenMissing
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.electrodes import Electrode
from pipeline.rules.base import Area, Case, Outcome, meets, reaches, rule, surplus
from pipeline.rules.earthing import FaultRcd, fault_rcd
from pipeline.rules.outcomes import cells, lacking, name_of, not_applicable, passed, shown, tabled, typed, unmeasured
from pipeline.standards.formula import figure
from pipeline.standards.iec_60364_4_41_2005.clause_411 import fault_current

ROD = ("rod_length", "rod_diameter", "soil")
ON_TN, ON_TT = "IEC 60364-4-41, 411.4.4", "IEC 60364-4-41, 411.5.3"
# soil is so uneven that a reading within this factor of the estimate is no surprise: common practice
APART = 3.0


@rule(
    title="An electrode reads as its soil lets expect",
    area=Area.EARTHING,
    reference="rod in uniform soil; common practice",
    when_missing=WhenMissing.PRINT,
)
def electrodes_read_as_their_soil_lets_expect(case: Case) -> Iterator[Outcome]:
    """An aid for one rod whose length, diameter and soil are entered; nothing is judged by it."""
    for electrode in case.job.electrodes:
        subject = name_of(electrode)
        if electrode.electrode is not ElectrodeKind.ROD or all(getattr(electrode, each) is None for each in ROD):
            yield not_applicable(subject, "No rod with its soil is entered, so that nothing is estimated.")
        elif gap := lacking(subject, electrode, *ROD):
            yield gap
        else:
            yield _estimated(case, electrode)


def _estimated(case: Case, electrode: Electrode) -> Outcome:
    """The estimate, and a reading against it."""
    subject = name_of(electrode)
    worked = case.edition.earthing.rod(electrode.soil, electrode.rod_length, electrode.rod_diameter)
    estimate = magnitude(worked.quantity, "Ω")
    attribute = "resistance" if case.job.tested else "expected"
    entered = getattr(electrode, attribute)
    amount = getattr(entered, "quantity", entered)
    inputs = tuple(typed(symbol, electrode, each) for symbol, each in zip(("L", "d", "ρ"), ROD, strict=True))
    calculation = Calculation(
        worked.worked.symbols if worked.worked else "",
        worked.worked.numbers if worked.worked else "",
        f"about {worked.shown}",
        f"within {APART:g} times ({worked.reference}; common practice)",
        None,
        (*inputs, typed("R_A", electrode, attribute)),
    )
    places = cells(*calculation.inputs)
    if amount is None:
        return passed(subject, f"By its soil such a rod reads about {worked.shown}.", places, calculation)
    ohm = magnitude(amount, "Ω")
    if meets(ohm, APART * estimate) and reaches(ohm, estimate / APART):
        return passed(subject, "R_A is what rod and soil let expect.", places, calculation)
    return Outcome(
        Verdict.NOTE,
        subject,
        "R_A is far from what rod and soil let expect.",
        places,
        found=f"{shown(electrode, attribute)}, estimated {worked.shown}",
        expected=f"{figure(estimate / APART, 'Ω')} to {figure(APART * estimate, 'Ω')}",
        remedy="Compare rod and soil with the site; look what else was connected while it was measured.",
        calculation=calculation,
    )


@rule(
    title="An RCD that disconnects gets its current",
    area=Area.EARTHING,
    reference="IEC 60364-4-41, 411.4.4 and 411.5.3",
)
def rcds_that_disconnect_get_their_current(case: Case) -> Iterator[Outcome]:
    """U_0 / Z ≥ 5 I_Δn, with which the tabulated times hold: on TT, and where an RCD is the fault protection."""
    for circuit in case.job.circuits:
        if rcd := _disconnecting(case, circuit):
            tt = case.job.earthing_of(circuit) is EarthingSystem.TT
            yield replace(_current(case, circuit, rcd), reference=ON_TT if tt else ON_TN)


def _disconnecting(case: Case, circuit: Circuit) -> FaultRcd | None:
    """The RCD that is a circuit's fault protection: on TT any before it, on TN its own where the designer says so."""
    if case.job.earthing_of(circuit) is EarthingSystem.TT:
        return fault_rcd(case.job, circuit)
    if circuit.rcd_for_fault is not YesNo.YES or circuit.rcd_rating is None:
        return None
    return FaultRcd(circuit.rcd_rating, circuit.rcd_delay is RcdDelay.S, typed("I_Δn", circuit, "rcd_rating"))


def _current(case: Case, circuit: Circuit, rcd: FaultRcd) -> Outcome:
    """The verdict on the fault current through the loop that was measured, else through the electrode."""
    subject, row, electrode = name_of(circuit), case.job.latest(circuit), case.job.electrode(circuit)
    if gap := lacking("Supply", case.job.supply, "voltage"):
        return gap
    if row and row.zs and row.zs.measured and row.zs.quantity.magnitude:
        z_s, source = row.zs.quantity, typed("Z_s", row, "zs")
    elif (
        electrode and electrode.resistance and electrode.resistance.measured and electrode.resistance.quantity.magnitude
    ):
        z_s, source = electrode.resistance.quantity, typed("R_A", electrode, "resistance")
    elif not case.job.tested:
        return not_applicable(subject, "The loop is measured at the visit.")
    else:
        return (unmeasured(subject, row, "zs") if row else None) or not_applicable(
            subject, "Told where readings are missing."
        )
    needed: Value = case.edition.protection.residual_disconnecting_current(rcd.rating)
    current = fault_current(u_0=case.job.supply.voltage, z_s=z_s)
    calculation = Calculation(
        f"{current.symbols} ≥ 5 I_Δn",
        f"{current.numbers} = {current.shown} ≥ {needed.lower()}",
        current.shown,
        f"at least {needed.lower()} ({needed.reference})",
        surplus(current.quantity, needed.quantity),
        (source, rcd.input, tabled("5 I_Δn", needed)),
    )
    places = cells(*calculation.inputs)
    if reaches(current.quantity, needed.quantity):
        # far from the limit it does not matter how sure the multiple is
        sure = Confidence.CONFIRMED if reaches(calculation.margin, 50) else needed.confidence
        return passed(subject, "A fault drives enough current through the RCD.", places, calculation, sure)
    return Outcome(
        Verdict.QUERY,
        subject,
        "The fault current is so small that the RCD may take longer than the tabulated time.",
        places,
        found=current.shown,
        expected=calculation.limit,
        remedy="Lower the resistance to earth, or fit an RCD with a smaller I_Δn.",
        calculation=calculation,
    )
