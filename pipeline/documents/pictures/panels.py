"""A board as a panel of the diagram: heading, frame, main switch, busbar, and the rows that one picture takes."""

from dataclasses import dataclass

from pipeline.documents.pictures import symbols, ways, wording
from pipeline.documents.pictures.canvas import DASHED, THICK, THIN, Box, Canvas, Pen
from pipeline.documents.pictures.lettering import BLACK, Lettering, width
from pipeline.documents.pictures.network import Block, shown
from pipeline.documents.pictures.notes import PITCH, Notes
from pipeline.documents.pictures.symbols import BESIDE, LENGTH, SURGE_HEIGHT, Track
from pipeline.documents.pictures.ways import BUSBAR, EARTH_BAR, END_LIMIT, FRAME_END, Row
from pipeline.documents.texts import Json

FRAME, EARTH, SWITCH, HEADING = 58.0, 59.3, 61.5, 8.0
LEAD_IN = 11.5  # from the frame's upper edge to the incoming line
PAD = 2.0
TOP_EARTH = 0.9  # from the frame's upper edge to the protective conductor along it
SENSOR = 56.0  # on the incoming line, outside the board
_NAME = Lettering(8.5, bold=True)
_OUTLINE = Pen(0.2, BLACK, 3, 1)
_NAME_LIMIT = 90.0


@dataclass(frozen=True, slots=True)
class Hanging:
    """Something that hangs on the board's line below its main switch: an arrester, a sensor, an electrode, a text."""

    kind: str
    lines: list[str]

    @property
    def height(self) -> float:
        """Room needed."""
        symbol = {"surge": 10.0, "sensor": 6.0, "earth": 6.0}.get(self.kind, 0.0)
        return max(symbol, len(self.lines) * PITCH + 1)


@dataclass(frozen=True, slots=True)
class Head:
    """The incoming side of a board with its texts in lines."""

    block: Block
    name: str
    about: list[str]
    switch: list[str]
    residual: list[str]
    hanging: list[Hanging]
    new: bool

    @property
    def pen(self) -> Pen:
        """New work is drawn thick."""
        return THICK if self.new else THIN

    @property
    def depth(self) -> float:
        """Room needed below the incoming line."""
        return len(self.residual) * PITCH + 5 + sum(each.height for each in self.hanging)


@dataclass(frozen=True, slots=True)
class Panel:
    """A board, or a part of one, on one picture."""

    head: Head
    rows: tuple[Row, ...]
    first: bool = True

    @property
    def height(self) -> float:
        """Room needed with its heading."""
        rows = sum(row.height for row in self.rows) + 2 * PAD
        return HEADING + max(rows, LEAD_IN + self.head.depth if self.first else 0.0)

    def line(self, top: float) -> float:
        """Height of the incoming line."""
        return top + HEADING + LEAD_IN

    def lines(self, top: float) -> list[float]:
        """Heights of the lines of its rows."""
        found, y = [], top + HEADING + PAD
        for row in self.rows:
            found.append(y + row.up)
            y += row.height
        return found


def prepared(block: Block, supply: Json, notes: Notes, *, new: bool) -> Head:
    """A board's incoming side with its texts broken into lines; `new` for a board that came with this work."""
    name = notes.fit(f"Board {block.name}" if block.name else "No board named", _NAME_LIMIT, _NAME)
    left = END_LIMIT - FRAME - width(name, _NAME) - 4
    return Head(
        block=block,
        name=name,
        about=[notes.fit(wording.board(block), left)],
        switch=notes.lines(wording.main_switch(block.row), BUSBAR - SWITCH - 1, 2),
        residual=notes.lines(wording.residual(block.row), BUSBAR - SWITCH - 1, 3),
        hanging=list(_hanging(block, supply, notes)),
        new=new,
    )


def used(head: Head) -> set[str]:
    """The symbols of the key that a board's incoming side is drawn with."""
    found = {"main switch"} if head.block.row else set()
    found |= {"RCD"} if head.residual else set()
    found |= {"surge protection"} if any(each.kind == "surge" for each in head.hanging) else set()
    found |= {"earth electrode"} if head.block.electrodes else set()
    return found | ({"current sensor"} if head.block.schemes else set())


