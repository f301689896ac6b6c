"""Which column of a sheet holds which field, told by the headings alone."""

import re
from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from pipeline.errors import Slip, WorkbookRefusedError
from pipeline.facts.field import Field, Needed, Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.sheets import EXAMPLE_MARK, EXAMPLE_ROW, FIRST_ROW, HEADING_ROW, Sheet
from pipeline.workbook.cells import Cell, Content, SheetCells
from pipeline.workbook.parse_text import is_blank
from pipeline.workbook.parsed import did_you_mean, nearest, same, stripped, visible

MOVED_EXAMPLE = re.compile(rf"{EXAMPLE_MARK}\W+not read\W*")
LOOKED_THROUGH = 20
"""Rows in which headings are looked for that do not stand in their own row."""


NAMED = 4
PUT_BACK = "Put the heading back as it was, or copy the rows into a fresh workbook ('handover blank')."


class Columns(NamedTuple):
    """The column number of each field that is there, and the headings that nobody knows."""

    fields: dict[str, int]
    unknown: dict[int, str]


FilledRows = list[tuple[int, dict[int, Cell]]]


def columns_of(sheet: Sheet, cells: SheetCells, rows: FilledRows) -> Columns:
    """Match the headings; raises WorkbookRefusedError with every one that is missing, doubled, or blank over data."""
    texts = {number: cell.text for number, cell in cells.rows.get(HEADING_ROW, {}).items() if not is_blank(cell)}
    found, slips = _matched(sheet, texts)
    filled = {column: number for number, row in reversed(rows) for column in row}
    elsewhere = _slip_of_row(sheet, cells, found)
    slips += elsewhere or [*_missing(sheet, found, filled), *_unheaded(sheet, set(texts), filled)]
    if slips:
        raise WorkbookRefusedError.of_slips(slips)
    return found


def _matched(sheet: Sheet, texts: dict[int, str]) -> tuple[Columns, list[Slip]]:
    """Headings against fields, and those that stand twice."""
    known = {_plain(field.heading): name for name, field in sheet.row.fields().items()}
    found, slips = Columns({}, {}), list[Slip]()
    for number, text in texts.items():
        name = known.get(_plain(text)) or _other_case(text, sheet)
        if name is None:
            found.unknown[number] = text
        elif name in found.fields:
            what = f"the heading '{visible(text.strip())}' stands twice"
            slips.append(_slip(sheet, number, what, "Remove or rename one of the two columns."))
        else:
            found.fields[name] = number
    return found, slips


