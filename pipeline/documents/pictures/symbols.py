"""Symbols of single-line diagrams in general use, after IEC 60617 (shapes from memory, drawn by us; common practice).

Each stands on a `Track`, the line of conductors that it belongs to, and says how much of that line it takes.
"""

from collections.abc import Callable
from dataclasses import dataclass

from pipeline.documents.pictures.canvas import DASHED, THICK, THIN, Box, Canvas, Pen, Spot
from pipeline.documents.pictures.lettering import BLACK, WHITE, Lettering

LENGTH = 12.0  # of a symbol in a line, with its stubs, in millimetres
RESIDUAL_LENGTH = 9.0
SURGE_HEIGHT = 6.8
BESIDE = 0.75  # of a protective conductor to its line
TERMINAL = Pen(0.35)
SIGN = Lettering(6.5, anchor="middle")
_BLADE = Pen(0.35)
_LINK = Pen(0.18, BLACK, 0.9, 0.6)


@dataclass(frozen=True, slots=True)
class Track:
    """A straight line on a canvas from a spot, to the right or upwards; symbols know only along and across.

    `pen` draws the line itself: thick where the work is new.
    """

    canvas: Canvas
    start: Spot
    upward: bool = False
    pen: Pen = THIN

    def at(self, along: float, across: float = 0.0) -> Spot:
        """A spot beside the line; across is downwards, or to the right of an upward line."""
        x, y = self.start
        return (x + across, y - along) if self.upward else (x + along, y + across)

    def line(self, *spots: tuple[float, float], pen: Pen | None = None) -> None:
        """A line through spots given along and across."""
        self.canvas.polyline([self.at(*each) for each in spots], pen or self.pen)

    def box(self, along: float, length: float, breadth: float) -> Box:
        """A rectangle that straddles the line."""
        (x1, y1), (x2, y2) = self.at(along, -breadth / 2), self.at(along + length, breadth / 2)
        return Box(min(x1, x2), min(y1, y2), abs(x2 - x1), abs(y2 - y1))


def breaker(track: Track) -> None:
    """Circuit-breaker: an open contact with a cross at the supply side."""
    _contact(track)
    track.line((2.2, -0.8), (3.8, 0.8), pen=THIN)
    track.line((2.2, 0.8), (3.8, -0.8), pen=THIN)


def switch(track: Track) -> None:
    """Switch-disconnector: an open contact with a bar and a ring at the supply side."""
    _contact(track)
    track.line((3, -1.3), (3, 1.3), pen=THIN)
    track.canvas.circle(track.at(3.6), 0.6, THIN, WHITE)


def isolator(track: Track) -> None:
    """Disconnector: an open contact with a bar at the supply side."""
    _contact(track)
    track.line((3, -1.3), (3, 1.3), pen=THIN)


def fuse(track: Track) -> None:
    """Fuse: a rectangle with the line through it."""
    track.canvas.rectangle(track.box(2.5, 7, 2.6), THIN, WHITE)
    track.line((0, 0), (LENGTH, 0))


def unknown(track: Track) -> None:
    """A device of which the record says nothing: a rectangle with a question mark."""
    track.line((0, 0), (LENGTH, 0))
    track.canvas.rectangle(track.box(3, 6, 4), THIN, WHITE)
    _sign(track, 6, "?")


def residual_release(track: Track) -> None:
    """Residual current release: a ring around the line, linked to the contact of the breaker before it."""
    track.line((0, 0), (RESIDUAL_LENGTH, 0))
    track.canvas.ellipse(track.box(5.6, 1.8, 5.6))
    track.line((6.5, -2.8), (6.5, -4), (-6, -4), (-6, -1.6), pen=_LINK)


def residual(track: Track) -> None:
    """Residual current device by itself: a ring around the line, linked to its own contact."""
    track.line((0, 0), (1.2, 0))
    track.line((4.6, 0), (RESIDUAL_LENGTH, 0))
    track.line((4.6, 0), (1.4, -1.9), pen=_BLADE)
    track.canvas.ellipse(track.box(5.6, 1.8, 5.6))
    track.line((6.5, -2.8), (6.5, -4), (3, -4), (3, -1.1), pen=_LINK)


def meter(track: Track) -> None:
    """Energy meter: a square with a register strip and the unit that it counts."""
    track.line((0, 0), (2, 0))
    track.line((10, 0), (LENGTH, 0))
    box = track.box(2, 8, 8)
    track.canvas.rectangle(box, THIN, WHITE)
    track.canvas.line((box.x, box.y + 2.4), (box.right, box.y + 2.4))
    track.canvas.text((box.x + box.width / 2, box.y + 6.4), "kWh", SIGN)


def supply(track: Track) -> None:
    """Public supply: a circle with a wave, the line leaving it."""
    track.canvas.circle(track.at(4), 4, THIN, WHITE)
    x, y = track.at(4)
    track.canvas.arc((x - 1.1, y), 1.1, 180, 360)
    track.canvas.arc((x + 1.1, y), 1.1, 180, 0)
    track.line((8, 0), (LENGTH, 0))


