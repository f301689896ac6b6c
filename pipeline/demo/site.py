"""One job's rows while they are put together: what is alike on every honest site, once.

Cells that the Defaults sheet fills stay blank here, as an admin would leave them.
"""

from dataclasses import dataclass, field
from datetime import date, timedelta

from pipeline.demo.firm import MODELS
from pipeline.demo.physics import Loops, between, rcd_time, resistance, scatter, supply_voltage, whole
from pipeline.facts.rows.inspections import Inspection

TypedRow = dict[str, object]
Rows = dict[str, list[TypedRow]]

NOT_HERE = ("other_sources", "buried", "load_management", "emergency_switching")
"""Aspects that do not apply on a plain site."""


@dataclass(frozen=True, slots=True)
class Crew:
    """Who works together and with which instruments."""

    electrician: str
    tester: str
    torque_tool: str
    pilot_adapter: str


CREW_A = Crew("AMP", "T1", "TQ1", "PA1")
CREW_B = Crew("BWD", "T2", "TQ2", "")


@dataclass(frozen=True, slots=True)
class Cable:
    """A cable as laid: sizes in mm², length in m, and the cells that are not the usual ones."""

    live: float
    cpc: float
    length: float
    cells: TypedRow = field(default_factory=dict)


# line conductor → protective conductor of flat twin-and-earth cable in mm² (BS 6004 sizes; carried over)
FLAT_CPC = {4: 1.5, 6: 2.5, 10: 4, 16: 6}


def flat(size: float, length: float, **cells: object) -> Cable:
    """Flat twin-and-earth cable."""
    return Cable(size, FLAT_CPC[int(size)], length, {"length_by": "drum marks", **cells})


def multicore(size: float, length: float, **cells: object) -> Cable:
    """Sheathed cable with all cores alike."""
    return Cable(size, size, length, {"cable": "multicore sheathed", "length_by": "drum marks", **cells})


def armoured(size: float, length: float, **cells: object) -> Cable:
    """Armoured cable with a protective core; its armour is a parallel earth path."""
    common: TypedRow = {"cable": "armoured", "insulation": "XLPE 90 °C", "parallel_path": "yes"}
    return Cable(size, size, length, {**common, "method": "E", "length_by": "drum marks", **cells})


