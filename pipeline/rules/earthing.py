"""The means of earthing on TT: electrodes, their RCDs, and islands on a supply of another kind."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from pipeline.facts.choices import EarthingSystem, Function, ProtectiveConductor, RcdDelay, RcdPlace, YesNo
from pipeline.facts.field import Needed, Place
from pipeline.facts.findings import Calculation, Input, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude, quantity
from pipeline.facts.reading import number_read
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule, surplus
from pipeline.rules.instruments import band_of, spread, uncertain
from pipeline.rules.outcomes import (
    cells,
    lacking,
    name_of,
    not_applicable,
    passed,
    shown,
    tabled,
    typed,
    unmeasured,
)
from pipeline.standards.formula import figure
from pipeline.standards.iec_60364_4_41_2005.clause_411 import touch_voltage

REFERENCE = "IEC 60364-4-41, 411.5.3"
# no rod in soil reads less; operators declare up to 0.8 Ω for TN-S: common practice
LOOKS_LIKE_TN = 0.8


@dataclass(frozen=True, slots=True)
class FaultRcd:
    """The RCD that clears a fault of a circuit on TT."""

    rating: Any
    delayed: bool
    input: Input

    @property
    def places(self) -> tuple[Place, ...]:
        """Its cell."""
        return cells(self.input)


def fault_rcd(job: Job, circuit: Circuit) -> FaultRcd | None:
    """The RCD at the head of a circuit, else the one in its board, else one farther up the path."""
    return next(_rcds(job, circuit), None)


def _rcds(job: Job, circuit: Circuit) -> Iterator[FaultRcd]:
    """The RCDs that a fault of a circuit on TT flows through, the nearest one first."""
    for section in reversed(job.path(circuit)):
        if job.earthing_of(section) is not EarthingSystem.TT:
            return
        for row in (section, job.board(section.board)):
            if row is not None and row.rcd_rating is not None:
                yield FaultRcd(row.rcd_rating, row.rcd_delay is RcdDelay.S, typed("I_Δn", row, "rcd_rating"))


def _on_tt(case: Case) -> Iterator[Circuit]:
    """Circuits whose faults to earth return through an electrode."""
    return (each for each in case.job.circuits if case.job.earthing_of(each) is EarthingSystem.TT)


@rule(title="The RCD suits the electrode", area=Area.EARTHING, reference=REFERENCE)
def tt_circuits_have_an_rcd_that_suits_the_electrode(case: Case) -> Iterator[Outcome]:
    """R_A × I_Δn ≤ 50 V; a TT circuit without an RCD has no fault protection."""
    for circuit in _on_tt(case):
        rcd, electrode = fault_rcd(case.job, circuit), case.job.electrode(circuit)
        if rcd is None:
            yield _no_rcd(case.job, circuit)
        elif electrode is None:
            yield Outcome(
                Verdict.NOT_ASSESSED,
                name_of(circuit),
                "Not assessed: the circuit is TT, and no electrode is described.",
                circuit.where("earthing_system"),
                found="no row",
                expected="a row on the sheet Earth electrodes",
                remedy="Add the electrode with its resistance.",
            )
        else:
            yield from _touch_voltage(case, circuit, electrode, rcd)


@rule(title="RCDs upstream suit the electrode too", area=Area.EARTHING, reference=REFERENCE)
def rcds_upstream_suit_the_electrode_too(case: Case) -> Iterator[Outcome]:
    """An RCD farther up the path clears what the first one does not see: faults before it, with its own I_Δn."""
    told: list[tuple[Place, ...]] = []
    for circuit in _on_tt(case):
        first, electrode = fault_rcd(case.job, circuit), case.job.electrode(circuit)
        for rcd in _rcds(case.job, circuit):
            if first is None or electrode is None or rcd.places == first.places or rcd.places in told:
                continue
            told.append(rcd.places)
            for each in _touch_voltage(case, circuit, electrode, rcd):
                yield replace(
                    each, subject=f"{each.subject}, RCD of {figure(magnitude(rcd.rating, 'mA'), 'mA')} before it"
                )


def _no_rcd(job: Job, circuit: Circuit) -> Outcome:
    """A TT circuit whose cable no RCD protects; one inside the charge point comes too late for the cable."""
    inside = any(each.rcd_place is RcdPlace.INSIDE for each in job.points_on(circuit))
    return Outcome(
        Verdict.FAIL,
        name_of(circuit),
        "The circuit is TT and no RCD protects it.",
        circuit.where("rcd_type", "rcd_rating"),
        found="an RCD inside the charge point only, which does not protect the cable" if inside else "no RCD",
        expected="an RCD at the head of the circuit or upstream",
        remedy="Fit an RCD at the board.",
    )


def _touch_voltage(case: Case, circuit: Circuit, electrode: Electrode, rcd: FaultRcd) -> Iterator[Outcome]:
    """The verdict on R_A × I_Δn; before the visit by the designer's estimate."""
    estimate = not case.job.tested and electrode.expected is not None
    attribute = "expected" if estimate else "resistance"
    gap = lacking(name_of(circuit), electrode, attribute) or unmeasured(name_of(circuit), electrode, attribute)
    if gap:
        yield gap
        return
    ohm = electrode.expected if estimate else electrode.resistance.quantity if electrode.resistance else None
    limit = case.edition.protection.touch_voltage()
    worked = touch_voltage(r_a=ohm, i_dn=rcd.rating)
    off = _band(case.job, electrode) if not estimate else 0.0
    calculation = Calculation(
        worked.symbols,
        worked.numbers,
        worked.shown,
        f"{limit.shown} ({limit.reference})",
        margin(worked.quantity, limit.quantity),
        (typed("R_A", electrode, attribute), *spread(off, "Ω"), rcd.input, tabled("U_L", limit)),
    )
    close = touch_voltage(r_a=quantity(magnitude(ohm, "Ω") + off, "Ω"), i_dn=rcd.rating).quantity
    places = electrode.where(attribute) + rcd.places
    if not meets(worked.quantity, limit.quantity):
        yield Outcome(
            Verdict.FAIL,
            name_of(circuit),
            "The resistance to earth is too high for the RCD.",
            places,
            found=f"{shown(electrode, attribute)} × {figure(magnitude(rcd.rating, 'mA'), 'mA')} = {worked.shown}",
            expected=f"at most {limit.shown}",
            remedy="Drive a longer or second rod and measure again, or fit an RCD with a smaller I_Δn.",
            calculation=calculation,
        )
    elif not meets(close, limit.quantity):
        yield Outcome(
            Verdict.QUERY,
            name_of(circuit),
            uncertain("R_A", off, "Ω"),
            places,
            found=worked.shown,
            expected=f"at most {limit.shown}",
            remedy="Drive a longer or second rod, or have the signatory accept the reading.",
            calculation=calculation,
        )
    elif estimate:
        yield Outcome(
            Verdict.NOTE,
            name_of(circuit),
            "The RCD suits the electrode by the designer's estimate.",
            places,
            found=worked.shown,
            expected=f"at most {limit.shown}",
            remedy="Measure the electrode at the visit.",
            calculation=calculation,
        )
    else:
        yield passed(name_of(circuit), "The RCD suits the electrode.", places, calculation, limit.confidence)


