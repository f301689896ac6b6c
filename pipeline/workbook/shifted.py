"""Rows whose cells were pushed aside: cells were inserted or deleted, and all that follows is under a wrong heading."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from pipeline.facts.field import Field
from pipeline.facts.findings import Verdict
from pipeline.facts.row import Row
from pipeline.workbook.cells import Cell
from pipeline.workbook.columns import Columns
from pipeline.workbook.notices import SHIFTED
from pipeline.workbook.parse_cell import CellParser
from pipeline.workbook.parsed import Remark

LEAST = 4
"""So many cells of a row must be of the wrong kind before a row counts as pushed aside."""
SHARE = 0.7
"""So many of them must fit the heading beside their own."""
WRONG_KIND = frozenset(
    {
        "cell_is_a_number",
        "cell_is_a_date",
        "choice_is_in_the_list",
        "number_is_possible",
        "number_is_no_date",
        "number_is_whole",
        "reading_mark_is_allowed",
        "unit_is_the_columns",
    }
)


class Shift(NamedTuple):
    """From which column on, shown at which attribute, and by how many columns to the right the cells of a row stand."""

    first: int
    name: str
    by: int


def shift_of(
    columns: Columns,
    row: type[Row],
    cells: Mapping[int, Cell],
    remarks: Sequence[tuple[str, Remark]],
    parser: CellParser,
) -> Shift | None:
    """How far the cells of a row stand from their headings; None for a row that is in its place."""
    wrong = {
        columns.fields[name] for name, each in remarks if each.rule in WRONG_KIND and each.verdict is not Verdict.NOTE
    }
    if len(wrong) < LEAST:
        return None
    names = {column: name for name, column in columns.fields.items()}
    for by in (1, -1):
        fitting = [column for column in wrong if _fits(names.get(column - by), row, cells[column], parser)]
        if len(fitting) >= SHARE * len(wrong):
            return Shift(_start(min(wrong), by, names, row, cells, parser), names[min(wrong)], by)
    return None


def _start(
    first: int, by: int, names: Mapping[int, str], row: type[Row], cells: Mapping[int, Cell], parser: CellParser
) -> int:
    """The first column of a shift: cells before the first wrong one may be blank, or pass under either heading."""
    fields = row.fields()
    while (name := names.get(first - 1)) and not fields[name].key:
        cell = cells.get(first - 1)
        if cell is not None and not _fits(names.get(first - 1 - by), row, cell, parser):
            break
        first -= 1
    return first


def _fits(name: str | None, row: type[Row], cell: Cell, parser: CellParser) -> bool:
    """Whether a cell is a good value of another column."""
    if name is None:
        return False
    parsed = parser.parse(cell, row, name)
    return parsed.value is not None and all(each.verdict is Verdict.NOTE for each in parsed.remarks)


def astray(field: Field, shift: Shift) -> Remark:
    """What to say of a row that was pushed aside."""
    side = "right" if shift.by > 0 else "left"
    return Remark(
        SHIFTED,
        Verdict.QUERY,
        f"The cells about '{field.heading}' and beyond stand one column too far to the {side}.",
        "each cell under its own heading",
        f"Move the cells back to the {'left' if shift.by > 0 else 'right'}; nothing of them is used until then.",
    )
