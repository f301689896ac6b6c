"""The parts of an honest job that are drawn: people and tools, intake, boards, models, points, papers."""

from datetime import date, timedelta
from random import Random
from typing import Any

from proof.physics import TESTERS, Accuracy, Loops, Tester
from proof.typing_in import Sheets, put_in

from pipeline.editions import edition
from pipeline.facts.choices import Function, Outcome, Role
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.firm import Accuracy as AccuracyRow
from pipeline.facts.rows.firm import Firm, Instrument, Person
from pipeline.facts.rows.inspections import Inspection
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.models import Model
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.supply import Supply

# days of design: before the change of edition, after it, and the international family on either side
DESIGN_DAYS = {"uk_2018_a2": date(2026, 8, 3), "uk_2018_a4": date(2026, 10, 19), "iec": date(2026, 9, 7)}
U_0 = 230.0


class Drawing:
    """The growing job of one draw."""

    def __init__(self, number: int, kind: str, reserve: float) -> None:
        self.rng = Random(f"{kind} {number}")  # noqa: S311 - a fixed draw, not a secret
        self.number, self.kind, self.sheets = number, kind, Sheets()
        name = self.rng.choice(sorted(DESIGN_DAYS))
        self.edition = edition(name)
        self.reserve = reserve
        self.designed = DESIGN_DAYS[name] + timedelta(days=self.rng.randrange(20))
        self.tested = self.designed + timedelta(days=self.rng.randrange(2, 15))
        self.celsius = float(self.rng.randrange(4, 27))
        self.tester: Tester = self.rng.choice(TESTERS)
        self.job = f"{kind[:3].upper()}-{number:03}"
        self.loops: dict[str, Loops] = {}
        self.voltage = self.rng.uniform(233, 246) if name != "iec" else self.rng.uniform(226, 238)

    def add(self, row: type, **values: Any) -> dict[str, Any]:
        """A row of the job as typed; a value of None stays blank."""
        return put_in(self.sheets, row, {"job": self.job, **values} if "job" in row.fields() else values)

    def perhaps(self, value: Any, chance: float = 0.8) -> Any:
        """A value that people do not always note down."""
        return value if self.rng.random() < chance else None


def people_and_tools(site: Drawing) -> None:
    """The firm, one person of all roles, a tester and a torque tool in calibration."""
    site.add(Firm, name="Example Charge Works (invented)", self_certifies="yes", emergency="112")
    valid = {"valid_from": date(2026, 1, 1), "valid_to": date(2027, 12, 31)}
    site.add(Person, person="PEX", name="Pat Example", roles=frozenset(Role), **valid)
    dates = {"calibrated": date(2026, 2, 2), "due": date(2027, 2, 2)}
    tester, functions = site.tester, frozenset(Function) - {Function.TORQUE}
    tool = {"description": "Multifunction tester", "serial": "SN-1", **dates}
    site.add(Instrument, instrument=tester.name, functions=functions, loop_method=str(tester.method), **tool)
    site.add(Instrument, instrument="TQ1", functions=frozenset({Function.TORQUE}), **{**tool, "serial": "SN-2"})
    stated: dict[Function, Accuracy] = {
        Function.CONTINUITY: tester.continuity,
        Function.LOOP: tester.loop,
        Function.INSULATION: tester.insulation,
        Function.RCD: tester.rcd,
        Function.ELECTRODE: tester.electrode,
    }
    for function, each in stated.items() if tester.stated else ():
        place = f"{each.step:g} {each.unit}"
        values = {"percent": each.percent, "digits": each.digits, "last_place": place}
        site.add(AccuracyRow, instrument=tester.name, function=str(function), **values)


