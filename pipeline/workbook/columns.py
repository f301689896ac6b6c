"""Which column of a sheet holds which field, told by the headings alone."""

import re
from functools import cache
from typing import NamedTuple

from pipeline.errors import WorkbookRefusedError
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
    """Match the headings; raises WorkbookRefusedError for one that is missing, doubled, or blank over data."""
    texts = {number: cell.text for number, cell in cells.rows.get(HEADING_ROW, {}).items() if not is_blank(cell)}
    fields, unknown = _matched(sheet, texts)
    _refuse_missing(sheet, cells, fields, unknown)
    filled = {column: number for number, row in reversed(rows) for column in row}
    _refuse_near_miss(sheet, fields, [text for number, text in unknown.items() if number in filled])
    _refuse_unheaded(sheet, set(texts), filled)
    return Columns(fields, unknown)


def _matched(sheet: Sheet, texts: dict[int, str]) -> Columns:
    """Headings against fields."""
    known = {_plain(field.heading): name for name, field in sheet.row.fields().items()}
    found = Columns({}, {})
    for number, text in texts.items():
        name = known.get(_plain(text)) or _other_case(text, sheet)
        if name is None:
            found.unknown[number] = text
        elif name in found.fields:
            _refuse(sheet, f"the heading '{text.strip()}' stands twice", "Remove or rename one of the two columns.")
        else:
            found.fields[name] = number
    return found


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


def _refuse_missing(sheet: Sheet, cells: SheetCells, fields: dict[str, int], unknown: dict[int, str]) -> None:
    """Refuse a sheet without a heading that jobs need."""
    missing = {name: field for name, field in sheet.row.fields().items() if name not in fields}
    if len(missing) > len(fields) and (row := _likely_headings(sheet, cells)):
        _refuse(sheet, f"the headings stand in row {row}, not in row {HEADING_ROW}", "Delete the rows above them.")
    others = list(unknown.values())
    said = [
        f"the column '{field.heading}' is missing."
        f"{did_you_mean(field.heading, others) or did_you_mean(field.title, others)}"
        for field in missing.values()
        if _is_needed(field)
    ]
    if said:
        more = f" {len(said) - NAMED} more are missing." if len(said) > NAMED else ""
        _refuse(sheet, " And ".join(said[:NAMED]) + more, PUT_BACK)


def _refuse_near_miss(sheet: Sheet, fields: dict[str, int], unknown: list[str]) -> None:
    """Refuse a heading over data that is nearly one of ours: its data would be lost with a mere note."""
    missing = [field.heading for name, field in sheet.row.fields().items() if name not in fields]
    for text in unknown:
        meant = nearest(text, missing)
        if meant:
            _refuse(sheet, f"the heading '{visible(text)}' is not known. Did you mean '{meant}'?", "Mend the heading.")


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


def _refuse_unheaded(sheet: Sheet, headed: set[int], filled: dict[int, int]) -> None:
    """Refuse data that no heading gives a meaning; `filled` gives the first row with data of each column."""
    for column in sorted(filled.keys() - headed):
        where = f"{letter(column)}{filled[column]}"
        _refuse(
            sheet,
            f"the cell {where} stands in a column without a heading",
            "Give the column a heading, or clear its cells.",
        )


def _refuse(sheet: Sheet, what: str, remedy: str) -> None:
    """Refuse the workbook because of one sheet's headings."""
    end = "" if what.endswith(("?", ".")) else "."
    raise WorkbookRefusedError(f"On the sheet '{sheet.title}' {what}{end}", remedy)