@dataclass(slots=True)
class Site:
    """A site with the loops measured at its boards; every method adds rows, `cells` override what is usual."""

    job: str
    crew: Crew
    day: date
    rows: Rows = field(default_factory=dict)
    loops: dict[str, Loops] = field(default_factory=dict)
    phases: int = 1
    voltage: float = 0.0

    @property
    def temperature(self) -> int:
        """What it was on site that day in °C: November."""
        return whole(7, 13, self.job, "temperature")

    def add(self, sheet: str, cells: TypedRow) -> TypedRow:
        """Add a row of this job to a sheet."""
        row: TypedRow = {"job": self.job, **cells}
        self.rows.setdefault(sheet, []).append(row)
        return row

    def describe(self, client: str, address: str, **cells: object) -> None:
        """The row on Jobs: designed three weeks before, worked and tested in one day."""
        day, who = self.day, self.crew.electrician
        usual: TypedRow = {
            "state": "tested",
            "client": client,
            "site": address,
            "extent": "One charge point and its circuit, from the consumer unit to the point",
            "existing_adequate": "adequate",
            "surveyed": day - timedelta(days=26),
            "designed": day - timedelta(days=21),
            "worked": day,
            "dead_tested": day,
            "energised": day,
            "live_tested": day,
            "next_inspection": day.replace(year=day.year + 10),
            "installer": who,
            "tester": who,
            "circuits_total": 1,
            "points_total": 1,
            "client_shown": client,
            "asbestos": "none known, survey seen",
        }
        self.add("Jobs", {**usual, **cells})

    def supply(self, system: str, loops: Loops, *, phases: int = 1, **cells: object) -> None:
        """The row on Supplies, measured on the day; `loops` as at the intake."""
        self.loops[""], self.phases = loops, phases
        volts = [supply_voltage(self.job, phase) for phase in range(1, phases + 1)]
        self.voltage = min(volts)
        current = round(loops.fault_current(self.voltage), 2)
        usual: TypedRow = {
            "operator": "Northern Pretend Networks (invented)",
            "supply_number": f"99 {whole(1000, 9999, self.job)} {whole(1000, 9999, self.job, 2)} 000",
            "earthing_system": system,
            **{f"voltage_l{phase}": value for phase, value in enumerate(volts, start=1)},
            "ze": round(loops.earth, 2),
            "ze_by": "measured",
            "ze_date": self.day,
            "fault_current": current,
            # through the electrode of a TT system flow only a few amperes
            "fault_current_le": "N/A" if system == "TT" else round(self.voltage / loops.earth / 1000, 2),
            "fault_current_by": "measured",
            "instrument": self.crew.tester,
            "polarity": "confirmed",
            "cutout_rating": 100,
            "cutout_status": "confirmed",
            "looped": "no",
            "tails_size": 25,
            "tails_length": 1.5,
            "neutral_size": 25,
            "meter": f"M{whole(1000, 9999, self.job, 3)}X",
            "meter_rating": 100,
            "intake_place": "Hall cupboard",
            "isolator": "yes",
            "earthing_conductor": 16,
            "earthing_connected": "confirmed",
            "bonding_size": 10,
            "bonding_to": "water, gas",
            "bonding_continuity": round(between(0.02, 0.05, self.job, "bonding"), 2),
            "demand_l1": whole(17, 26, self.job, "demand"),
            "demand_by": "calculated with diversity",
            "surge": "fitted",
        }
        if system == "TN-S":
            usual["tn_s_confirmed"] = "yes"
        if phases == 3:
            usual |= {
                "phases": 3,
                "fault_current_ll": round(current * 1.71, 2),
                "fault_current_3ph": round(current * 2, 2),
                "demand_l2": whole(17, 26, self.job, "demand", 2),
                "demand_l3": whole(17, 26, self.job, "demand", 3),
            }
        self.add("Supplies", {**usual, **cells})

    def board(self, name: str, *, fed: tuple[str, str] | None = None, **cells: object) -> None:
        """A row on Boards; `fed` names board and circuit that feed it."""
        loops = self.loops.setdefault(name, self.loops["/".join(fed)] if fed else self.loops[""])
        current = round(loops.fault_current(self.voltage), 2) * (2 if self.phases == 3 else 1)
        usual: TypedRow = {
            "board": name,
            "description": "Consumer unit",
            "place": "Hall cupboard",
            "main_switch_rating": 100,
            "main_switch_poles": 2,
            "fault_current": round(current, 2),
            "board_zs": round(loops.earth, 2),
        }
        if fed:
            usual |= {"fed_board": fed[0], "fed_circuit": fed[1]}
        if self.phases == 3:
            usual |= {"phases": 3, "main_switch_poles": 4}
        self.add("Boards", {**usual, **cells})

    def circuit(self, board: str, circuit: str, cable: Cable, rating: float, **cells: object) -> None:
        """A row on Circuits: a final circuit behind its own RCBO with a type A RCD of 30 mA."""
        usual: TypedRow = {
            "board": board,
            "circuit": circuit,
            "description": "Charge point",
            "live_size": cable.live,
            "cpc_size": cable.cpc,
            "length": cable.length,
            **cable.cells,
            "device_rating": rating,
        }
        if cells.get("feeds") != "distribution circuit":
            poles = 4 if self.phases == 3 else 2
            usual |= {"rcd_standard": "BS EN 61009", "rcd_type": "A", "rcd_rating": 30, "rcd_delay": "none"}
            usual |= {"rcd_poles": poles}
        if self.phases == 3:
            usual |= {"phases": 3, "device_poles": 4}
        row = self.add("Circuits", {**usual, **cells})
        far = self.loops[board].through(cable.live, cable.cpc, cable.length, self.temperature)
        self.loops[f"{board}/{row['circuit']}"] = far

    def test(self, board: str, circuit: str, **cells: object) -> None:
        """A row on Readings: what the crew's instrument showed on the sound circuit added last by that name."""
        design = next(c for c in self.rows["Circuits"] if (c["board"], c["circuit"]) == (board, circuit))
        live, protective, length = (float(str(design[each])) for each in ("live_size", "cpc_size", "length"))
        loop = sum(resistance(size, length, self.temperature) for size in (live, protective))
        names = (self.job, board, circuit, cells.get("attempt", 1))
        usual: TypedRow = {
            "board": board,
            "circuit": circuit,
            "r1_r2": round(loop * (1 + 0.02 * scatter("r1r2", *names)), 2),
            "insulation_voltage": 500,
            "insulation_ll": ">999",
            "insulation_le": ">999",
            "polarity": "confirmed",
            "zs": round(self.loops[f"{board}/{circuit}"].earth + 0.01 * scatter("zs", *names), 2),
            "zs_source": "measured",
            "sequence": "confirmed" if design.get("phases") == 3 else "N/A",
            "ambient": self.temperature,
            "instrument": self.crew.tester,
        }
        if "rcd_type" in design:
            usual |= {"second_instrument": self.crew.pilot_adapter or None}
            usual |= {"rcd_time": rcd_time("0", *names), "rcd_time_180": rcd_time("180", *names)}
            usual |= {"rcd_button": "works"}
        self.add("Readings", {**usual, **cells})

    def point(self, name: str, board: str, circuit: str, model: str, **cells: object) -> None:
        """A row on Charge points, mounted and commissioned as the model's instructions ask."""
        data = next(each for each in MODELS if each["model"] == model)
        limit = float(str(cells.get("current_limit", data["rated_current"])))
        phases = int(str(data["phases"]))
        names = (self.job, name)
        usual: TypedRow = {
            "point": name,
            "board": board,
            "circuit": circuit,
            "model": model,
            "serial": f"{model.replace('-', '')}{whole(10000, 99999, *names)}",
            "place": "Drive, right of the front door",
            "current_limit": limit,
            "limit_locked": "Installer PIN",
            "height": round(between(0.95, 1.15, *names, "height"), 2),
            "level": "done",
            "fixings": "yes",
            "torque": data["torque"],
            "order_kept": "yes",
            "torque_tool": self.crew.torque_tool,
            "cable_diameter": 18 if phases == 3 else 14,
            **dict.fromkeys(("strain_relief", "entry_sealed", "covers"), "done"),
            "reaches": "yes",
            "trip_hazard": "no",
            "isolator_place": self._where(board, circuit),
            "data_link": "wireless",
            "link_test": "works",
            "firmware": "4.2.1",
            "pilot_states": "A, B, C in turn",
            "dc_test": "passed",
            "self_test": "N/A",
            "socket_lock": "works" if data["connection"] == "socket-outlet" else "N/A",
            "emergency_stop": "N/A",
            "indicator": "Steady white",
            "charge_by": "vehicle",
            "charge_power": round(limit * phases * self.voltage / 1000 * 0.97, 1),
            "charge_minutes": whole(10, 20, *names, "minutes"),
            "default_hours": "yes",
            "random_delay": 600,
        }
        if self.crew.pilot_adapter:
            usual["duty_cycle"] = round(limit / 0.6 + 0.2 * scatter(*names, "duty"), 1)
        if data["connection"] == "socket-outlet":
            usual["proximity"] = round(220 * (1 + 0.01 * scatter(*names, "proximity")))
        if data["open_pen_inside"] != "none":
            usual |= {"open_pen": "device inside the charge point", "open_pen_phases": phases}
            usual["open_pen_evidence"] = f"Part of the charge point, serial {usual['serial']}"
        self.add("Charge points", {**usual, **cells})

    def _where(self, board: str, circuit: str) -> str:
        """Where a way is, in words that a householder understands."""
        row = next(each for each in self.rows["Boards"] if each["board"] == board)
        place = str(row["place"])
        return f"{row['description']}, {place[:1].lower()}{place[1:]}, way {circuit}"

    def inspect(self, **cells: object) -> None:
        """The row on Inspections: everything in order, what is not there N/A."""
        aspects = [name for name, each in Inspection.fields().items() if not each.key]
        usual: TypedRow = {name: "N/A" if name in NOT_HERE else "pass" for name in aspects}
        if all(each.get("open_pen", "not needed") == "not needed" for each in self.rows["Charge points"]):
            usual["open_pen"] = "N/A"
        self.add("Inspections", {**usual, **cells})

    def photos(self, *shows: str) -> None:
        """Rows on Photos, one for each thing shown."""
        for number, each in enumerate(shows, start=1):
            name = f"{self.job.lower()}-{number}.jpg"
            self.add("Photos", {"file": name, "caption": f"{each.capitalize()}, {self.job}", "shows": each})
            self.rows["Photos"][-1]["taken"] = self.day