def _band(job: Job, electrode: Electrode) -> float:
    """Plus or minus how much R_A may be off, in ohms, by what the maker of its instrument states."""
    if electrode.resistance is None or not electrode.resistance.measured:
        return 0.0
    return band_of(job, (job.instrument(electrode.instrument),), Function.ELECTRODE, electrode.resistance, "Ω")


@rule(
    title="The electrode reads like one",
    area=Area.EARTHING,
    reference="IEC 60364-4-41, 411.5.3; common practice",
    needed=Needed.TEST,
)
def electrodes_read_like_one(case: Case) -> Iterator[Outcome]:
    """Above 200 Ω it may not last, below a TN supply's loop it was hardly an electrode that was measured."""
    most = case.edition.protection.stable_electrode()
    for electrode in case.job.electrodes:
        subject, places = name_of(electrode), electrode.where("resistance")
        if gap := unmeasured(subject, electrode, "resistance"):
            yield gap
            continue
        ohm = number_read(electrode.resistance, "Ω")
        if not meets(ohm, magnitude(most.quantity, "Ω")):
            yield Outcome(
                Verdict.NOTE,
                subject,
                "So high a resistance to earth may not be stable.",
                places,
                found=shown(electrode, "resistance"),
                expected=f"at most {most.shown} ({most.reference})",
                remedy="A longer or second rod makes it stable.",
            )
        elif meets(ohm, LOOKS_LIKE_TN):
            yield Outcome(
                Verdict.QUERY,
                subject,
                "So low a value looks like the loop of a TN supply, not like an electrode.",
                places,
                found=shown(electrode, "resistance"),
                expected=f"more than {LOOKS_LIKE_TN} Ω",
                remedy="Measure again with the electrode disconnected from everything else.",
            )
        else:
            message = f"The electrode reads like one, within the {most.shown} up to which it is trusted to last."
            yield passed(subject, message, places, confidence=most.confidence)


