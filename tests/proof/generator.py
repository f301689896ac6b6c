"""Honest jobs drawn by number: designed with a reserve as careful designers do, read as instruments read.

A draw is plain values, as somebody would type them; `typed_job` types them with the parsers of the workbook, so that
what a cell alone gives away counts as well. The same number always gives the same job.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from proof.designing import a_cable, add_circuit
from proof.drawing import (
    Drawing,
    add_board,
    add_inspection,
    add_job_row,
    add_model,
    add_point,
    add_supply,
    own_rcd,
    pen_measure,
    people_and_tools,
    rcd_inside,
)
from proof.physics import Loops
from proof.typing_in import Sheets

from pipeline.editions import Edition
from pipeline.facts.choices import CircuitKind
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.supply import Supply

# what a careful designer keeps in hand where the record calls a capacity unconfirmed: a tenth and what steps allow
RESERVE = 1.12


@dataclass(frozen=True)
class Drawn:
    """A job as typed: its kind, the edition it belongs to, the day of the check."""

    number: int
    kind: str
    edition: Edition
    as_of: date
    sheets: Sheets


def draw(number: int, kind: str = "domestic", *, reserve: float = RESERVE) -> Drawn:
    """The honest job of this number: `domestic`, `workplace` or `bays`."""
    site = Drawing(number, kind, reserve)
    people_and_tools(site)
    {"domestic": _domestic, "workplace": _workplace, "bays": _bays}[kind](site)
    add_job_row(site)
    add_inspection(site)
    return Drawn(number, kind, site.edition, site.tested + timedelta(days=3), site.sheets)


def _earth(site: Drawing, system: str) -> Loops:
    """True loops at an intake of this kind; an electrode and the source's own earth stand in a TT loop."""
    rng = site.rng
    neutral = rng.uniform(0.12, 0.34)
    if system == "TN-C-S":
        return Loops(neutral * rng.uniform(0.98, 1.04), neutral)
    if system == "TN-S":
        return Loops(neutral * rng.uniform(1.1, 1.8), neutral)
    ohm = rng.uniform(18, 150)
    reading = site.tester.electrode.read(rng, ohm)
    site.add(Electrode, place="Flower bed", resistance=reading, **_rod(site))
    return Loops(ohm + rng.uniform(0.5, 4), neutral)


def _rod(site: Drawing) -> dict[str, Any]:
    """A rod and its conductor."""
    conductor = {"conductor_size": 16, "conductor_run": "buried, protected against corrosion only"}
    return {"electrode": "rod", "instrument": site.tester.name, **conductor}


def _domestic(site: Drawing) -> None:
    """A house: the point straight from the intake, from a garage board, or as a TT island."""
    rng = site.rng
    system = rng.choice(("TN-C-S", "TN-C-S", "TN-C-S", "TN-S", "TT"))
    add_supply(site, system, _earth(site, system))
    supply, island, chained = site.sheets[Supply][0], False, rng.random() < 0.3
    if supply["demand_l1"] + 32 > 60:
        supply |= {"operator_consent": "given", "consent_reference": "Example reference 1"}
    site.loops["MAIN"] = site.loops[""]
    delayed = {"rcd_type": "A", "rcd_rating": 100, "rcd_delay": "S"} if system == "TT" and chained else {}
    add_board(site, "MAIN", **delayed)
    board, dropped = "MAIN", 0.0
    if chained:
        feeder = _feeder(site, 1, (63, 50, 40, 32))
        dropped = add_circuit(site, "MAIN", "D1", feeder, (0.0, 32.0))
        site.loops["GARAGE"] = site.loops["MAIN/D1"]
        add_board(site, "GARAGE", fed_board="MAIN", fed_circuit="D1")
        board = "GARAGE"
    model = add_model(site, 1)
    values = a_cable(site, phases=1, bays=False) | {
        "device_rating": rng.choice(((40, 32), (32,))),
        "breaking_capacity": 6,
    }
    if system == "TN-C-S" and not chained and rng.random() < 0.2:
        island = True
        values |= {"earthing_system": "TT"}
        _island(site, board)
    pen = {"open_pen": "TT island"} if island else pen_measure(site, system, model, 1)
    inside = system != "TT" and not island and rng.random() < 0.2
    if inside:
        model["rcd_inside"], pen = "yes", pen | rcd_inside()
        values |= {"device": "BS EN 60898"}
    else:
        values |= own_rcd(2)
    add_circuit(site, board, "9", values, (dropped, 32.0), inside=inside)
    add_point(site, 1, board, "9", model, **pen)


