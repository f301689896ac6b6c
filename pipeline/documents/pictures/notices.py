"""Signs for the safety notices, by the rules of ISO 3864-1 for shape, colour and proportion; the drawings are ours.

Proportions and colours from memory: bar and ring of a prohibition 8 % and 10 % of its diameter, the bar from the
upper left to the lower right; sRGB values near RAL 3001 (red) and 5005 (blue), which ISO 3864-4 names; the yellow is
lighter than RAL 1003 on a screen, since office printers turn that into orange (common practice).
"""

import math
from collections.abc import Callable

from pipeline.documents.catalogue import LANGUAGE, text
from pipeline.documents.pictures.canvas import Canvas, Pen, Spot
from pipeline.documents.pictures.lettering import BLACK, WHITE, Ink
from pipeline.documents.pictures.picture import Picture

YELLOW: Ink = (255, 209, 0)
RED: Ink = (155, 36, 35)
BLUE: Ink = (0, 83, 135)
RING, BAR = 0.10, 0.08  # of the diameter of a prohibition
BORDER = 0.06  # black band of a warning, of its side
CORNER = 0.06  # outer radius of a warning's corners, of its side


Sign = Callable[["Plate"], None]
"""What draws a sign on a unit square."""


class Plate:
    """A canvas whose coordinates run from 0 to 1."""

    def __init__(self, size_mm: float) -> None:
        """A square of so many millimetres."""
        self.size = size_mm
        self.canvas = Canvas(size_mm)

    def spot(self, x: float, y: float) -> Spot:
        """A spot in millimetres."""
        return x * self.size, y * self.size

    def shape(self, spots: list[Spot], ink: Ink) -> None:
        """A filled shape."""
        self.canvas.polygon([self.spot(*each) for each in spots], None, ink)

    def disc(self, centre: Spot, radius: float, ink: Ink) -> None:
        """A filled circle."""
        self.canvas.circle(self.spot(*centre), radius * self.size, None, ink)

    def line(self, spots: list[Spot], thickness: float, ink: Ink) -> None:
        """A line with a thickness in parts of the sign."""
        self.canvas.polyline([self.spot(*each) for each in spots], Pen(thickness * self.size, ink))


def notice_symbol(name: str, size_mm: float = 40.0, language: str = LANGUAGE) -> Picture:
    """A sign by its name in NOTICE_SYMBOLS, as wide and high as asked; raises KeyError for another name."""
    plate = Plate(size_mm)
    NOTICE_SYMBOLS[name](plate)
    return plate.canvas.picture(size_mm, text(f"spoken.{name}", language))


def _triangle(plate: Plate) -> None:
    """The plate of a warning: yellow, edged in black, corners rounded."""
    side = 0.98
    height = side * math.sqrt(3) / 2
    top = (1 - height) / 2
    corners = [(0.5, top), (0.5 + side / 2, top + height), (0.5 - side / 2, top + height)]
    plate.shape(_rounded(corners, 0.0, CORNER), BLACK)
    plate.shape(_rounded(corners, BORDER, CORNER / 4), YELLOW)


def _rounded(corners: list[Spot], inset: float, radius: float) -> list[Spot]:
    """An equilateral triangle drawn in by a width, its corners rounded."""
    middle = (sum(x for x, _ in corners) / 3, sum(y for _, y in corners) / 3)
    reach = math.dist(corners[0], middle)
    found = []
    for corner, turn in zip(corners, (-90, 30, 150), strict=True):
        share = (reach - 2 * (inset + radius)) / reach
        centre = (middle[0] + share * (corner[0] - middle[0]), middle[1] + share * (corner[1] - middle[1]))
        for step in range(-60, 61, 10):
            angle = math.radians(turn + step)
            found.append((centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)))
    return found


def _electricity(plate: Plate) -> None:
    """Warning of electricity: an arrow that strikes down in a zigzag."""
    _triangle(plate)
    bolt = [(0.53, 0.34), (0.41, 0.595), (0.505, 0.575), (0.465, 0.70)]
    back = [(0.51, 0.70), (0.595, 0.525), (0.50, 0.545), (0.59, 0.37)]
    plate.shape(bolt + back, BLACK)
    plate.shape([(0.425, 0.665), (0.555, 0.705), (0.452, 0.825)], BLACK)


