"""Circuits as a careful designer chooses them, and their readings as the physics gives them.

The design looks into the same tables as the rules, because an honest designer does too; the readings come from the
true loops and never from the rules.
"""

from itertools import product
from typing import Any

from proof.drawing import U_0, Drawing
from proof.physics import CONTACT, Loops, pair_of
from rules.honest import typed

from pipeline.editions import CableRun, Device, Load, Missing
from pipeline.facts.choices import CircuitKind, DeviceStandard, EarthingSystem
from pipeline.facts.findings import Confidence
from pipeline.facts.quantities import magnitude, quantity
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.supply import Supply

# share of the loop limit up to which a careful designer goes at 20 °C, and of the permitted drop: common practice
LOOP_SHARE = {"uk_2018_a2": 0.72, "uk_2018_a4": 0.72, "iec": 0.52}
DROP_SHARE = 0.9
FUSES = {DeviceStandard.FUSE_88_2}
FLAT = ((6, 2.5), (10, 4), (16, 6))
CORES = ((6, 6), (10, 10), (16, 16), (25, 16), (35, 16), (50, 25))


def a_cable(site: Drawing, *, phases: int, bays: bool) -> dict[str, Any]:
    """Kind and laying of a cable, its size still open."""
    flat = phases == 1 and not bays and site.rng.random() < 0.65
    if flat:
        method = site.rng.choice(("C", "C", "C", "100 above ceiling, insulation to 100 mm", "E"))
        if site.edition.id == "iec":
            method = site.rng.choice(("C", "E"))
        return {"cable": "flat twin and earth", "insulation": "PVC 70 °C", "method": method}
    method = site.rng.choice(("C", "E", "E") if bays else ("C", "E", "D1 in duct", "D2 direct in ground"))
    ground = method.startswith("D")
    return {
        "cable": "armoured",
        "insulation": "XLPE 90 °C",
        "method": method,
        "burial_depth": 0.6 if ground else None,
        "ambient": 20 if ground else 30,
    }


def _design(site: Drawing, board: str, base: dict[str, Any], upstream: tuple[float, float]) -> dict[str, Any]:
    """The smallest cable that carries its device, keeps drop and loop with a reserve; None of it by the rules."""
    cpc = "core of the cable"
    if base["cable"] == "armoured" and site.rng.random() < 0.5:
        cpc = "core and armour"
    ratings, sizes = base["device_rating"], FLAT if base["cable"] == "flat twin and earth" else CORES
    for rating, (live, protective) in product(ratings if isinstance(ratings, tuple) else (ratings,), sizes):
        values = base | {"live_size": live, "cpc": cpc, "cpc_size": protective, "device_rating": rating}
        if _sound(site, board, values, upstream):
            return values
    message = f"{site.job}: no cable fits {base}"
    raise LookupError(message)


def _row(values: dict[str, Any]) -> Circuit:
    """A typed circuit of plain values."""
    return Circuit(**{name: typed(Circuit, name, value) for name, value in values.items()})


def _sound(site: Drawing, board: str, values: dict[str, Any], upstream: tuple[float, float]) -> bool:
    """Whether capacity, drop and loop of a design hold with a reserve; `upstream` is the drop so far and the load."""
    circuit, (dropped, load) = _row(values), upstream
    run, device, found = CableRun.of(circuit), Device.of(circuit), site.edition
    if run is None or device is None:
        return False
    capacity = found.cables.capacity(run)
    drop = found.drops.drop(Load(run, quantity(load, "A"), circuit.phases or 1), quantity(U_0, "V"))
    system = EarthingSystem(values.get("earthing_system") or site.sheets[Supply][0]["earthing_system"])
    if isinstance(capacity, Missing) or isinstance(drop, Missing):
        return False
    more = site.reserve if capacity.effective.confidence is Confidence.MEMORY else 1.0
    carries = magnitude(capacity.effective.quantity, "A") >= more * magnitude(device.rating, "A")
    share = dropped + magnitude(drop.share.quantity, "%") <= DROP_SHARE * 5
    return carries and share and (system is EarthingSystem.TT or _trips(site, board, run, device))


def _trips(site: Drawing, board: str, run: CableRun, device: Device) -> bool:
    """Whether the cold loop keeps well below what lets the device trip; the kind of circuit decides the time."""
    protection, volts = site.edition.protection, quantity(U_0, "V")
    kind = CircuitKind.DISTRIBUTION if device.standard in FUSES else CircuitKind.FINAL
    time = protection.disconnection_time(EarthingSystem.TN_S, kind, device.rating, volts)
    limit = protection.loop_limit(device, time.quantity, volts)
    if isinstance(limit, Missing):
        return False
    loop = site.loops[board].earth + magnitude(site.edition.cables.pair_resistance(run).quantity, "Ω")
    return loop <= LOOP_SHARE[site.edition.id] * magnitude(limit.quantity, "Ω")


def add_circuit(
    site: Drawing, board: str, name: str, base: dict[str, Any], upstream: tuple[float, float], *, inside: bool = False
) -> float:
    """A designed circuit with its readings; gives the share of voltage dropped up to its end."""
    rng, tester = site.rng, site.tester
    usual = {
        "board": board,
        "circuit": name,
        "description": "Charge point",
        "feeds": "final circuit of a charge point",
        "new": "new",
        "phases": 1,
        "length": rng.randrange(5, 31),
        "grouped": 1,
        "ambient": 30,
        "insulation_run": 0,
        "terminal_rating": 70,
        "device": "BS EN 61009",
        "device_type": "B",
        "device_rating": 40,
        "device_poles": 2,
        "breaking_capacity": 10,
    }
    values = _design(site, board, usual | base, upstream)
    if values["cpc"] == "core and armour":
        values["parallel_path"] = "yes"
    site.add(Circuit, **values)
    run = CableRun.of(_row(values))
    assert run is not None
    pair, at = pair_of(rng, site.edition, run, site.celsius), site.loops[board]
    end = Loops(at.earth + pair.earth, at.neutral + pair.neutral)
    site.loops[f"{board}/{name}"] = end
    delayed, rcd = values.get("rcd_delay") == "S", values.get("rcd_type") is not None or inside
    times = [tester.rcd.read(rng, rng.uniform(160, 320) if delayed else rng.uniform(14, 37)) for _ in range(2)]
    site.add(
        CircuitReadings,
        board=board,
        circuit=name,
        attempt=1,
        r1_r2=tester.continuity.read(rng, pair.earth + rng.uniform(*CONTACT)),
        insulation_voltage=500,
        insulation_ll=rng.choice((">999", ">999", ">500", 412, 230)),
        insulation_le=rng.choice((">999", ">999", ">500", 380, 199)),
        point_connected="no",
        polarity="confirmed",
        zs=tester.loop.read(rng, end.earth),
        zs_source="measured",
        rcd_time=times[0] if rcd else None,
        rcd_time_180=times[1] if rcd else None,
        rcd_time_5=site.perhaps(tester.rcd.read(rng, rng.uniform(7, 13)), 0.5) if rcd and not delayed else None,
        rcd_button="works" if rcd else None,
        sequence="confirmed" if values["phases"] == 3 else "N/A",
        ambient=site.perhaps(site.celsius, 0.9),
        instrument=tester.name,
    )
    load = Load(run, quantity(upstream[1], "A"), values["phases"])
    return upstream[0] + magnitude(site.edition.drops.drop(load, quantity(U_0, "V")).share.quantity, "%")