def add_supply(site: Drawing, system: str, true: Loops, **values: Any) -> None:
    """The intake with its readings; `values` overrides the usual ones of a house."""
    rng, tester, three = site.rng, site.tester, values.get("phases") == 3
    site.loops[""] = true
    neutral = tester.fault_current.read(rng, site.voltage / true.neutral / 1000)
    usual = {
        "phases": 1,
        "voltage": 230,
        "frequency": 50,
        "voltage_l1": tester.voltage.read(rng, site.voltage),
        "voltage_l2": tester.voltage.read(rng, site.voltage - 1) if three else None,
        "voltage_l3": tester.voltage.read(rng, site.voltage + 1) if three else None,
        "earthing_system": system,
        "tn_s_confirmed": site.perhaps("yes", 0.5) if system == "TN-S" else None,
        "ze": tester.loop.read(rng, true.earth),
        "ze_by": "measured",
        "ze_date": site.tested,
        "fault_current": neutral,
        "fault_current_le": "N/A"
        if system == "TT"
        else tester.fault_current.read(rng, site.voltage / true.earth / 1000),
        "instrument": tester.name,
        "polarity": "confirmed",
        "earthing_connected": "confirmed",
        "fault_current_ll": site.perhaps(round(neutral * rng.uniform(1.6, 1.8), 2), 0.3) if three else None,
        "fault_current_by": "measured",
        "cutout_standard": "BS 88-3",
        "cutout_rating": rng.choice((80, 100)),
        "cutout_status": "confirmed",
        "looped": "no",
        "tails_size": 25,
        "neutral_size": site.perhaps(25),
        "earthing_conductor": 16,
        "bonding_size": 10,
        "bonding_material": "copper",
        "bonding_to": rng.choice(("water, gas", "water", "none present")),
        "bonding_continuity": site.perhaps(tester.continuity.read(rng, rng.uniform(0.01, 0.03))),
        "demand_l1": rng.randrange(14, 28),
        "demand_by": "calculated with diversity",
        "surge": rng.choice(("fitted", "already there")),
    }
    site.add(Supply, **(usual | values))


def add_board(site: Drawing, name: str, **values: Any) -> None:
    """A board with its own readings; the loops at it are known when its feeder was drawn."""
    true, three = site.loops[name], values.get("phases") == 3
    current = site.voltage / true.neutral / 1000 * (2 if three else 1)
    usual = {
        "board": name,
        "description": "Distribution board",
        "place": "Cupboard",
        "phases": 1,
        "main_switch_rating": 100,
        "main_switch_poles": 4 if three else 2,
        "mixed_makes": "no",
        "fault_current": site.tester.fault_current.read(site.rng, current),
    }
    site.add(Board, **(usual | values))


def own_rcd(poles: int) -> dict[str, Any]:
    """The RCD of a point at its board."""
    return {
        "rcd_standard": "BS EN 61009",
        "rcd_type": "A",
        "rcd_rating": 30,
        "rcd_delay": "none",
        "rcd_poles": poles,
    }


def rcd_inside() -> dict[str, Any]:
    """The RCD of a point inside it."""
    return {"rcd_place": "inside the charge point", "rcd_type": "A", "rcd_rating": 30, "rcd_poles": 2} | {
        "self_test": "works"
    }


def add_model(site: Drawing, phases: int, **values: Any) -> dict[str, Any]:
    """An invented model."""
    usual = {
        "model": f"EX-{7 if phases == 1 else 22}",
        "maker": "Example Maker (invented)",
        "designation": "Sample Point",
        "instructions": "Issue 1, 2026-01",
        "connection": site.rng.choice(("tethered cable", "socket-outlet")),
        "phases": phases,
        "rated_current": 32,
        "rated_power": 7.4 if phases == 1 else 22,
        "lowest_limit": 6,
        "highest_limit": 32,
        "terminal_smallest": 2.5,
        "terminal_largest": 16,
        "terminal_rating": 70,
        "torque": 2,
        "torque_tolerance": 10,
        "height_lowest": 0.75,
        "height_highest": 1.2,
        "entry_smallest": 9,
        "entry_largest": 32,
        "ip": "IP54",
        "ik": "IK08",
        "coldest": -25,
        "hottest": 45,
        "dc_detection": "6 mA device",
        "dc_testable": "yes",
        "rcd_inside": "no",
        "open_pen_inside": site.rng.choice(("none", "single-phase" if phases == 1 else "three-phase")),
        "upstream_rcd": "A",
        "insulation_test": "no",
        "returns_power": "no",
    }
    return site.add(Model, **(usual | values))


