"""Slips of the pen at a desk: each spoils one or two cells of a drawn job and says which."""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random
from typing import Any

from proof.typing_in import Plain, Sheets, place_of

from pipeline.facts.field import Place
from pipeline.facts.row import Row
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.supply import Supply

Cells = list[Place]
Spoil = Callable[[Random, Sheets], Cells]
# two rows of which a figure may be copied unseen: their lengths differ by less than the bands of the readings
APART = 0.5


@dataclass(frozen=True)
class Slip:
    """A slip by its name, how it spoils a job, and the share of them that must be found."""

    name: str
    spoil: Spoil
    floor: float


def _final(rng: Random, sheets: Sheets, *, tn: bool = False) -> int:
    """The number of a final circuit, on TN only where that is asked for; −1 where there is none."""
    system = sheets[Supply][0]["earthing_system"]
    chosen = [
        number
        for number, each in enumerate(sheets[Circuit])
        if str(each["feeds"]).startswith("final")
        and not (tn and (system == "TT" or each.get("earthing_system") == "TT"))
    ]
    return rng.choice(chosen) if chosen else -1


def _set(sheets: Sheets, row: type[Row], number: int, **values: Any) -> Cells:
    """Other values in a row, and their cells."""
    sheets[row][number].update(values)
    return [place_of(row, number, name) for name in values]


def scaled(row: type[Row], attribute: str, factor: float, *, tn: bool = False) -> Spoil:
    """A figure so many times too large: typed in another unit, or with its point elsewhere."""

    def spoil(rng: Random, sheets: Sheets) -> Cells:
        number = 0 if row in (Supply, Point) else _final(rng, sheets, tn=tn)
        value = sheets[row][number].get(attribute) if number >= 0 else None
        if not isinstance(value, int | float) or not value:
            return []
        return _set(sheets, row, number, **{attribute: float(f"{value * factor:.6g}")})

    return spoil


def transposed(row: type[Row], attribute: str, *, tn: bool = False) -> Spoil:
    """Two neighbouring digits in the wrong order; nothing where they are equal."""

    def spoil(rng: Random, sheets: Sheets) -> Cells:
        number = 0 if row is Supply else _final(rng, sheets, tn=tn)
        value = sheets[row][number].get(attribute) if number >= 0 else None
        if not isinstance(value, int | float):
            return []
        digits = f"{value:.2f}" if isinstance(value, float) else str(value)
        pairs = [
            at
            for at in range(len(digits) - 1)
            if digits[at : at + 2].isdigit() and digits[at] != digits[at + 1] and (at or digits[1] != "0")
        ]
        if not pairs:
            return []
        at = pairs[0]
        other = digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :]
        return _set(sheets, row, number, **{attribute: type(value)(other)})

    return spoil


def swapped(one: str, other: str, *, tn: bool = False) -> Spoil:
    """Two columns of readings exchanged."""

    def spoil(rng: Random, sheets: Sheets) -> Cells:
        number = _final(rng, sheets, tn=tn)
        values: Plain = sheets[CircuitReadings][number] if number >= 0 else {}
        if values.get(one) is None or values.get(other) is None or values[one] == values[other]:
            return []
        return _set(sheets, CircuitReadings, number, **{one: values[other], other: values[one]})

    return spoil


def from_above(attribute: str, *, apart: float = APART) -> Spoil:
    """The figure of another row with a cable of quite another length."""

    def spoil(rng: Random, sheets: Sheets) -> Cells:
        number = _final(rng, sheets, tn=True)
        if number < 0:
            return []
        own = sheets[Circuit][number]
        others = [
            at
            for at, each in enumerate(sheets[Circuit])
            if each["board"] == own["board"] and abs(each["length"] - own["length"]) > apart * own["length"]
        ]
        if not others:
            return []
        value = sheets[CircuitReadings][rng.choice(others)][attribute]
        return _set(sheets, CircuitReadings, number, **{attribute: value})

    return spoil


def below_ze(rng: Random, sheets: Sheets) -> Cells:
    """A measured loop of half its Ze, with no metal beside the cable."""
    number = _final(rng, sheets, tn=True)
    if number < 0 or sheets[Circuit][number].get("parallel_path"):
        return []
    half = round(sheets[Supply][0]["ze"] / 2, 2)
    return [*_set(sheets, CircuitReadings, number, zs=half), place_of(Supply, 0, "ze")]


def wrong_sum(rng: Random, sheets: Sheets) -> Cells:
    """A loop entered as calculated, a tenth of an ohm off the sum of its parts."""
    number = _final(rng, sheets, tn=True)
    if number < 0 or sheets[Circuit][number]["board"] != "MAIN":
        return []
    total = sheets[Supply][0]["ze"] + sheets[CircuitReadings][number]["r1_r2"]
    return _set(sheets, CircuitReadings, number, zs=round(total + 0.1, 2), zs_source="calculated")


