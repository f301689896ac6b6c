"""Honest jobs for the tests of rules: typed rows, every cell with its place, nothing to complain about."""

from datetime import date
from enum import StrEnum
from string import ascii_uppercase
from typing import Any

from pipeline.editions import edition
from pipeline.facts.choices import Function, LoopMethod, Outcome, Role
from pipeline.facts.field import Mark, Place
from pipeline.facts.findings import Finding, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import quantity
from pipeline.facts.reading import Reading
from pipeline.facts.row import Kind, Row
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.firm import Firm, Instrument, Person
from pipeline.facts.rows.inspections import Inspection
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.models import Model
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.supply import Supply
from pipeline.facts.sheets import BY_ROW
from pipeline.rules import RULES, check_job
from pipeline.rules.base import Case

TODAY = date(2026, 9, 14)
TESTED_ON = date(2026, 9, 10)
LETTERS = [*ascii_uppercase, *(a + b for a in ascii_uppercase for b in ascii_uppercase)]


def _read(value: Any, unit: str) -> Reading:
    """A reading from a number, or from what an instrument shows: `>999`, `LIM`, `N/A`."""
    text = str(value)
    mark = next((each for each in Mark if text.startswith(each)), None)
    if mark in (Mark.LIMITATION, Mark.NOT_APPLICABLE):
        return Reading(typed=text, mark=mark, reason=text.partition(": ")[2])
    return Reading(typed=text, mark=mark, quantity=quantity(float(text.lstrip("<>")), unit))


def typed(row_type: type[Row], attribute: str, value: Any) -> Any:
    """A plain value as the reading stage would type it."""
    kind, unit = row_type.kind(attribute), row_type.fields()[attribute].unit
    if value is None or isinstance(value, StrEnum | frozenset | date):
        return value
    match kind:
        case Kind.AMOUNT:
            return quantity(float(value), unit)
        case Kind.READING:
            return _read(value, unit)
        case Kind.CHOICE:
            choice = row_type.choice_type(attribute)
            return choice(value) if choice else value
        case _:
            return value


def put(row_type: type[Row], number: int = 3, **values: Any) -> Any:
    """A row of plain values, typed, with the place of each cell."""
    sheet = BY_ROW[row_type].title
    at = {name: Place(sheet, f"{LETTERS[column]}{number}") for column, name in enumerate(row_type.fields())}
    return row_type(**{name: typed(row_type, name, value) for name, value in values.items()}, at=at)


def change(row: Row, **values: Any) -> Any:
    """A row with other values, given plainly."""
    return row.with_values(**{name: typed(type(row), name, value) for name, value in values.items()})


def job_row(**values: Any) -> JobRow:
    """A tested job of one new circuit in a dwelling in England."""
    usual = {
        "job": "J1",
        "state": "tested",
        "family": "uk",
        "nation": "England",
        "client": "Sam Sample",
        "site": "2 Sample Road, Anytown",
        "work": "new circuit",
        "premises": "dwelling",
        "charging": "private",
        "extent": "One charge point and its circuit",
        "existing_adequate": "adequate",
        "surveyed": date(2026, 9, 1),
        "designed": date(2026, 9, 2),
        "worked": TESTED_ON,
        "dead_tested": TESTED_ON,
        "energised": TESTED_ON,
        "live_tested": TESTED_ON,
        "next_inspection": date(2036, 9, 10),
        "designer": "PEX",
        "installer": "PEX",
        "tester": "PEX",
        "supervisor": "PEX",
        "circuits_total": 1,
        "points_total": 1,
        "client_shown": "Sam Sample",
    }
    return put(JobRow, **(usual | values))