def add_point(site: Drawing, number: int, board: str, circuit: str, model: dict[str, Any], **values: Any) -> None:
    """A mounted and commissioned point."""
    rng, phases = site.rng, model["phases"]
    usual = {
        "point": f"CP{number}",
        "board": board,
        "circuit": circuit,
        "model": model["model"],
        "serial": f"{site.number:03}{number:04}",
        "place": "Drive",
        "indoors": "outdoors",
        "vehicle_outdoors": "yes",
        "rcd_place": "at the board",
        "current_limit": 32,
        "height": round(rng.uniform(0.8, 1.15), 2),
        "level": "done",
        "fixings": "yes",
        "torque": rng.choice((1.9, 2, 2, 2, 2.1)),
        "order_kept": "yes",
        "torque_tool": "TQ1",
        "cable_diameter": rng.randrange(12, 27),
        "strain_relief": "done",
        "entry_sealed": "done",
        "covers": "done",
        "reaches": "yes",
        "trip_hazard": "no",
        "isolator_place": f"Board {board}, way {circuit}",
        "link_test": "works",
        "pilot_states": "A, B, C in turn",
        "duty_cycle": site.perhaps(round(rng.uniform(52.8, 53.8), 1), 0.4),
        "dc_test": "passed",
        "self_test": "N/A",
        "indicator": "Steady white",
        "charge_by": rng.choice(("vehicle", "simulated")),
        "charge_power": round(phases * U_0 * 32 / 1000 * rng.uniform(0.93, 1.01), 1),
        "charge_minutes": rng.randrange(5, 30),
        "default_hours": "yes",
        "random_delay": 600,
    }
    site.add(Point, **(usual | values))


def pen_measure(site: Drawing, system: str, model: dict[str, Any], supply_phases: int) -> dict[str, Any]:
    """What an honest crew does in case the PEN conductor breaks."""
    if system != "TN-C-S":
        return {"open_pen": "not needed" if system == "TT" else None}
    if model["open_pen_inside"] != "none" and model["phases"] == supply_phases:
        return {"open_pen": "device inside the charge point"}
    serial = f"Serial {site.number:07}"
    return {"open_pen": "separate device", "open_pen_evidence": serial, "open_pen_phases": supply_phases}


def add_job_row(site: Drawing) -> None:
    """The row of the job: who, where, when."""
    home = site.kind == "domestic"
    years = 10 if home else 5
    site.add(
        JobRow,
        state="tested",
        family="iec" if site.edition.id == "iec" else "uk",
        nation="elsewhere" if site.edition.id == "iec" else site.rng.choice(("England", "Wales", "Scotland")),
        client="Sam Sample",
        site=f"{site.number} Sample Road, Anytown",
        work="new circuit",
        premises="dwelling" if home else "commercial",
        charging="private",
        extent="Charge points and their circuits",
        existing_adequate="adequate",
        surveyed=site.designed - timedelta(days=1),
        designed=site.designed,
        worked=site.tested,
        dead_tested=site.tested,
        energised=site.tested,
        live_tested=site.tested,
        next_inspection=site.tested.replace(year=site.tested.year + years),
        **dict.fromkeys(("designer", "installer", "tester", "supervisor"), "PEX"),
        circuits_total=len(site.sheets[Circuit]),
        points_total=len(site.sheets[Point]),
        client_shown="Sam Sample",
    )


def add_inspection(site: Drawing) -> None:
    """Every aspect satisfactory but those that the job has not."""
    buried = any(str(each["method"]).startswith("D") for each in site.sheets[Circuit])
    absent = {"other_sources", "emergency_switching"}
    absent |= set() if buried else {"buried"}
    absent |= set() if site.kind == "bays" else {"load_management"}
    unmeasured = all(each.get("open_pen") in (None, "not needed") for each in site.sheets[Point])
    absent |= {"open_pen"} if unmeasured else set()
    outcomes = {name: str(Outcome.NOT_APPLICABLE if name in absent else Outcome.PASS) for name in Inspection.fields()}
    site.add(Inspection, **{name: each for name, each in outcomes.items() if name != "job"})
