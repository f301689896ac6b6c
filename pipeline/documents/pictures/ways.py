"""One way of a board as a row of the diagram: device, cable, and what is at the end of it."""

from collections.abc import Callable
from dataclasses import dataclass

from pipeline.documents.pictures import symbols, wording
from pipeline.documents.pictures.canvas import THICK, THIN, Canvas, Pen
from pipeline.documents.pictures.lettering import BOLD, PLAIN
from pipeline.documents.pictures.network import Way, shown
from pipeline.documents.pictures.notes import PITCH, Notes
from pipeline.documents.pictures.symbols import BESIDE, LENGTH, Track
from pipeline.documents.texts import Json
from pipeline.facts.choices import SourceKind

# columns, in millimetres from the left edge of the picture
BUSBAR, DEVICE, DEVICE_TEXT, FRAME_END = 90, 99, 120, 147
CABLE, BRANCH, END, END_TEXT, END_LIMIT = 149, 198, 201, 211, 252
ABOVE, BELOW = 1.2, 3.4  # of the nearest base lines to the line itself
HALF_SYMBOL = 4.6
HALF_POINT = 4.0  # of the square of a charge point or a source
EARTH_BAR = 146.4  # where the protective conductors of a board meet
STOP = 156.0  # where that of an island of earthing ends
FUSES = ("BS 88", "BS 3036", "BS 1361")
BEHIND = 1.4  # from the left edge of a charge point to the line of a vehicle that feeds back through it
SIGNS = {"solar": "PV", "battery": "+ −", "generator": "~", "vehicle": "EV"}


@dataclass(frozen=True, slots=True)
class End:
    """What a cable ends at: a name, further lines, the symbol, and whether an electrode hangs below it.

    What is `behind` hangs on the end above it, not on the cable.
    """

    name: str
    lines: list[str]
    draw: Callable[[Track], None] | None
    boards: tuple[str, ...] = ()
    earthed: bool = False
    behind: bool = False

    @property
    def up(self) -> float:
        """Room needed above the line."""
        return HALF_SYMBOL

    @property
    def down(self) -> float:
        """Room needed below the line."""
        texts = BELOW - PITCH + len(self.lines) * PITCH + 1.2
        return max(texts, HALF_SYMBOL + (5.2 if self.earthed else 0))


@dataclass(frozen=True, slots=True)
class Row:
    """A way made ready to be drawn: its texts in lines, above and below its line, and its ends."""

    way: Way
    number: str
    device: tuple[list[str], list[str]]
    cable: tuple[list[str], list[str]]
    ends: list[End]

    @property
    def up(self) -> float:
        """Room needed above the line."""
        lines = max(len(self.device[0]), len(self.cable[0]), 1)
        return max(ABOVE + lines * PITCH, self.ends[0].up)

    @property
    def down(self) -> float:
        """Room needed below the line, further ends included."""
        lines = max(len(self.device[1]), len(self.cable[1]))
        return max(BELOW - PITCH + lines * PITCH + 1.2, self.depths()[-1] + self.ends[-1].down)

    @property
    def height(self) -> float:
        """Room needed in all."""
        return self.up + self.down

    def depths(self) -> list[float]:
        """How far below the line each end stands; the first one on it."""
        found = [0.0]
        for before, end in zip(self.ends, self.ends[1:], strict=False):
            found.append(found[-1] + before.down + end.up)
        return found


def prepared(way: Way, models: dict[str, Json], notes: Notes) -> Row:
    """A way with its texts broken into lines."""
    circuit = way.circuit or {}
    protection = notes.lines(wording.device(circuit), FRAME_END - DEVICE_TEXT - 1, 2)
    switched = wording.listed((wording.residual(circuit), wording.contact(circuit)))
    room = (BRANCH - LENGTH if _separate(way) or way.source else BRANCH) - CABLE - 2
    laid = notes.lines(way.remark or wording.title(circuit), room, 1) + notes.lines(wording.cable(circuit), room, 2)
    return Row(
        way=way,
        number=notes.fit(way.number, DEVICE - BUSBAR - 1, BOLD),
        device=(protection, notes.lines(switched, FRAME_END - DEVICE_TEXT - 1, 4)),
        cable=(laid, notes.lines(wording.route(circuit), room, 3)),
        ends=_ends(way, models, notes),
    )


def used(way: Way) -> set[str]:
    """The symbols of the key that a way is drawn with."""
    circuit = way.circuit or {}
    found = {_device_name(circuit)} if way.circuit or way.source else set()
    found |= {"isolator"} if way.source else set()
    found |= {"other source"} if way.source or way.vehicles else set()
    found |= {"earth electrode"} if way.electrodes else set()
    found |= {"RCD"} if wording.residual(circuit) else set()
    found |= {"open-PEN device"} if _separate(way) else set()
    return found | ({"charge point"} if way.points else set())


