"""The means of earthing on TT: electrodes, their RCDs, and islands on a supply of another kind."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pipeline.facts.choices import EarthingSystem, ProtectiveConductor, RcdDelay, RcdPlace, YesNo
from pipeline.facts.field import Needed, Place
from pipeline.facts.findings import Calculation, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.supply import Electrode
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.outcomes import (
    lacking,
    name_of,
    passed,
    shown,
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
    places: tuple[Place, ...]


def fault_rcd(job: Job, circuit: Circuit) -> FaultRcd | None:
    """The RCD at the head of a circuit, else the one in its board, else one farther up the path."""
    for section in reversed(job.path(circuit)):
        board = job.board(section.board)
        if section.rcd_rating is not None:
            return FaultRcd(section.rcd_rating, section.rcd_delay is RcdDelay.S, section.where("rcd_rating"))
        if board is not None and board.rcd_rating is not None:
            return FaultRcd(board.rcd_rating, board.rcd_delay is RcdDelay.S, board.where("rcd_rating"))
    return None


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
    inputs = (typed("R_A", electrode, attribute), typed("I_Δn", circuit, "rcd_rating"))
    calculation = Calculation(
        worked.symbols,
        worked.numbers,
        worked.shown,
        f"{limit.shown} ({limit.reference})",
        margin(worked.quantity, limit.quantity),
        inputs if circuit.rcd_rating is not None else inputs[:1],
    )
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


@rule(title="The electrode reads like one", area=Area.EARTHING, reference="BS 7671, Table 41.5", needed=Needed.TEST)
def electrodes_read_like_one(case: Case) -> Iterator[Outcome]:
    """Above 200 Ω it may not last, below a TN supply's loop it was hardly an electrode that was measured."""
    most = case.edition.protection.stable_electrode()
    for electrode in case.job.electrodes:
        subject, places = name_of(electrode), electrode.where("resistance")
        if gap := unmeasured(subject, electrode, "resistance"):
            yield gap
            continue
        ohm = magnitude(electrode.resistance.quantity, "Ω") if electrode.resistance else 0.0
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
            yield passed(subject, "The electrode reads like one.", places, confidence=most.confidence)


@rule(title="Zs on TT contains the electrode", area=Area.EARTHING, reference=REFERENCE, needed=Needed.TEST)
def zs_on_tt_contains_the_electrode(case: Case) -> Iterator[Outcome]:
    """A loop below the electrode's resistance has another path to earth; it is only told."""
    for circuit in _on_tt(case):
        row, electrode = case.job.latest(circuit), case.job.electrode(circuit)
        if row is None or electrode is None or electrode.resistance is None or not electrode.resistance.measured:
            continue
        if gap := unmeasured(name_of(circuit), row, "zs"):
            yield gap
        elif row.zs and reaches(row.zs.quantity, electrode.resistance.quantity):
            yield passed(name_of(circuit), "Zs contains the electrode's resistance.", row.where("zs"))
        else:
            yield Outcome(
                Verdict.NOTE,
                name_of(circuit),
                "Zs is below the electrode's resistance: there is another path to earth.",
                row.where("zs") + electrode.where("resistance"),
                found=f"{shown(row, 'zs')}, electrode {shown(electrode, 'resistance')}",
                expected="Zs at or above the electrode's resistance",
                remedy="Look what else is connected to earth; for a TT island it must not be the supply's earth.",
            )


@rule(title="A TT island is an island", area=Area.EARTHING, reference="BS 7671, 722.411.4.1; common practice")
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