def dragged(attribute: str) -> Spoil:
    """One figure dragged down a column of at least five circuits."""

    def spoil(rng: Random, sheets: Sheets) -> Cells:
        rows = [number for number, each in enumerate(sheets[Circuit]) if str(each["feeds"]).startswith("final")]
        if len(rows) < 5:
            return []
        value = sheets[CircuitReadings][rows[0]][attribute]
        return [cell for each in rows for cell in _set(sheets, CircuitReadings, each, **{attribute: value})]

    return spoil


def series(attribute: str) -> Spoil:
    """A column filled downwards as a series, each cell one more than that above."""

    def spoil(rng: Random, sheets: Sheets) -> Cells:
        rows = [number for number, each in enumerate(sheets[Circuit]) if str(each["feeds"]).startswith("final")]
        if len(rows) < 3:
            return []
        first = sheets[CircuitReadings][rows[0]][attribute]
        cells = [
            cell
            for step, each in enumerate(rows)
            for cell in _set(sheets, CircuitReadings, each, **{attribute: round(first + step, 2)})
        ]
        return cells[1:]

    return spoil


def typed_as(row: type[Row], attribute: str, value: Any) -> Spoil:
    """Another value in a cell of the design."""

    def spoil(rng: Random, sheets: Sheets) -> Cells:
        number = 0 if row in (Supply, Point) else _final(rng, sheets)
        if sheets[row][number].get(attribute) in (None, value):
            return []
        return _set(sheets, row, number, **{attribute: value})

    return spoil


R, C = CircuitReadings, Circuit
SLIPS = (
    Slip("R1+R2 ten times", scaled(R, "r1_r2", 10), 0.9),
    Slip("R1+R2 a tenth", scaled(R, "r1_r2", 0.1), 0.9),
    Slip("R1+R2 in milliohms", scaled(R, "r1_r2", 1000), 1.0),
    Slip("Zs ten times (TN)", scaled(R, "zs", 10, tn=True), 1.0),
    Slip("Zs a tenth (TN)", scaled(R, "zs", 0.1, tn=True), 0.9),
    Slip("Zs in milliohms (TN)", scaled(R, "zs", 1000, tn=True), 1.0),
    Slip("Ze ten times", scaled(Supply, "ze", 10), 0.9),
    Slip("Ze in milliohms", scaled(Supply, "ze", 1000), 0.9),
    Slip("fault current in amperes", scaled(Supply, "fault_current", 1000), 1.0),
    Slip("fault current ten times", scaled(Supply, "fault_current", 10), 0.5),
    Slip("RCD time in seconds", scaled(R, "rcd_time", 0.001), 1.0),
    Slip("RCD time ten times", scaled(R, "rcd_time", 10), 0.95),
    Slip("insulation in kilohms", scaled(R, "insulation_le", 1000), 1.0),
    Slip("insulation in gigohms", scaled(R, "insulation_le", 0.001), 1.0),
    Slip("supply voltage, point lost", scaled(Supply, "voltage_l1", 10), 1.0),
    Slip("torque ten times", scaled(Point, "torque", 10), 1.0),
    Slip("RCD rating in amperes", scaled(C, "rcd_rating", 0.001), 1.0),
    Slip("length ten times", scaled(C, "length", 10), 0.9),
    # of a short thick cable a tenth lies within the band of R1+R2 (0.05 Ω): no physics tells the two apart
    Slip("length a tenth", scaled(C, "length", 0.1), 0.6),
    Slip("length with digits transposed", transposed(C, "length"), 0.5),
    Slip("Zs with digits transposed (TN)", transposed(R, "zs", tn=True), 0.5),
    Slip("R1+R2 with digits transposed", transposed(R, "r1_r2"), 0.9),
    Slip("Ze with digits transposed", transposed(Supply, "ze"), 0.6),
    Slip("device 23 A for 32 A", typed_as(C, "device_rating", 23), 1.0),
    Slip("line conductor a size too small", typed_as(C, "live_size", 2.5), 1.0),
    Slip("RCD type AC", typed_as(C, "rcd_type", "AC"), 1.0),
    # where two lengths differ by less than two displays and a contact can, the figures may honestly be equal
    Slip("R1+R2 of another row", from_above("r1_r2"), 0.05),
    # beside a short thick cable the band of a loop (0.1 Ω) hides the slip: only five alike, dragged down, are found
    Slip("Zs of another row", from_above("zs"), 0.0),
    Slip("R1+R2 and Zs swapped (TN)", swapped("r1_r2", "zs", tn=True), 0.9),
    Slip("RCD times at 1 and 5 I_Δn swapped", swapped("rcd_time", "rcd_time_5"), 1.0),
    Slip("Zs below Ze (TN)", below_ze, 0.5),
    Slip("calculated Zs off its sum (TN)", wrong_sum, 1.0),
    Slip("Zs dragged down", dragged("zs"), 0.9),
    Slip("R1+R2 dragged down", dragged("r1_r2"), 0.9),
    Slip("Zs filled as a series", series("zs"), 1.0),
    Slip("R1+R2 filled as a series", series("r1_r2"), 1.0),
)