def supply_row(**values: Any) -> Supply:
    """A confirmed 100 A single-phase TN-C-S supply with little on it."""
    usual = {
        "job": "J1",
        "phases": 1,
        "voltage": 230,
        "frequency": 50,
        "voltage_l1": 236,
        "earthing_system": "TN-C-S",
        "ze": 0.24,
        "ze_by": "measured",
        "ze_date": TESTED_ON,
        "fault_current": 1.02,
        "fault_current_le": 0.98,
        "fault_current_by": "measured",
        "instrument": "T1",
        "polarity": "confirmed",
        "earthing_connected": "confirmed",
        "cutout_standard": "BS 88-3",
        "cutout_rating": 100,
        "cutout_status": "confirmed",
        "looped": "no",
        "tails_size": 25,
        "neutral_size": 25,
        "earthing_conductor": 16,
        "bonding_size": 10,
        "bonding_material": "copper",
        "bonding_to": "water, gas",
        "bonding_continuity": 0.04,
        "demand_l1": 24,
        "demand_by": "calculated with diversity",
        "surge": "fitted",
    }
    return put(Supply, **(usual | values))


def board_row(**values: Any) -> Board:
    """A consumer unit at the intake."""
    usual = {
        "job": "J1",
        "board": "MAIN",
        "description": "Consumer unit",
        "place": "Hall cupboard",
        "phases": 1,
        "main_switch_rating": 100,
        "main_switch_poles": 2,
        "mixed_makes": "no",
        "fault_current": 1.02,
    }
    return put(Board, **(usual | values))


def circuit_row(**values: Any) -> Circuit:
    """A 32 A point on 6/2.5 mm² flat twin behind a 40 A RCBO."""
    usual = {
        "job": "J1",
        "board": "MAIN",
        "circuit": "9",
        "description": "Charge point, drive",
        "feeds": "final circuit of a charge point",
        "new": "new",
        "phases": 1,
        "cable": "flat twin and earth",
        "insulation": "PVC 70 °C",
        "live_size": 6,
        "cpc": "core of the cable",
        "cpc_size": 2.5,
        "method": "C",
        "length": 14,
        "grouped": 1,
        "ambient": 30,
        "insulation_run": 0,
        "terminal_rating": 70,
        "device": "BS EN 61009",
        "device_type": "B",
        "device_rating": 40,
        "device_poles": 2,
        "breaking_capacity": 6,
        "rcd_standard": "BS EN 61009",
        "rcd_type": "A",
        "rcd_rating": 30,
        "rcd_delay": "none",
        "rcd_poles": 2,
    }
    return put(Circuit, **(usual | values))


def readings_row(**values: Any) -> CircuitReadings:
    """Readings that fit that circuit."""
    usual = {
        "job": "J1",
        "board": "MAIN",
        "circuit": "9",
        "attempt": 1,
        "r1_r2": 0.15,
        "insulation_voltage": 500,
        "insulation_ll": ">999",
        "insulation_le": ">999",
        "point_connected": "no",
        "polarity": "confirmed",
        "zs": 0.39,
        "zs_source": "measured",
        "rcd_time": 24,
        "rcd_time_180": 21,
        "rcd_button": "works",
        "sequence": "N/A",
        "ambient": 15,
        "instrument": "T1",
    }
    return put(CircuitReadings, **(usual | values))


def model_row(**values: Any) -> Model:
    """An invented 7.4 kW model with 6 mA device."""
    usual = {
        "model": "EX-7",
        "maker": "Example Maker (invented)",
        "designation": "Sample Point 7",
        "instructions": "Issue 1, 2026-01",
        "connection": "tethered cable",
        "phases": 1,
        "rated_current": 32,
        "rated_power": 7.4,
        "lowest_limit": 6,
        "highest_limit": 32,
        "terminal_smallest": 2.5,
        "terminal_largest": 10,
        "terminal_rating": 70,
        "torque": 2,
        "torque_tolerance": 10,
        "height_lowest": 0.75,
        "height_highest": 1.2,
        "entry_smallest": 9,
        "entry_largest": 18,
        "ip": "IP54",
        "ik": "IK08",
        "coldest": -25,
        "hottest": 45,
        "dc_detection": "6 mA device",
        "dc_testable": "yes",
        "rcd_inside": "no",
        "open_pen_inside": "none",
        "upstream_rcd": "A",
        "insulation_test": "no",
        "returns_power": "no",
    }
    return put(Model, **(usual | values))