@rule(title="Zs on TT contains the electrode", area=Area.EARTHING, reference=REFERENCE, needed=Needed.TEST)
def zs_on_tt_contains_the_electrode(case: Case) -> Iterator[Outcome]:
    """A loop below the electrode's resistance has another path to earth; it is only told."""
    for circuit in _on_tt(case):
        row, electrode = case.job.latest(circuit), case.job.electrode(circuit)
        if row is None or electrode is None or electrode.resistance is None or not electrode.resistance.measured:
            continue
        if row.zs is None or not row.zs.measured:
            yield not_applicable(name_of(circuit), "Told where the figure for Zs is missing.")
            continue
        calculation = _contained(row, electrode)
        places = cells(*calculation.inputs)
        if reaches(row.zs.quantity, electrode.resistance.quantity):
            yield passed(name_of(circuit), "Zs contains the electrode's resistance.", places, calculation)
        else:
            yield Outcome(
                Verdict.NOTE,
                name_of(circuit),
                "Zs is below the electrode's resistance: there is another path to earth.",
                places,
                found=f"{shown(row, 'zs')}, electrode {shown(electrode, 'resistance')}",
                expected="Zs at or above the electrode's resistance",
                remedy="Look what else is connected to earth; for a TT island it must not be the supply's earth.",
                calculation=calculation,
            )


def _contained(row: CircuitReadings, electrode: Electrode) -> Calculation:
    """A loop beside the electrode and the circuit's own conductors; the rest is the source's earth and the line."""
    zs, ohm = (magnitude(each.quantity, "Ω") for each in (row.zs, electrode.resistance) if each)
    own = magnitude(row.r1_r2.quantity, "Ω") if row.r1_r2 and row.r1_r2.measured else 0.0
    rest = f"; rest {figure(zs - ohm - own, 'Ω')} for the source's earth and the line"
    contained = reaches(zs, ohm)
    relation = "≥" if contained else "<"
    return Calculation(
        f"Z_s {relation} R_A{'; Z_s − R_A − (R_1 + R_2)' if contained else ''}",
        f"{shown(row, 'zs')} {relation} {shown(electrode, 'resistance')}{rest if contained else ''}",
        shown(row, "zs"),
        f"at least {shown(electrode, 'resistance')} (as measured)"
        if contained
        else f"told; the electrode alone read {shown(electrode, 'resistance')}",
        surplus(zs, ohm) if contained else None,
        (
            typed("Z_s", row, "zs"),
            typed("R_A", electrode, "resistance"),
            *((typed("R_1 + R_2", row, "r1_r2"),) if own else ()),
        ),
    )


@rule(
    title="A TT island is an island",
    area=Area.EARTHING,
    reference="IEC 60364-7-722, 722.411.4 (from memory); common practice",
)
def tt_islands_are_islands(case: Case) -> Iterator[Outcome]:
    """Where the supply's protective conductor stops, armour not carried over, room to metalwork on the other earth."""
    for circuit in _on_tt(case):
        system, electrode = case.job.supply.earthing_system, case.job.electrode(circuit)
        if system in (None, EarthingSystem.TT) or electrode is None:
            continue
        armoured = circuit.cpc in (ProtectiveConductor.ARMOUR, ProtectiveConductor.CORE_AND_ARMOUR)
        wanted = ["supply_earth_stops", "separation"] + (["armour_isolated"] if armoured else [])
        places = electrode.where(*wanted)
        if gap := lacking(name_of(circuit), electrode, *wanted):
            yield gap
        elif armoured and electrode.armour_isolated is YesNo.NO:
            yield Outcome(
                Verdict.FAIL,
                name_of(circuit),
                "The armour carries the supply's earth into the TT island.",
                places,
                found="armour not isolated at the far end",
                expected="armour isolated at the far end",
                remedy="End the armour in an insulating enclosure, without connection to the point.",
            )
        else:
            stops = electrode.supply_earth_stops
            yield passed(name_of(circuit), f"The supply's protective conductor stops at: {stops}.", places)