def _warning(plate: Plate) -> None:
    """Warning in general: an exclamation mark."""
    _triangle(plate)
    plate.shape([(0.455, 0.36), (0.545, 0.36), (0.525, 0.65), (0.475, 0.65)], BLACK)
    plate.disc((0.5, 0.36), 0.045, BLACK)
    plate.disc((0.5, 0.73), 0.043, BLACK)


def _mandatory(plate: Plate) -> None:
    """The plate of a duty: a blue disc."""
    plate.disc((0.5, 0.5), 0.49, BLUE)


def _disconnect(plate: Plate) -> None:
    """Duty to disconnect: a plug drawn out of its socket."""
    _mandatory(plate)
    plate.shape([(0.12, 0.475), (0.24, 0.475), (0.24, 0.525), (0.12, 0.525)], WHITE)
    plate.shape([(0.22, 0.38), (0.30, 0.33), (0.40, 0.33), (0.40, 0.67), (0.30, 0.67), (0.22, 0.62)], WHITE)
    for y in (0.42, 0.58):
        plate.shape([(0.40, y - 0.03), (0.50, y - 0.03), (0.50, y + 0.03), (0.40, y + 0.03)], WHITE)
    plate.shape([(0.60, 0.33), (0.70, 0.33), (0.78, 0.38), (0.78, 0.62), (0.70, 0.67), (0.60, 0.67)], WHITE)
    plate.shape([(0.76, 0.475), (0.88, 0.475), (0.88, 0.525), (0.76, 0.525)], WHITE)
    for y in (0.42, 0.58):
        plate.shape([(0.60, y - 0.03), (0.67, y - 0.03), (0.67, y + 0.03), (0.60, y + 0.03)], BLUE)


def _read(plate: Plate) -> None:
    """Duty to read the instructions: an open booklet with lines."""
    _mandatory(plate)
    for left in (True, False):

        def page(x: float, y: float, *, turned: bool = left) -> Spot:
            return (1 - x if turned else x), y

        plate.shape([page(0.52, 0.32), page(0.80, 0.26), page(0.80, 0.68), page(0.52, 0.74)], WHITE)
        for line in range(4):
            y = 0.40 + 0.085 * line
            plate.line([page(0.56, y), page(0.76, y - 0.043)], 0.022, BLUE)


def _protective_earth(plate: Plate) -> None:
    """Protective earth (IEC 60417-5019, shape from memory): a lead down to three shrinking bars, in a ring."""
    plate.disc((0.5, 0.5), 0.45, BLACK)
    plate.disc((0.5, 0.5), 0.40, WHITE)
    plate.line([(0.5, 0.20), (0.5, 0.52)], 0.045, BLACK)
    for index, half in enumerate((0.24, 0.15, 0.06)):
        y = 0.52 + 0.10 * index
        plate.line([(0.5 - half, y), (0.5 + half, y)], 0.045, BLACK)


def _do_not_use(plate: Plate) -> None:
    """Prohibition to use: a charging plug and its cable, crossed out."""
    plate.disc((0.5, 0.5), 0.49, RED)
    plate.disc((0.5, 0.5), 0.49 - RING, WHITE)
    plate.shape([(0.40, 0.26), (0.60, 0.26), (0.60, 0.50), (0.55, 0.58), (0.45, 0.58), (0.40, 0.50)], BLACK)
    for x in (0.44, 0.56):
        plate.shape([(x - 0.02, 0.18), (x + 0.02, 0.18), (x + 0.02, 0.27), (x - 0.02, 0.27)], BLACK)
    plate.line([(0.5, 0.57), (0.5, 0.82)], 0.05, BLACK)
    edge = (0.49 - RING / 2) * math.sqrt(0.5)
    plate.line([(0.5 - edge, 0.5 - edge), (0.5 + edge, 0.5 + edge)], BAR, RED)


NOTICE_SYMBOLS: dict[str, Sign] = {
    "electricity": _electricity,
    "warning": _warning,
    "disconnect": _disconnect,
    "read instructions": _read,
    "protective earth": _protective_earth,
    "do not use": _do_not_use,
}