def point_row(**values: Any) -> Point:
    """That model on the drive, commissioned."""
    usual = {
        "job": "J1",
        "point": "CP1",
        "board": "MAIN",
        "circuit": "9",
        "model": "EX-7",
        "serial": "0000001",
        "place": "Drive",
        "indoors": "outdoors",
        "vehicle_outdoors": "yes",
        "open_pen": "separate device",
        "open_pen_evidence": "Serial 0000002",
        "open_pen_phases": 1,
        "rcd_place": "at the board",
        "current_limit": 32,
        "height": 1.05,
        "level": "done",
        "fixings": "yes",
        "torque": 2,
        "order_kept": "yes",
        "torque_tool": "TQ1",
        "cable_diameter": 13,
        "strain_relief": "done",
        "entry_sealed": "done",
        "covers": "done",
        "reaches": "yes",
        "trip_hazard": "no",
        "isolator_place": "Consumer unit, way 9",
        "link_test": "works",
        "pilot_states": "A, B, C in turn",
        "duty_cycle": 53.3,
        "dc_test": "passed",
        "self_test": "N/A",
        "indicator": "Steady white",
        "charge_by": "vehicle",
        "charge_power": 7.1,
        "charge_minutes": 10,
        "default_hours": "yes",
        "random_delay": 600,
    }
    return put(Point, **(usual | values))


def inspection_row(**values: Any) -> Inspection:
    """Every aspect seen and satisfactory but those that this job has not."""
    absent = {"other_sources", "buried", "load_management", "emergency_switching"}
    usual = {
        name: Outcome.NOT_APPLICABLE if name in absent else Outcome.PASS
        for name in Inspection.fields()
        if name != "job"
    }
    return put(Inspection, **({"job": "J1"} | usual | values))


PERSON = put(
    Person,
    person="PEX",
    name="Pat Example",
    roles=frozenset(Role),
    valid_from=date(2026, 1, 1),
    valid_to=date(2027, 12, 31),
)
TESTER = put(
    Instrument,
    instrument="T1",
    description="Multifunction tester",
    serial="SN-0001",
    functions=frozenset(Function) - {Function.TORQUE},
    loop_method=LoopMethod.HIGH_CURRENT,
    calibrated=date(2026, 1, 10),
    due=date(2027, 1, 10),
)
TORQUE_TOOL = change(TESTER, instrument="TQ1", description="Torque screwdriver", functions=frozenset({Function.TORQUE}))
FIRM = put(Firm, name="Example Charge Works (invented)", self_certifies="yes", emergency="112")


def build(**parts: Any) -> Job:
    """The honest single-phase TN-C-S job, with whole parts exchanged."""
    usual: dict[str, Any] = {
        "row": job_row(),
        "firm": FIRM,
        "people": (PERSON,),
        "instruments": (TESTER, TORQUE_TOOL),
        "models": (model_row(),),
        "supply": supply_row(),
        "boards": (board_row(),),
        "circuits": (circuit_row(),),
        "readings": (readings_row(),),
        "points": (point_row(),),
        "inspection": inspection_row(),
    }
    return Job(**(usual | parts))


def but(job: Job, part: str, /, **values: Any) -> Job:
    """The same job with other cells in one part; of several rows the first is changed."""
    old = getattr(job, part)
    new = (change(old[0], **values), *old[1:]) if isinstance(old, tuple) else change(old, **values)
    return job.model_copy(update={part: new})


def electrode_row(**values: Any) -> Electrode:
    """A rod for the whole installation, its conductor sheathed in the ground."""
    usual = {
        "job": "J1",
        "electrode": "rod",
        "place": "Flower bed",
        "resistance": 44.5,
        "conductor_size": 16,
        "conductor_run": "buried, protected against corrosion only",
        "instrument": "T1",
    }
    return put(Electrode, **(usual | values))


