"""Tables as printed: a file each, its head in comment lines, looked up exactly or at the next row, never beyond.

A file begins with its head (`# document:`, `# edition:`, `# table:`, `# title:`, `# unit:`, `# confidence:`,
`# transcribed:`, perhaps `# note:`); then come the heads of the columns and the rows. In a cell, `!` behind a figure
marks it as confirmed, `~` as carried over, `?` as from memory where that differs from the table; `=` repeats the
cell to its left, as where the printed page has one cell across several columns; a blank is a figure not given.
The head of a row or column is a number, a text, or a number followed by `+`, which stands for all beyond it.
"""

import csv
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from pipeline.facts.findings import Confidence
from pipeline.facts.quantities import quantity
from pipeline.standards.formula import Worked, figure, lower_limit, upper_limit
from pipeline.standards.source import Reference, Source

FOLDER = Path(__file__).parent
MARKS = {"!": Confidence.CONFIRMED, "~": Confidence.CARRIED_OVER, "?": Confidence.MEMORY}
GRADES = {str(each): each for each in (Confidence.CONFIRMED, Confidence.CARRIED_OVER, Confidence.MEMORY)}
# the least sure first
STRENGTH = (Confidence.MEMORY, Confidence.CARRIED_OVER, Confidence.CONFIRMED, Confidence.TYPED)
HEAD = ("document", "edition", "table", "title", "unit", "confidence", "transcribed")

Key = float | str


@dataclass(frozen=True, slots=True)
class Value:
    """A published figure: the quantity, how sure it is, where it stands, and its working where it was computed."""

    quantity: Any
    confidence: Confidence
    reference: Reference
    unit: str = ""
    worked: Worked | None = None

    @property
    def shown(self) -> str:
        """The figure as printed, with its unit."""
        return self.worked.shown if self.worked else figure(self.quantity.m, self.unit)

    def upper(self, beside: Any = None) -> str:
        """The figure as a limit that `beside` may not exceed: as published, or where computed cut downwards."""
        number = None if beside is None else beside.m_as(self.quantity.units)
        return upper_limit(self.quantity.m, self._unit, number) if self.worked else self.shown

    def lower(self, beside: Any = None) -> str:
        """The figure as a limit that `beside` must reach: as published, or where computed raised."""
        number = None if beside is None else beside.m_as(self.quantity.units)
        return lower_limit(self.quantity.m, self._unit, number) if self.worked else self.shown

    @property
    def _unit(self) -> str:
        """The unit as printed."""
        return self.worked.formula.result.unit if self.worked else self.unit

    def weakened(self, confidence: Confidence) -> "Value":
        """The same figure, no surer than `confidence`."""
        return replace(self, confidence=weakest((self.confidence, confidence)))


@dataclass(frozen=True, slots=True)
class Missing:
    """No figure: the reason in plain words, and where it was looked for. Never a pass."""

    reason: str
    reference: Reference


def weakest(grades: Iterable[Confidence]) -> Confidence:
    """The least sure of several figures decides how sure their result is."""
    return min(grades, key=STRENGTH.index)


@dataclass(frozen=True)
class Table:
    """A printed table; `cells` holds a value for each row and column that the page fills."""

    reference: Reference
    title: str
    unit: str
    head: Mapping[str, str]
    rows: tuple[Key, ...]
    columns: tuple[Key, ...]
    cells: Mapping[tuple[Key, Key], Value]

    def cell(self, row: Key, column: Key) -> Value | Missing:
        """The figure in exactly this row and column."""
        return self.cells.get((row, column)) or self.missing(row, column)

    def next_row(self, row: float, column: Key) -> Value | Missing:
        """The figure in this row or, where it is not printed, in the next one down the page."""
        return self.cell(_at_or_above(self.rows, row), column)

    def next_column(self, row: Key, column: float) -> Value | Missing:
        """The figure in this column or, where it is not printed, in the next one to the right."""
        return self.cell(row, _at_or_above(self.columns, column))

    def missing(self, row: Key, column: Key) -> Missing:
        """Why there is no figure in this row and column."""
        return Missing(
            f"{self.reference.place} ({self.title}) gives no figure in row {_plain(row)}, column {_plain(column)}.",
            self.reference,
        )


