"""A small drawing surface in millimetres from the upper left corner; what is drawn on it becomes a vector picture."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import NamedTuple

from pipeline.documents.pictures import emf
from pipeline.documents.pictures.lettering import BLACK, MM_PER_POINT, PLAIN, Ink, Lettering, advance, width
from pipeline.documents.pictures.picture import Picture
from pipeline.documents.subscripts import pieces

Spot = tuple[float, float]


class Box(NamedTuple):
    """A rectangle in millimetres, from its upper left corner."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """The right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """The lower edge."""
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Pen:
    """A line's thickness in millimetres, its ink, and dash and gap in millimetres (0 for a solid line)."""

    thickness: float = 0.25
    ink: Ink = BLACK
    dash: float = 0.0
    gap: float = 0.0


THIN = Pen()
THICK = Pen(0.5)
SUBSCRIPT, LOWERED = 6.5, 0.5  # size in points, and how far below the line in mm
DASHED = Pen(0.2, BLACK, 1.6, 0.9)


class Canvas:
    """A sheet of fixed width to draw on; the height is known when it is finished."""

    def __init__(self, width_mm: float) -> None:
        """Start with nothing drawn."""
        self.width = width_mm
        self._drawing: list[bytes] = []
        self._objects: dict[tuple[object, ...], int] = {}
        self._chosen: dict[str, object] = {}

    def line(self, start: Spot, end: Spot, pen: Pen = THIN) -> None:
        """A straight line."""
        self.polyline((start, end), pen)

    def polyline(self, spots: Sequence[Spot], pen: Pen = THIN) -> None:
        """A line through spots, dashed if the pen is."""
        self._use_pen(pen)
        if not pen.dash:
            self._drawing.append(emf.polyline([_units(each) for each in spots]))
            return
        for start, end in pairwise(spots):
            self._drawing += [emf.polyline([_units(each) for each in dash]) for dash in _dashes(start, end, pen)]

    def polygon(self, spots: Sequence[Spot], pen: Pen | None = THIN, fill: Ink | None = None) -> None:
        """A closed line through spots; outline, filling or both."""
        self._use_pen(pen)
        self._use_fill(fill)
        self._drawing.append(emf.polygon([_units(each) for each in spots]))

    def rectangle(self, box: Box, pen: Pen | None = THIN, fill: Ink | None = None) -> None:
        """A rectangle; a dashed pen leaves it unfilled."""
        corners = ((box.x, box.y), (box.right, box.y), (box.right, box.bottom), (box.x, box.bottom))
        if pen and pen.dash:
            self.polyline((*corners, corners[0]), pen)
        else:
            self.polygon(corners, pen, fill)

    def circle(self, centre: Spot, radius: float, pen: Pen | None = THIN, fill: Ink | None = None) -> None:
        """A full circle; outline, filling or both."""
        self.ellipse(Box(centre[0] - radius, centre[1] - radius, 2 * radius, 2 * radius), pen, fill)

    def ellipse(self, box: Box, pen: Pen | None = THIN, fill: Ink | None = None) -> None:
        """An ellipse that touches the sides of its box."""
        self._use_pen(pen)
        self._use_fill(fill)
        self._drawing.append(emf.ellipse(*_units((box.x, box.y)), *_units((box.right, box.bottom))))

    def arc(self, centre: Spot, radius: float, start: float, end: float, pen: Pen = THIN) -> None:
        """Part of a circle from one angle to another, in degrees clockwise from the right."""
        steps = max(2, math.ceil(abs(end - start) / 5))
        angles = (math.radians(start + (end - start) * step / steps) for step in range(steps + 1))
        self.polyline([(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles], pen)

    def hatch(self, box: Box, pitch: float, pen: Pen = THIN) -> None:
        """Slanting lines at 45° inside a box, `pitch` apart along its edge."""
        offset = pitch
        while offset < box.width + box.height:
            low = (box.x + max(0.0, offset - box.height), box.y + min(offset, box.height))
            high = (box.x + min(offset, box.width), box.y + max(0.0, offset - box.width))
            self.line(low, high, pen)
            offset += pitch

    def text(self, spot: Spot, letters: str, style: Lettering = PLAIN) -> None:
        """A text on its base line; the style says which end of it stands at the spot."""
        if not letters:
            return
        if (parts := list(pieces(letters)))[1:]:
            self._lowered(spot, parts, style)
            return
        share = {"left": 0.0, "middle": 0.5, "right": 1.0}[style.anchor]
        self._choose("font", (style.size_pt, style.bold), lambda handle: _font(handle, style))
        if self._chosen.get("ink") != style.ink:
            self._chosen["ink"] = style.ink
            self._drawing.append(emf.colour(style.ink))
        start = _units((spot[0] - share * width(letters, style), spot[1]))
        self._drawing.append(emf.text(start, letters, _advances(letters, style)))

    def _lowered(self, spot: Spot, parts: list[tuple[str, bool]], style: Lettering) -> None:
        """A text with subscripts, piece by piece."""
        share = {"left": 0.0, "middle": 0.5, "right": 1.0}[style.anchor]
        plain, small = replace(style, anchor="left"), replace(style, anchor="left", size_pt=SUBSCRIPT)
        sizes = [width(text, small if lower else plain) for text, lower in parts]
        x = spot[0] - share * sum(sizes)
        for (text, lower), wide in zip(parts, sizes, strict=True):
            self.text((x, spot[1] + (LOWERED if lower else 0.0)), text, small if lower else plain)
            x += wide

    def picture(self, height_mm: float, alt: str) -> Picture:
        """The finished picture with its text for those who cannot see it."""
        size = _units((self.width, height_mm))
        return Picture(emf.metafile(*size, len(self._objects), self._drawing), self.width, height_mm, alt)

    def _use_pen(self, pen: Pen | None) -> None:
        """Take up a pen, or none."""
        if pen is None:
            self._stock("pen", emf.NO_PEN)
            return
        key = (pen.thickness, pen.ink)
        thickness = round(pen.thickness * emf.UNITS_PER_MM)
        self._choose("pen", key, lambda handle: emf.pen(handle, thickness, pen.ink))

    def _use_fill(self, fill: Ink | None) -> None:
        """Take up a brush, or none."""
        if fill is None:
            self._stock("brush", emf.NO_BRUSH)
            return
        self._choose("brush", fill, lambda handle: emf.brush(handle, fill))

    def _choose(self, kind: str, key: tuple[object, ...], make: Callable[[int], bytes]) -> None:
        """Select an object of this kind, made when it is first needed."""
        if self._chosen.get(kind) == key:
            return
        self._chosen[kind] = key
        handle = self._objects.get((kind, *key))
        if handle is None:
            handle = self._objects[(kind, *key)] = len(self._objects) + 1
            self._drawing.append(make(handle))
        self._drawing.append(emf.select(handle))

    def _stock(self, kind: str, handle: int) -> None:
        """Select one of the objects that every file has."""
        if self._chosen.get(kind) != handle:
            self._chosen[kind] = handle
            self._drawing.append(emf.select(handle))


def _units(spot: Spot) -> emf.Point:
    """A spot in the file's units."""
    return round(spot[0] * emf.UNITS_PER_MM), round(spot[1] * emf.UNITS_PER_MM)


def _font(handle: int, style: Lettering) -> bytes:
    """The font of a style."""
    return emf.font(handle, round(style.size_pt * MM_PER_POINT * emf.UNITS_PER_MM), bold=style.bold)


def _advances(letters: str, style: Lettering) -> list[int]:
    """Advances of all UTF-16 units, rounded so that the errors do not add up along the line."""
    found: list[int] = []
    exact, placed = 0.0, 0
    for each in letters:
        exact += advance(each, style) * emf.UNITS_PER_MM
        found += [round(exact) - placed] + [0] * (len(each.encode("utf-16-le")) // 2 - 1)
        placed = round(exact)
    return found


def _dashes(start: Spot, end: Spot, pen: Pen) -> list[tuple[Spot, Spot]]:
    """The dashes of a straight line, both ends of it inked."""
    length = math.dist(start, end)
    count = max(1, round((length + pen.gap) / (pen.dash + pen.gap)))
    stretch = (length + pen.gap) / (count * (pen.dash + pen.gap))

    def at(distance: float) -> Spot:
        share = min(1.0, distance / length) if length else 0.0
        return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])

    step = stretch * (pen.dash + pen.gap)
    return [(at(index * step), at(index * step + step - pen.gap)) for index in range(count)]