@cache
def letter(number: int) -> str:
    """The letters of a column number."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def filled_rows(cells: SheetCells) -> FilledRows:
    """The rows below headings and example that hold anything; an example that was typed over is data.

    Sorting takes the example elsewhere: by its full words it is known in any row.
    """
    found = []
    for number, row in cells.rows.items():
        filled = {column: cell for column, cell in row.items() if not is_blank(cell)}
        if filled and number >= EXAMPLE_ROW and not _is_example(filled, number):
            found.append((number, filled))
    return found


def unused_columns(sheet: Sheet, columns: Columns, rows: FilledRows) -> list[Finding]:
    """A note for each column with data that no field takes."""
    filled = {column for _, row in rows for column in row}
    return [
        Finding(
            rule="column_is_used",
            verdict=Verdict.NOTE,
            job="",
            subject=sheet.title,
            message=f"The column '{visible(text)}' is not known; its cells are not used.",
            places=(Place(sheet.title, f"{letter(number)}{HEADING_ROW}"),),
            found=visible(text),
            expected="headings of the blank workbook",
            remedy="Move what matters into a column of the workbook.",
            scope=Scope.CELL,
        )
        for number, text in columns.unknown.items()
        if number in filled
    ]


def _is_example(row: dict[int, Cell], number: int) -> bool:
    """Whether a row is the example under the headings, or the same elsewhere."""
    words = [same(cell.text) for cell in row.values() if cell.content is Content.TEXT and cell.text[:1] in "eE"]
    first = row[min(row)]
    told = number < FIRST_ROW and first.content is Content.TEXT and same(first.text).startswith(EXAMPLE_MARK)
    return told or any(MOVED_EXAMPLE.fullmatch(each) for each in words)


def _plain(text: str) -> str:
    """A heading without line breaks and double blanks; case is kept, for the unit in it."""
    return " ".join(stripped(text).split())


def _other_case(text: str, sheet: Sheet) -> str | None:
    """The field whose title differs in case alone; the unit has to be the same to the letter."""
    for name, field in sheet.row.fields().items():
        unit = f" ({field.unit})" if field.unit else ""
        plain = _plain(text)
        if plain.endswith(unit) and same(plain.removesuffix(unit)) == same(field.title):
            return name
    return None


def _slip_of_row(sheet: Sheet, cells: SheetCells, found: Columns) -> list[Slip]:
    """The one slip of headings that stand further down."""
    row = _likely_headings(sheet, cells) if len(sheet.row.fields()) > 2 * len(found.fields) else None
    what = f"the headings stand in row {row}, not in row {HEADING_ROW}"
    return [_slip(sheet, 1, what, "Delete the rows above them.")] if row else []


def _missing(sheet: Sheet, found: Columns, filled: dict[int, int]) -> Iterator[Slip]:
    """Headings that jobs need and that are not there, and those over data that are nearly one of ours."""
    missing = [field for name, field in sheet.row.fields().items() if name not in found.fields]
    others = list(found.unknown.values())
    needed = [field for field in missing if _is_needed(field)]
    meant = {field.heading: nearest(field.heading, others) or nearest(field.title, others) for field in needed}
    columns = {text: number for number, text in found.unknown.items()}
    for heading, text in list(meant.items())[:NAMED]:
        hint = did_you_mean(heading, others) or (f" Did you mean '{visible(text)}'?" if text else "")
        yield _slip(sheet, columns.get(text, 1), f"the column '{heading}' is missing.{hint}", PUT_BACK)
    if len(needed) > NAMED:
        yield _slip(sheet, 1, f"{len(needed) - NAMED} more columns are missing", PUT_BACK)
    for number, text in found.unknown.items():
        like = nearest(text, [field.heading for field in missing]) if number in filled else ""
        if like and text not in meant.values():
            # with a mere note the data beneath would be lost
            what = f"the heading '{visible(text)}' is not known. Did you mean '{like}'?"
            yield _slip(sheet, number, what, "Mend the heading.")


def _is_needed(field: Field) -> bool:
    """Whether jobs cannot do without the column."""
    return field.needed is not Needed.NEVER or field.key


def _likely_headings(sheet: Sheet, cells: SheetCells) -> int | None:
    """The row further down that holds most of the headings."""
    known = {_plain(field.heading) for field in sheet.row.fields().values()}
    for number, row in cells.rows.items():
        found = known & {_plain(cell.text) for cell in row.values()}
        if HEADING_ROW < number <= LOOKED_THROUGH and len(found) > len(known) / 2:
            return number
    return None


def _unheaded(sheet: Sheet, headed: set[int], filled: dict[int, int]) -> Iterator[Slip]:
    """Data that no heading gives a meaning; `filled` gives the first row with data of each column."""
    for column in sorted(filled.keys() - headed):
        where = f"{letter(column)}{filled[column]}"
        what = f"the cell {where} stands in a column without a heading"
        yield _slip(sheet, column, what, "Give the column a heading, or clear its cells.")


def _slip(sheet: Sheet, column: int, what: str, remedy: str) -> Slip:
    """What is wrong with one heading."""
    end = "" if what.endswith(("?", ".")) else "."
    return Slip(sheet.title, f"{letter(column)}{HEADING_ROW}", f"On the sheet '{sheet.title}' {what}{end}", remedy)