@cache
def load(name: str) -> Table:
    """A table of this package by folder and file, e.g. `bs_7671_2018_a2/table_41_3`.

    Raises ValueError for a file that is not shaped as the module says: a mistake in the program's own data.
    """
    lines = path_of(name).read_text(encoding="utf-8").splitlines()
    head = dict(_head_line(each) for each in lines if each.startswith("#"))
    lacking = [each for each in HEAD if not head.get(each)]
    if lacking:
        message = f"{name}: the head lacks {', '.join(lacking)}"
        raise ValueError(message)
    grid = [[cell.strip() for cell in line] for line in csv.reader(x for x in lines if not x.startswith("#"))]
    if any(len(line) != len(grid[0]) for line in grid):
        message = f"{name}: the rows are not all as long as the line of column heads"
        raise ValueError(message)
    reference = Source(head["document"], head["edition"]).at(f"Table {head['table']}")
    unit = head["unit"].replace("-", "")
    columns = tuple(_key(each) for each in grid[0][1:])
    cells = {}
    for line in grid[1:]:
        for column, text in zip(columns, _repeated(line[1:]), strict=True):
            if text:
                number, confidence = _graded(text, GRADES[head["confidence"]])
                cells[_key(line[0]), column] = Value(quantity(number, unit), confidence, reference, unit)
    return Table(reference, head["title"], unit, head, tuple(_key(line[0]) for line in grid[1:]), columns, cells)


@cache
def figures(name: str) -> Mapping[str, Value]:
    """The figures that a document gives in its text rather than in a table, by name: `<folder>/figures`."""
    found = {}
    lines = [each for each in path_of(f"{name}/figures").read_text(encoding="utf-8").splitlines() if each[:1] != "#"]
    for line in csv.DictReader(lines):
        source = Source(line["document"], line["edition"])
        unit = line["unit"].replace("-", "")
        found[line["name"]] = Value(
            quantity(float(line["figure"]), unit), GRADES[line["confidence"]], source.at(line["place"]), unit
        )
    return found


def path_of(name: str) -> Path:
    """The file behind the name of a table."""
    return FOLDER / f"{name}.csv"


def _head_line(line: str) -> tuple[str, str]:
    """One line of a head: what it tells, and the text."""
    name, _, text = line.removeprefix("#").partition(":")
    return name.strip(), text.strip()


def _key(text: str) -> Key:
    """The head of a row or column: a number where it is one."""
    try:
        return float(text)
    except ValueError:
        return text


def _plain(key: Key) -> str:
    """The head of a row or column as people write it."""
    return f"{key:g}" if isinstance(key, float | int) else key


def _at_or_above(keys: tuple[Key, ...], wanted: float) -> Key:
    """The first printed number that is not below the wanted one, else the head that is open upwards, else itself."""
    beyond = [each for each in keys if isinstance(each, float) and each >= wanted]
    if beyond:
        return min(beyond)
    return next((each for each in keys if isinstance(each, str) and _open_from(each, wanted)), wanted)


def _open_from(key: str, wanted: float) -> bool:
    """Whether a head such as `500+` covers the wanted number."""
    start = _key(key.removesuffix("+"))
    return key.endswith("+") and isinstance(start, float) and wanted >= start


def _repeated(cells: list[str]) -> list[str]:
    """The cells of a row with `=` replaced by what stands to the left."""
    filled: list[str] = []
    for each in cells:
        filled.append(filled[-1] if each == "=" else each)
    return filled


def _graded(text: str, usual: Confidence) -> tuple[float, Confidence]:
    """The number of a cell and how sure it is."""
    mark = MARKS.get(text[-1])
    return (float(text[:-1]), mark) if mark else (float(text), usual)


def together(*parts: Value | Missing) -> tuple[Value, ...] | Missing:
    """All of them, or the first that is missing."""
    values: list[Value] = []
    for each in parts:
        if isinstance(each, Missing):
            return each
        values.append(each)
    return tuple(values)


def derived(worked: Worked, *parts: Value) -> Value:
    """A computed figure, as sure as the least sure of the published figures that went into it."""
    grades = [each.confidence for each in parts] or [Confidence.CONFIRMED]
    return Value(worked.quantity, weakest(grades), worked.reference, worked.formula.result.unit, worked)
