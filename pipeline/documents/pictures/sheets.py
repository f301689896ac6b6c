"""Which part of a diagram stands on which picture."""

from dataclasses import dataclass, field, replace

from pipeline.documents.pictures.intake import Intake
from pipeline.documents.pictures.network import Block
from pipeline.documents.pictures.notes import HEIGHT
from pipeline.documents.pictures.panels import HEADING, LEAD_IN, Head, Panel
from pipeline.documents.pictures.ways import Row

GAP, FOOT = 6.0, 5.0  # between panels, and below the last one for the picture's number
FULL = HEIGHT - FOOT
TOGETHER = 2  # rows that stay with the heading of a board
REST = 3  # rows that go over to the next picture at the least


@dataclass(frozen=True, slots=True)
class Placed:
    """A panel and the height at which it starts; `more` says that its board goes on in the next picture."""

    panel: Panel
    top: float
    more: bool = False

    @property
    def board(self) -> Block:
        """Its board."""
        return self.panel.head.block

    @property
    def bottom(self) -> float:
        """Where it ends."""
        return self.top + self.panel.height

    @property
    def line(self) -> float:
        """Its incoming line."""
        return self.panel.line(self.top)


@dataclass(slots=True)
class Sheet:
    """One picture before it is drawn: its panels, and the intake on the first one."""

    number: int
    column: Intake | None = None
    placed: list[Placed] = field(default_factory=list)
    key: tuple[str, ...] = ()

    @property
    def panels_bottom(self) -> float:
        """Where the last panel ends."""
        return self.placed[-1].bottom if self.placed else 0.0

    @property
    def bottom(self) -> float:
        """Where the drawing ends, without key and foot."""
        column = HEADING + LEAD_IN + self.column.height if self.column else 0.0
        return max(column, self.panels_bottom)

    def starts(self) -> list[Placed]:
        """The boards that begin on this picture."""
        return [each for each in self.placed if each.panel.first]


@dataclass(frozen=True, slots=True)
class Index:
    """On which picture each board begins, and each circuit that feeds one leaves its board."""

    boards: dict[str, int]
    feeders: dict[tuple[str, str], int]


def index_of(sheets: list[Sheet]) -> Index:
    """Where to look for what; of two rows with the same designation the first one counts."""
    backwards = list(reversed(sheets))
    return Index(
        {start.board.name: sheet.number for sheet in backwards for start in reversed(sheet.starts())},
        {
            (placed.board.name, row.way.number): sheet.number
            for sheet in backwards
            for placed in sheet.placed
            for row in placed.panel.rows
            if row.way.feeds
        },
    )


def laid_out(boards: list[tuple[Head, list[Row]]], column: Intake) -> list[Sheet]:
    """The boards on as few pictures as they need, split only where one is longer than a picture."""
    sheets = [Sheet(1, column)]
    for head, rows in boards:
        left: Panel | None = Panel(head, tuple(rows))
        while left:
            if sheets[-1].placed and not _may_start(left, FULL - _top(sheets[-1])):
                sheets.append(Sheet(len(sheets) + 1))
            left = _put(sheets[-1], left)
    return sheets


def _top(sheet: Sheet) -> float:
    """Where the next panel would start."""
    return sheet.panels_bottom + GAP if sheet.placed else 0.0


def _may_start(panel: Panel, room: float) -> bool:
    """Whether a panel begins in what is left of a picture: all of it, or the start of one that is split anyway."""
    if panel.height <= room:
        return True
    return panel.height > FULL and replace(panel, rows=panel.rows[:TOGETHER]).height <= room


def _put(sheet: Sheet, panel: Panel) -> Panel | None:
    """Place as many rows of a panel as fit, at least one; what is left of it, if anything."""
    top = _top(sheet)
    parts = (replace(panel, rows=panel.rows[:count]) for count in range(len(panel.rows), 1, -1))
    fitting = next((part for part in parts if part.height <= FULL - top), replace(panel, rows=panel.rows[:1]))
    over = len(panel.rows) - len(fitting.rows)
    if 0 < over < REST and len(fitting.rows) > REST + TOGETHER:
        fitting = replace(fitting, rows=panel.rows[: len(panel.rows) - REST])
    left = panel.rows[len(fitting.rows) :]
    sheet.placed.append(Placed(fitting, top, more=bool(left)))
    return Panel(panel.head, left, first=False) if left else None