def _island(site: Drawing, board: str) -> None:
    """The electrode of a TT island at the point, which the circuit's loop ends in."""
    ohm = site.rng.uniform(20, 150)
    site.loops[board] = replace(site.loops[board], earth=ohm + 1)
    site.add(
        Electrode,
        board=board,
        circuit="9",
        place="Beside the drive",
        resistance=site.tester.electrode.read(site.rng, ohm),
        **_rod(site),
        supply_earth_stops="In the isolator",
        armour_isolated="yes",
        separation=3.5,
    )


def _feeder(site: Drawing, phases: int, rating: int | tuple[int, ...]) -> dict[str, Any]:
    """A distribution circuit, armoured, behind a fuse or, where the family tabulates no fuse, a breaker."""
    fuse = site.edition.id != "iec"
    return {
        **a_cable(site, phases=phases, bays=True),
        "description": "To the other board",
        "feeds": str(CircuitKind.DISTRIBUTION),
        "phases": phases,
        "length": site.rng.randrange(8, 36),
        "device": "BS 88-2" if fuse else "BS EN 60898",
        "device_type": "gG" if fuse else "B",
        "device_rating": rating,
        "device_poles": phases + 1,
        "breaking_capacity": 80 if fuse else 10,
    }


def _big_supply(site: Drawing, neutral: float, **values: Any) -> str:
    """A three-phase intake of a workplace or car park."""
    rng, system = site.rng, site.rng.choice(("TN-C-S", "TN-S"))
    add_supply(
        site,
        system,
        Loops(neutral * (1.0 if system == "TN-C-S" else rng.uniform(1.05, 1.4)), neutral),
        phases=3,
        demand_l1=rng.randrange(20, 40),
        demand_l2=rng.randrange(20, 40),
        demand_l3=rng.randrange(20, 40),
        cutout_standard="BS 88-2",
        **values,
    )
    return system


def _workplace(site: Drawing) -> None:
    """One or two three-phase points at a workplace."""
    rng = site.rng
    many = rng.choice((1, 2))
    system = _big_supply(site, rng.uniform(0.08, 0.16), cutout_rating=125, agreed_capacity=125)
    site.sheets[Supply][0] |= {"tails_size": 35, "neutral_size": 35}
    site.loops["MAIN"] = site.loops[""]
    add_board(site, "MAIN", phases=3, main_switch_rating=125)
    model = add_model(site, 3)
    for number in range(1, many + 1):
        values = {**a_cable(site, phases=3, bays=True), **own_rcd(4), "phases": 3, "device_poles": 4}
        add_circuit(site, "MAIN", str(number), values, (0.0, 32.0))
        add_point(site, number, "MAIN", str(number), model, **pen_measure(site, system, model, 3))


def _bays(site: Drawing) -> None:
    """Three to twelve bays behind a board of their own, twelve of them each third draw, held to a limit."""
    rng = site.rng
    many = 12 if site.number % 3 == 0 else rng.randrange(3, 12)
    system = _big_supply(site, rng.uniform(0.05, 0.08), cutout_rating=200, agreed_capacity=200)
    site.sheets[Supply][0] |= {"tails_size": 95, "neutral_size": 95, "earthing_conductor": 50, "bonding_size": 25}
    site.loops["MAIN"] = site.loops[""]
    add_board(site, "MAIN", phases=3, main_switch_rating=200)
    limit = 63 if site.edition.id == "iec" else 80
    feeder = _feeder(site, 3, limit)
    dropped = add_circuit(site, "MAIN", "D1", feeder | {"length": rng.randrange(8, 26)}, (0.0, float(limit)))
    site.loops["BAYS"] = site.loops["MAIN/D1"]
    add_board(site, "BAYS", phases=3, fed_board="MAIN", fed_circuit="D1")
    site.add(
        LoadManagement,
        scheme="LM1",
        group_limit=limit,
        fallback=6,
        sensor_place="Feeder of the bays",
        board="BAYS",
        sensor_checked="yes",
        changed_by="Installer",
        tested_points=many,
        limit_held="yes",
        fallback_held="yes",
    )
    model = add_model(site, 1)
    for number in range(1, many + 1):
        name = f"{(number - 1) // 3 + 1}L{(number - 1) % 3 + 1}"
        values = {
            **a_cable(site, phases=1, bays=True),
            **own_rcd(2),
            "length": 6 + 2 * number + rng.randrange(3),
            "grouped": min(many, 9),
            "grouping": "perforated tray",
        }
        add_circuit(site, "BAYS", name, values, (dropped, 32.0))
        add_point(site, number, "BAYS", name, model, scheme="LM1", **pen_measure(site, system, model, 3))