def sensor(track: Track) -> None:
    """Current sensor of a load management: a ring on the line with its lead."""
    track.line((0, 0), (LENGTH, 0))
    track.canvas.circle(track.at(6), 1.7)
    track.line((6, 1.7), (6, 4), pen=THIN)
    track.line((5.2, 2.6), (6.8, 3.4), pen=THIN)


def open_pen(track: Track) -> None:
    """Device that disconnects on an open PEN conductor: a rectangle with its name."""
    track.line((0, 0), (LENGTH, 0))
    track.canvas.rectangle(track.box(2, 8, 4.6), THIN, WHITE)
    _sign(track, 6, "PEN")


def charge_point(track: Track) -> None:
    """Charge point: a square with a socket-outlet's half ring, and what it is for; mounting it is new work."""
    box = track.box(0, 8, 8)
    track.canvas.rectangle(box, THICK, WHITE)
    centre = box.x + box.width / 2
    track.canvas.arc((centre, box.y + 3.9), 2.3, 180, 360)
    track.canvas.line((centre, box.y), (centre, box.y + 1.6))
    track.canvas.text((centre, box.y + 6.9), "EV", SIGN)


def source(track: Track, sign: str) -> None:
    """Another source: a square with the letter of a generator and a sign of its kind."""
    track.canvas.rectangle(track.box(0, 8, 8), _BLADE, WHITE)
    x, y = track.at(4)
    track.canvas.text((x, y - 0.4), "G", Lettering(7, bold=True, anchor="middle"))
    track.canvas.text((x, y + 2.9), sign, SIGN)


def onward(track: Track) -> None:
    """The line goes on elsewhere: a flag that points along it."""
    track.canvas.polygon([track.at(*each) for each in ((0, -2), (4, -2), (7, 0), (4, 2), (0, 2))], THIN, WHITE)


def earth(canvas: Canvas, spot: Spot) -> None:
    """Earth: a lead down to three shrinking bars."""
    x, y = spot
    canvas.line(spot, (x, y + 2.2))
    for index, half in enumerate((2.2, 1.4, 0.6)):
        canvas.line((x - half, y + 2.2 + 0.9 * index), (x + half, y + 2.2 + 0.9 * index), _BLADE)


def surge(canvas: Canvas, spot: Spot) -> None:
    """Surge protective device: a rectangle with an arrow, between the line above and a protective conductor below."""
    x, y = spot
    canvas.line(spot, (x, y + 1.2))
    canvas.rectangle(Box(x - 1.3, y + 1.2, 2.6, 4.6), THIN, WHITE)
    canvas.polyline(((x, y + 1.2), (x, y + 4)), THIN)
    canvas.polygon(((x - 0.7, y + 3.6), (x + 0.7, y + 3.6), (x, y + 5)), None, BLACK)
    canvas.line((x, y + 5.8), (x, y + SURGE_HEIGHT))


def protective(canvas: Canvas, *spots: Spot) -> None:
    """A protective conductor: a dashed line."""
    canvas.polyline(spots, DASHED)


def interrupted(canvas: Canvas, spot: Spot) -> None:
    """The end of a protective conductor that goes no further: two slanting strokes across it."""
    x, y = spot
    for shift in (0.0, 0.9):
        canvas.line((x + shift - 0.5, y + 1.1), (x + shift + 0.5, y - 1.1), _BLADE)


def _contact(track: Track) -> None:
    """An open contact whose blade is hinged at the load side."""
    track.line((0, 0), (3, 0))
    track.line((9, 0), (LENGTH, 0))
    track.line((9, 0), (3.6, -2.6), pen=_BLADE)


def _sign(track: Track, along: float, letters: str) -> None:
    """Letters in the middle of a symbol."""
    x, y = track.at(along)
    track.canvas.text((x, y + 0.85), letters, SIGN)


def _key_surge(track: Track) -> None:
    """Surge protective device in the key."""
    surge(track.canvas, track.at(6, -3.4))


def _key_earth(track: Track) -> None:
    """Earth electrode in the key."""
    earth(track.canvas, track.at(6, -2))


def _key_terminal(track: Track) -> None:
    """Main earthing terminal in the key."""
    track.line((2, 0), (10, 0), pen=TERMINAL)


def _key_source(track: Track) -> None:
    """Another source in the key."""
    source(track, "")


# symbols for the key, by what people call them; the high ones first, so that in two rows none touches another
KEY: dict[str, Callable[[Track], None]] = {
    "public supply": supply,
    "energy meter": meter,
    "charge point": charge_point,
    "other source": _key_source,
    "RCD": residual,
    "fuse": fuse,
    "isolator": isolator,
    "main switch": switch,
    "circuit-breaker": breaker,
    "current sensor": sensor,
    "open-PEN device": open_pen,
    "device not stated": unknown,
    "surge protection": _key_surge,
    "earthing terminal": _key_terminal,
    "earth electrode": _key_earth,
    "goes on elsewhere": onward,
}