def three_phase_tt() -> Job:
    """A 22 kW point on a three-phase TT supply, 10 mm² armoured with a core as protective conductor."""
    return build(
        supply=supply_row(
            phases=3,
            earthing_system="TT",
            ze=45,
            fault_current=1.5,
            fault_current_le="N/A",
            voltage_l2=235,
            voltage_l3=237,
            demand_l2=20,
            demand_l3=18,
        ),
        electrodes=(electrode_row(),),
        boards=(board_row(phases=3, main_switch_poles=4, fault_current=3.0),),
        circuits=(
            circuit_row(
                phases=3,
                cable="armoured",
                insulation="XLPE 90 °C",
                live_size=10,
                cpc="core and armour",
                cpc_size=10,
                length=30,
                parallel_path="yes",
                device_poles=4,
                breaking_capacity=10,
                rcd_poles=4,
            ),
        ),
        readings=(readings_row(r1_r2=0.10, zs=45.2, sequence="confirmed"),),
        models=(
            model_row(phases=3, rated_power=22, terminal_largest=16, entry_largest=32, designation="Sample Point 22"),
        ),
        points=(point_row(open_pen=None, open_pen_evidence=None, open_pen_phases=None, charge_power=21.5),),
        inspection=inspection_row(open_pen="N/A"),
    )


def planned(job: Job) -> Job:
    """The same job before the visit."""
    row = change(job.row, state="to visit", worked=None, dead_tested=None, energised=None, live_tested=None)
    return job.model_copy(update={"row": row, "readings": (), "inspection": Inspection()})


def bays(count: int) -> Job:
    """A car park with as many single-phase points behind one three-phase board."""
    numbers = [f"{index // 3 + 1}L{index % 3 + 1}" for index in range(count)]
    lengths = [10 + 2 * index for index in range(count)]
    ohms = [round(0.01049 * length * 0.98, 2) for length in lengths]
    return build(
        row=job_row(premises="commercial", circuits_total=count, points_total=count, next_inspection=date(2031, 9, 1)),
        supply=supply_row(
            phases=3,
            voltage_l2=235,
            voltage_l3=234,
            ze=0.1,
            fault_current=2.3,
            fault_current_le=2.35,
            demand_l1=60,
            demand_l2=62,
            demand_l3=58,
            cutout_rating=400,
            cutout_standard="BS 88-2",
            agreed_capacity=400,
            tails_size=120,
            neutral_size=120,
            earthing_conductor=70,
            bonding_size=50,
        ),
        boards=(board_row(phases=3, main_switch_rating=400, main_switch_poles=4, fault_current=4.6),),
        circuits=tuple(circuit_row(circuit=name, length=length) for name, length in zip(numbers, lengths, strict=True)),
        readings=tuple(
            readings_row(circuit=name, r1_r2=ohm, zs=round(0.1 + ohm, 2), rcd_time=20 + index)
            for index, (name, ohm) in enumerate(zip(numbers, ohms, strict=True))
        ),
        points=tuple(
            point_row(point=f"CP{index + 1}", circuit=name, open_pen_phases=3) for index, name in enumerate(numbers)
        ),
    )


def judge(rule: str, job: Job, by: str = "uk_2018_a2", as_of: date = TODAY) -> list[tuple[str, Verdict]]:
    """What one rule says of a job: subject and verdict of each finding."""
    return [(each.subject, each.verdict) for each in found(rule, job, by, as_of)]


def found(rule: str, job: Job, by: str = "uk_2018_a2", as_of: date = TODAY) -> list[Finding]:
    """The findings of one rule."""
    return list(RULES[rule].apply(Case(job, edition(by), as_of)))


def verdicts(rule: str, job: Job, by: str = "uk_2018_a2") -> set[Verdict]:
    """The verdicts of one rule, whatever they are on."""
    return {verdict for _, verdict in judge(rule, job, by)}


def troubles(job: Job, by: str = "uk_2018_a2", as_of: date = TODAY) -> list[Finding]:
    """What would hold the job."""
    light = (Verdict.PASS, Verdict.NOTE, Verdict.NOT_APPLICABLE)
    return [each for each in check_job(job, edition(by), as_of) if each.verdict not in light]
