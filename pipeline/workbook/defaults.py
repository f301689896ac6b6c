"""Values of the Defaults sheet, which fill blank cells of columns that may have one."""

from collections.abc import Iterator
from typing import NamedTuple

from pipeline.facts.field import Place
from pipeline.facts.findings import Verdict
from pipeline.facts.sheets import BY_TITLE, Belongs, Sheet
from pipeline.workbook.cells import Cell
from pipeline.workbook.notices import Notice, Spot
from pipeline.workbook.parse_cell import CellParser
from pipeline.workbook.parsed import Parsed, Remark, did_you_mean, same, stripped, visible


class Filling(NamedTuple):
    """What fills a blank cell: the value, what was typed for it, and where."""

    parsed: Parsed
    typed: str
    place: Place


Fillings = dict[tuple[str, str], Filling]


class DefaultRow(NamedTuple):
    """The three cells of one default with their places."""

    sheet: Cell | None
    column: Cell | None
    value: Cell | None
    spots: tuple[Spot, Spot, Spot]


def fillings_of(rows: list[DefaultRow], parser: CellParser) -> tuple[Fillings, list[Notice]]:
    """The defaults by sheet and attribute, and what is wrong with them."""
    fillings: Fillings = {}
    notices: list[Notice] = []
    for row in rows:
        if row.sheet is None or row.column is None or row.value is None:
            continue
        sheet, column = _sheet(row.sheet), stripped(row.column.text)
        attribute = _attribute(sheet, column) if sheet else None
        trouble = _trouble(row, sheet, column, attribute, fillings)
        if trouble:
            notices.append(trouble)
        elif sheet and attribute:
            parsed = parser.parse(row.value, sheet.row, attribute)
            fillings[sheet.title, attribute] = Filling(parsed, row.value.text, row.spots[2].place)
            notices.extend(_remarks(row, parsed))
    return fillings, notices


def _sheet(cell: Cell) -> Sheet | None:
    """The sheet of jobs that a default names."""
    found = {same(title): sheet for title, sheet in BY_TITLE.items() if sheet.belongs is Belongs.JOB}
    return found.get(same(cell.text))


def _attribute(sheet: Sheet, column: str) -> str | None:
    """The attribute whose heading, with or without the unit, a default names."""
    for name, field in sheet.row.fields().items():
        if same(column) in {same(field.heading), same(field.title)}:
            return name
    return None


def _trouble(
    row: DefaultRow, sheet: Sheet | None, column: str, attribute: str | None, fillings: Fillings
) -> Notice | None:
    """Why a default cannot be used, or None."""
    if sheet is None:
        titles = [title for title, each in BY_TITLE.items() if each.belongs is Belongs.JOB]
        text = row.sheet.text if row.sheet else ""
        return _notice(row.spots[0], f"There is no sheet '{visible(text)}' that takes defaults.", text, titles)
    headings = [field.heading for field in sheet.row.fields().values() if field.defaults]
    if attribute is None:
        message = f"The sheet '{sheet.title}' has no column '{visible(column)}'."
        return _notice(row.spots[1], message, column, headings)
    if not sheet.row.fields()[attribute].defaults:
        message = f"The column '{visible(column)}' takes no default: it has to be seen or measured on each job."
        return _notice(row.spots[1], message, "", headings)
    if (sheet.title, attribute) in fillings:
        message = f"The column '{visible(column)}' of the sheet '{sheet.title}' has two defaults."
        return _notice(row.spots[1], message, "", headings)
    return None


def _notice(spot: Spot, message: str, text: str, known: list[str]) -> Notice:
    """A default that fits nothing."""
    hint = did_you_mean(text, known) if text else ""
    remark = Remark(
        "default_fits_a_column",
        Verdict.FAIL,
        f"{message}{hint}",
        "a sheet of jobs and the heading of a column that takes defaults",
        "Mend the default, or delete its row.",
    )
    return Notice(spot, remark, "", "Defaults", text)


def _remarks(row: DefaultRow, parsed: Parsed) -> Iterator[Notice]:
    """What there is to say about the value itself; told once, here."""
    typed = row.value.text if row.value else ""
    for remark in parsed.remarks:
        yield Notice(row.spots[2], remark, "", "Defaults", typed)