def draw(canvas: Canvas, row: Row, y: float) -> None:
    """Draw a row on its line."""
    way, pen = row.way, _pen(row.way)
    canvas.text((BUSBAR + 1.2, y - ABOVE), row.number, BOLD)
    canvas.line((BUSBAR, y), (DEVICE, y), pen)
    _draw_device(canvas, way, y)
    _draw_protective(canvas, row, y)
    canvas.line((DEVICE_TEXT, y), (BRANCH - LENGTH, y), pen)
    last = Track(canvas, (BRANCH - LENGTH, y), pen=pen)
    if _separate(way):
        symbols.open_pen(last)
    elif way.source:
        symbols.isolator(last)
    else:
        last.line((0, 0), (LENGTH, 0))
    _stack(canvas, (DEVICE_TEXT, y), row.device)
    _stack(canvas, (CABLE, y), row.cable)
    above = y
    for depth, end in zip(row.depths(), row.ends, strict=True):
        if end.behind:
            canvas.line((END + BEHIND, above + HALF_POINT), (END + BEHIND, y + depth - HALF_POINT))
        else:
            canvas.polyline(((BRANCH, y), (BRANCH, y + depth), (END, y + depth)), pen)
        _draw_end(canvas, end, y + depth)
        above = y + depth


def _ends(way: Way, models: dict[str, Json], notes: Notes) -> list[End]:
    """What a way ends at; an empty end where the record names nothing."""
    room = END_LIMIT - END_TEXT
    grounds = wording.listed(map(wording.electrode, way.electrodes), "; ")
    found = [
        End(
            notes.fit(shown(each, "point"), room, BOLD),
            notes.lines(wording.listed((wording.point(each, models), grounds)), room, 8),
            symbols.charge_point,
            earthed=bool(grounds),
        )
        for each in way.points
    ]
    if way.vehicles:
        about = wording.listed(map(wording.other_source, way.vehicles), "; ")
        found.append(_source_end(SourceKind.VEHICLE, notes.lines(about, room, 6), behind=True))
    if way.feeds:
        names = ", ".join(way.feeds)
        found.append(End(notes.fit(f"to board {names}", room, BOLD), [], None, boards=tuple(way.feeds)))
    if way.source:
        text = notes.lines(wording.other_source(way.source), room, 4)
        found.append(_source_end(shown(way.source, "source"), text))
    return found or [
        End("", ["nothing at its end on the record", *notes.lines(grounds, room, 3)], None, earthed=bool(grounds))
    ]


def _source_end(kind: str, text: list[str], *, behind: bool = False) -> End:
    """A source besides the public supply with the sign of its kind."""
    sign = SIGNS.get(kind, "")
    return End(f"Other source: {kind}", text, lambda track: symbols.source(track, sign), behind=behind)


def _draw_protective(canvas: Canvas, row: Row, y: float) -> None:
    """The protective conductor from the board along the cable to its ends; an island's stops on the way there."""
    y += BESIDE
    if row.way.electrodes:
        symbols.protective(canvas, (EARTH_BAR, y), (STOP, y))
        symbols.interrupted(canvas, (STOP, y))
        return
    depths = [depth for depth, end in zip(row.depths(), row.ends, strict=True) if not end.behind]
    symbols.protective(canvas, (EARTH_BAR, y), (BRANCH - BESIDE, y), (BRANCH - BESIDE, y + depths[-1]))
    for depth in depths:
        symbols.protective(canvas, (BRANCH - BESIDE, y + depth), (END, y + depth))


def _draw_device(canvas: Canvas, way: Way, y: float) -> None:
    """The symbols between busbar and cable; a plain line where there is no circuit."""
    if not way.circuit and not way.source:
        canvas.line((DEVICE, y), (DEVICE_TEXT, y))
        return
    pen, circuit = _pen(way), way.circuit or {}
    symbols.KEY[_device_name(circuit)](Track(canvas, (DEVICE, y), pen=pen))
    rest = Track(canvas, (DEVICE + LENGTH, y), pen=pen)
    if wording.residual(circuit):
        draw_residual = symbols.residual_release if _in_one(circuit) else symbols.residual
        draw_residual(rest)
    else:
        canvas.line(rest.at(0), (DEVICE_TEXT, y), pen)


def _draw_end(canvas: Canvas, end: End, y: float) -> None:
    """An end with its texts; a way to nowhere ends in a short bar."""
    if end.draw:
        end.draw(Track(canvas, (END, y)))
    elif not end.boards:
        canvas.line((END, y - 1.4), (END, y + 1.4), THICK)
    if end.earthed:
        symbols.earth(canvas, (END + 4, y + (4 if end.draw else 0)))
    _stack(canvas, (END_TEXT, y), ([], end.lines))
    canvas.text((END_TEXT, y - ABOVE), end.name, BOLD)


def _stack(canvas: Canvas, spot: tuple[float, float], lines: tuple[list[str], list[str]]) -> None:
    """Lines of text above and below a line of the diagram."""
    x, y = spot
    above, below = lines
    for index, line in enumerate(reversed(above)):
        canvas.text((x, y - ABOVE - index * PITCH), line, PLAIN)
    for index, line in enumerate(below):
        canvas.text((x, y + BELOW + index * PITCH), line, PLAIN)


def _device_name(circuit: Json) -> str:
    """The symbol of a circuit's device, as the key calls it."""
    standard = shown(circuit, "device")
    if not standard:
        return "device not stated"
    return "fuse" if standard.startswith(FUSES) else "circuit-breaker"


def _in_one(circuit: Json) -> bool:
    """Whether breaker and residual current device are one: an RCBO, or both to the same standard."""
    return shown(circuit, "device") in {"BS EN 61009", shown(circuit, "rcd_standard")}


def _separate(way: Way) -> bool:
    """Whether a device of its own stands before the point against an open PEN."""
    return any(shown(each, "open_pen") == "separate device" for each in way.points)


def _pen(way: Way) -> Pen:
    """New work is drawn thick."""
    return THICK if way.circuit and shown(way.circuit, "new") == "new" else THIN