def draw(canvas: Canvas, panel: Panel, top: float, origin: str, *, more: bool) -> None:
    """Draw a panel; `origin` says where its supply comes from, `more` that the board goes on in the next picture."""
    head = panel.head
    canvas.text((FRAME, top + 3.4), head.name if panel.first else f"{head.name} (continued)", _NAME)
    if panel.first:
        canvas.text((FRAME + width(head.name, _NAME) + 3, top + 3.4), head.about[0])
    canvas.text((FRAME, top + 6.6), origin)
    canvas.rectangle(Box(FRAME, top + HEADING, FRAME_END - FRAME, panel.height - HEADING), _OUTLINE)
    lines = panel.lines(top)
    if panel.first:
        _draw_head(canvas, head, panel.line(top))
        lines_of_bar = [panel.line(top), *lines, *_surges(head, panel.line(top))]
    else:
        lines_of_bar = [top + HEADING + 0.5, *lines]
    canvas.line((BUSBAR, min(lines_of_bar) - 1), (BUSBAR, max(lines_of_bar) + 1), head.pen)
    _draw_earth_bar(canvas, panel, top)
    if more:
        canvas.line((BUSBAR, max(lines_of_bar) + 1), (BUSBAR, top + panel.height), DASHED)
    for row, y in zip(panel.rows, lines, strict=True):
        ways.draw(canvas, row, y)


def _hanging(block: Block, supply: Json, notes: Notes) -> list[Hanging]:
    """What hangs below the main switch; the decision on surge protection at the board that the intake feeds."""
    found = [
        ("sensor", wording.listed(map(wording.scheme, block.schemes), "; ")),
        ("earth", wording.listed(map(wording.electrode, block.electrodes), "; ")),
    ]
    decision = shown(supply, "surge")
    if block.at_origin and decision:
        found.append(("surge" if decision in {"fitted", "already there"} else "", f"Surge protection: {decision}"))
    return [Hanging(kind, notes.lines(text, BUSBAR - SWITCH - 9, 8)) for kind, text in found if text]


def _surges(head: Head, y: float) -> list[float]:
    """Where arresters leave the busbar of a board whose incoming line is at `y`."""
    return [place for each, place in _places(head, y) if each.kind == "surge"]


def _places(head: Head, y: float) -> list[tuple[Hanging, float]]:
    """What hangs below the main switch, with its height."""
    y += len(head.residual) * PITCH + 4
    found = []
    for each in head.hanging:
        found.append((each, y))
        y += each.height
    return found


def _draw_earth_bar(canvas: Canvas, panel: Panel, top: float) -> None:
    """The protective conductors of a board: from its incoming line along the upper edge to all that leaves it."""
    edge, lines = top + HEADING + TOP_EARTH, panel.lines(top)
    if panel.first:
        start = panel.line(top) + BESIDE
        symbols.protective(canvas, (FRAME, start), (EARTH, start), (EARTH, edge), (EARTH_BAR, edge))
    if lines:
        symbols.protective(canvas, (EARTH_BAR, edge), (EARTH_BAR, max(lines) + BESIDE))


def _draw_head(canvas: Canvas, head: Head, y: float) -> None:
    """Main switch, upstream RCD and what hangs below them."""
    canvas.line((FRAME, y), (SWITCH, y), head.pen)
    track = Track(canvas, (SWITCH, y), pen=head.pen)
    if head.block.row:
        symbols.switch(track)
    else:
        track.line((0, 0), (LENGTH, 0))
    canvas.line(track.at(LENGTH), (BUSBAR, y), head.pen)
    if head.residual:
        symbols.residual(Track(canvas, track.at(LENGTH), pen=head.pen))
    _texts(canvas, head.switch, (SWITCH, y - 5 - (len(head.switch) - 1) * PITCH))
    _texts(canvas, head.residual, (SWITCH, y + 5.5))
    for each, place in _places(head, y):
        _draw_hanging(canvas, each, place, y)


def _draw_hanging(canvas: Canvas, hanging: Hanging, y: float, line: float) -> None:
    """One thing that hangs below the main switch, joined to what it belongs to."""
    x = SWITCH + 3
    match hanging.kind:
        case "surge":
            canvas.line((BUSBAR, y), (x, y))
            symbols.surge(canvas, (x, y))
            symbols.protective(canvas, (x, y + SURGE_HEIGHT), (EARTH, y + SURGE_HEIGHT), (EARTH, line + BESIDE))
        case "earth":
            symbols.protective(canvas, (EARTH, line + BESIDE), (EARTH, y), (x, y))
            symbols.earth(canvas, (x, y))
        case "sensor":
            canvas.circle((SENSOR, line), 1.5)
            canvas.polyline(((SENSOR, line + 1.5), (SENSOR, y + 2.2), (x - 2.4, y + 2.2)), THIN)
            canvas.rectangle(Box(x - 2.4, y + 0.4, 5.4, 3.6), THIN)
            canvas.text((x + 0.3, y + 3.05), "LM", symbols.SIGN)
    _texts(canvas, hanging.lines, (SWITCH + 8, y + 3))


def _texts(canvas: Canvas, lines: list[str], spot: tuple[float, float]) -> None:
    """Lines of text from a spot down."""
    for index, line in enumerate(lines):
        canvas.text((spot[0], spot[1] + index * PITCH), line)
