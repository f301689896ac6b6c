"""One sheet of a workbook, read in pieces: its filled cells, and whether its rows and cells stand in order."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any
from xml.parsers import expat

from pipeline.errors import WorkbookRefusedError
from pipeline.workbook.blank_cells import without_blanks
from pipeline.workbook.cell_xml import CellMaker, Raw
from pipeline.workbook.cells import Cell
from pipeline.workbook.formulas import refuse_acting
from pipeline.workbook.safe_xml import MAIN, SAVE_AGAIN, bounded, damaged, oversized, parser
from pipeline.workbook.tally import Tally

LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
ADDRESS = re.compile(r"([A-Z]{1,3})([1-9][0-9]*)")
ROW, CELL, VALUE, FORMULA, TEXT, INLINE, GUIDE = (f"{MAIN} {name}" for name in ("row", "c", "v", "f", "t", "is", "rPh"))
MERGE, COLUMN, SHEET = (f"{MAIN} {name}" for name in ("mergeCell", "col", "worksheet"))
# where formulas stand outside of cells: lists of choices and conditional formats
OTHER_FORMULAS = frozenset(f"{MAIN} {name}" for name in ("formula", "formula1", "formula2"))
YES = {"1", "true"}
MOST_ROWS, MOST_MERGED = 50_000, 10_000
"""Filled rows and merged ranges of a sheet: ten times those of a week of 1,000 jobs and 5,000 circuits."""


@dataclass(slots=True)
class Found:
    """What was read of a sheet."""

    rows: dict[int, dict[int, Cell]] = field(default_factory=dict)
    merged: list[str] = field(default_factory=list)
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)


def read_sheet(pieces: Iterable[bytes], part: str, maker: CellMaker) -> Found:
    """Read a sheet; raises WorkbookRefusedError for damage, disorder, twins, and a count that does not tally."""
    reader, tally = _SheetReader(part, maker), Tally()
    try:
        for piece in without_blanks(tally.watch(bounded(pieces, part))):
            reader.expat.Parse(piece, False)  # noqa: FBT003 - expat takes no keywords
        reader.expat.Parse(b"", True)  # noqa: FBT003 - expat takes no keywords
    except (expat.ExpatError, ValueError, LookupError):
        raise damaged(part) from None
    if reader.met != tally.count:
        raise WorkbookRefusedError(
            f"Two ways of counting the cells of a sheet disagree ({reader.met} and {tally.count}, part '{part}').",
            SAVE_AGAIN,
        )
    return reader.found


class _SheetReader:
    """The handlers of one sheet's XML, and what they hold between two elements."""

    def __init__(self, part: str, maker: CellMaker) -> None:
        """Start at the top of the sheet."""
        self.found, self.met = Found(), 0
        self._part, self._maker = part, maker
        self._row, self._column, self._cells = 0, 0, dict[int, Cell]()
        self._columns: dict[str, int] = {}
        self._raw: Raw | None = None
        self._once = set[str]()
        self._attributes: dict[str, str] = {}
        self._letters: list[str] = []
        self._listening = self._guide = self._rooted = False
        self.expat = parser(part)
        self.expat.StartElementHandler = self._start
        self.expat.EndElementHandler = self._end
        self.expat.CharacterDataHandler = self._data

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        """An element opens; cells come first because they are nearly all."""
        if name == CELL:
            self._attributes, self._raw = attributes, None
            self._column = self._place(attributes.get("r"))
        elif name in {VALUE, FORMULA, TEXT, INLINE}:
            self._part_of_cell(name)
        elif name == ROW:
            self._open_row(attributes)
        elif name in OTHER_FORMULAS or name.endswith("/main f"):
            self._listening = True
        else:
            self._around(name, attributes)

    def _part_of_cell(self, name: str) -> None:
        """A value, formula or text opens inside a cell."""
        if self._raw is None:
            self._raw = Raw(self._attributes.get("t", "n"), self._attributes.get("s", "0"))
            self._once = {name}
            self.met += 1
        elif name in self._once and name != TEXT:
            self._disorder(f"a cell of row {self._row} holds two values")
        self._once.add(name)
        self._raw.formula = self._raw.formula or name == FORMULA
        self._listening = name != INLINE and not self._guide

    def _around(self, name: str, attributes: dict[str, str]) -> None:
        """What is not a cell but bears on cells."""
        if name == MERGE:
            self.found.merged.append(attributes.get("ref", ""))
            if len(self.found.merged) > MOST_MERGED:
                raise oversized(self._part)
        elif name == COLUMN and (attributes.get("hidden") in YES or _flat(attributes.get("width"))):
            self.found.hidden_columns.append((int(attributes["min"]), min(int(attributes["max"]), LAST_COLUMN)))
        elif name == GUIDE:
            self._guide = True
        elif not self._rooted:
            self._rooted = True
            if name != SHEET:
                raise WorkbookRefusedError("A sheet is not in the usual variant of the Excel format.", SAVE_AGAIN)

    def _end(self, name: str) -> None:
        """An element closes."""
        if name == CELL:
            if self._raw is not None:
                cell = self._maker.make(self._raw, self._part)
                if cell is not None:
                    self._cells[self._column] = cell
        elif name in {VALUE, FORMULA, TEXT} or name in OTHER_FORMULAS or name.endswith("/main f"):
            self._close_text(name)
        elif name == ROW:
            if self._cells:
                self.found.rows[self._row] = self._cells
                self._cells = {}
                if len(self.found.rows) > MOST_ROWS:
                    raise oversized(self._part)
        elif name == GUIDE:
            self._guide = False

    def _close_text(self, name: str) -> None:
        """A stretch of text is complete."""
        text = "".join(self._letters)
        self._letters.clear()
        self._listening = False
        if name == VALUE and self._raw:
            self._raw.value = text
        elif name == TEXT and self._raw:
            self._raw.inline.append(text)
        elif name != TEXT:
            refuse_acting(text)
            if name == FORMULA and self._raw:
                self._raw.formula_text = text

    def _data(self, text: str) -> Any:
        """Letters arrive."""
        if self._listening:
            self._letters.append(text)

    def _open_row(self, attributes: dict[str, str]) -> None:
        """A row opens; its number must be larger than the one before."""
        number = int(attributes.get("r", self._row + 1))
        if not self._row < number <= LAST_ROW:
            self._disorder(f"row {number} stands after row {self._row}")
        self._row, self._column = number, 0
        if attributes.get("hidden") in YES or _flat(attributes.get("ht")):
            self.found.hidden_rows.add(number)

    def _place(self, address: str | None) -> int:
        """The column of a cell; it must lie in its row and to the right of the one before."""
        if address is None:
            column = self._column + 1
        else:
            match = ADDRESS.fullmatch(address)
            if match is None or int(match[2]) != self._row:
                self._disorder(f"cell {address} stands in row {self._row}")
                return 0
            column = self._columns.get(match[1]) or self._number(match[1])
        if column <= self._column:
            self._disorder(f"cell {address} comes twice or too late")
        return column

    def _number(self, letters: str) -> int:
        """Column letters as a number, remembered."""
        number = 0
        for letter in letters:
            number = number * 26 + ord(letter) - 64
        self._columns[letters] = number
        return number

    def _disorder(self, what: str) -> None:
        """Refuse a sheet that one reader would read this way and the next another way."""
        raise WorkbookRefusedError(f"The workbook is damaged: {what} (part '{self._part}').", SAVE_AGAIN)


def _flat(measure: str | None) -> bool:
    """Whether a row or column was drawn together until nothing of it shows."""
    return measure is not None and float(measure) == 0
