"""The intake of an installation: supply, cut-out, meter and isolator as a column, the earthing below it."""

from collections.abc import Callable
from dataclasses import dataclass

from pipeline.documents.pictures import symbols, wording
from pipeline.documents.pictures.canvas import Canvas
from pipeline.documents.pictures.lettering import BOLD
from pipeline.documents.pictures.network import shown
from pipeline.documents.pictures.notes import PITCH, Notes
from pipeline.documents.pictures.symbols import BESIDE, LENGTH, TERMINAL, Track
from pipeline.documents.texts import Json

TRUNK, TEXT, LIMIT, FRAME = 6.0, 13.0, 51.0, 58.0  # the column, its texts, the boards; in millimetres
FIRST = 7.0  # from the line of the first board down to the first symbol
EARTHS = 52.5  # where the protective conductor rises to the boards
LABEL = 5.1  # from the foot of the column to the base line of the earthing terminal's text


@dataclass(frozen=True, slots=True)
class Step:
    """One symbol of the column with its lines of text."""

    name: str
    draw: Callable[[Track], None]
    lines: list[str]

    @property
    def height(self) -> float:
        """Room for symbol or text, whichever needs more."""
        return max(LENGTH, len(self.lines) * PITCH) + 1.5


@dataclass(frozen=True, slots=True)
class Intake:
    """The column made ready, from the boards down to the supply, and what hangs on the earthing terminal."""

    place: str
    steps: list[Step]
    earth: list[str]
    electrodes: list[str]
    supply_earthed: bool

    @property
    def height(self) -> float:
        """Room needed below the line of the first board."""
        grounds = max(7.0, len(self.electrodes) * PITCH + 1) if self.electrodes else 0.0
        return FIRST + sum(step.height for step in self.steps) + len(self.earth) * PITCH + LABEL + grounds


def prepared(job: Json, notes: Notes) -> Intake:
    """The intake of a job with its texts broken into lines."""
    supply, texts = job["supply"], wording.intake(job["supply"])
    schemes = wording.listed((wording.scheme(each) for each in job["schemes"] if not shown(each, "board")), "; ")
    steps = [("current sensor", schemes)] if schemes else []
    steps += [("isolator", "Isolator")] if shown(supply, "isolator") == "yes" else []
    steps += [("energy meter", texts["meter"]), ("fuse", texts["cut-out"]), ("public supply", texts["supply"])]
    room = LIMIT - TEXT
    grounds = (wording.electrode(each) for each in job["electrodes"] if not shown(each, "board"))
    return Intake(
        place=notes.fit(wording.listed(("Intake", shown(supply, "intake_place"))), LIMIT, BOLD),
        steps=[Step(name, symbols.KEY[name], notes.lines(text, room, 6)) for name, text in steps],
        earth=notes.lines(texts["earth"], room, 4),
        electrodes=notes.lines(wording.listed(grounds, "; "), room, 5),
        supply_earthed=shown(supply, "earthing_system").startswith("TN"),
    )


def draw(canvas: Canvas, intake: Intake, top: float, lines: list[float]) -> None:
    """Draw the column below the first of the boards' lines, its heading at `top`; its earth goes to all of them."""
    canvas.text((0, top), intake.place, BOLD)
    y = lines[0]
    canvas.line((TRUNK, y), (TRUNK, y + FIRST))
    y += FIRST
    for step in intake.steps:
        step.draw(Track(canvas, (TRUNK, y + LENGTH), upward=True))
        canvas.line((TRUNK, y), (TRUNK, y + 0.1))
        _texts(canvas, step.lines, y + max(3.2, (LENGTH - len(step.lines) * PITCH) / 2 + 2.2))
        if step is not intake.steps[-1]:
            canvas.line((TRUNK, y + LENGTH), (TRUNK, y + step.height))
        y += step.height
    _draw_earth(canvas, intake, y)
    for line in lines:
        ends = ((10.5, y + 2), (EARTHS, y + 2), (EARTHS, line + BESIDE), (FRAME, line + BESIDE))
        symbols.protective(canvas, *ends)


def _draw_earth(canvas: Canvas, intake: Intake, y: float) -> None:
    """The main earthing terminal with the supply's earth above it or electrodes below."""
    if intake.supply_earthed:
        symbols.protective(canvas, (TRUNK, y - intake.steps[-1].height + LENGTH), (TRUNK, y + 2))
    canvas.line((1.5, y + 2), (10.5, y + 2), TERMINAL)
    _texts(canvas, intake.earth, y + LABEL)
    if intake.electrodes:
        below = y + len(intake.earth) * PITCH + LABEL
        canvas.line((TRUNK, y + 2), (TRUNK, below))
        symbols.earth(canvas, (TRUNK, below))
        _texts(canvas, intake.electrodes, below + 1.5)


def _texts(canvas: Canvas, lines: list[str], y: float) -> None:
    """Lines of text beside the column."""
    for index, line in enumerate(lines):
        canvas.text((TEXT, y + index * PITCH), line)
