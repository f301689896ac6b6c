"""The workbook as it is handed out: every sheet, heading, note, list and example comes from the fields.

The same rows always give the same bytes: no clock enters the file.
"""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from pipeline.errors import MachineError
from pipeline.facts.field import Field
from pipeline.facts.row import Kind, Row
from pipeline.facts.sheets import (
    BY_TITLE,
    EXAMPLE_MARK,
    EXAMPLE_ROW,
    FIRM_FILE_CELL,
    FIRST_ROW,
    HEADING_ROW,
    SHEETS,
    START,
    VERSION_CELL,
    WORKBOOK_VERSION,
    Sheet,
)
from pipeline.workbook import appearance as look
from pipeline.workbook.heading_notes import heading_note
from pipeline.workbook.hues import lines_height
from pipeline.workbook.introduction import FIRM_FILE_LABEL, SUBTITLE, TITLE, VERSION_LABEL, sections
from pipeline.workbook.typing_aids import add_lists, colour_odd_cells, offer_list

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell import Cell, MergedCell
    from openpyxl.worksheet.worksheet import Worksheet

TypedRow = Mapping[str, object]
Rows = Mapping[str, Sequence[TypedRow]]

EXAMPLE_NOTE = f"{EXAMPLE_MARK}, not read"
CREATED = datetime(2026, 1, 1)  # noqa: DTZ001 - a workbook's properties know no time zone
ZIP_DATE = (2026, 1, 1, 0, 0, 0)
_END = b"</worksheet>"


def write_workbook(path: Path, rows: Rows | None = None) -> None:
    """Write the workbook with the given rows: sheet title → rows of attribute → value as a person types it.

    Raises KeyError for a sheet or column that does not exist, ValueError for a value that no cell can hold.
    """
    from openpyxl import Workbook  # noqa: PLC0415 - heavy

    rows = rows or {}
    _refuse_unknown("no such sheet", rows, BY_TITLE)
    book = Workbook()
    _introduce(book.worksheets[0])
    for sheet in SHEETS:
        _add_sheet(book, sheet, rows.get(sheet.title, ()))
    add_lists(book)
    path.write_bytes(without_clock(book))


def _introduce(page: "Worksheet") -> None:
    """The first sheet: the version, and the words of the introduction."""
    from openpyxl.styles import Alignment  # noqa: PLC0415 - heavy

    page.title = START
    page.sheet_view.showGridLines = False
    page.column_dimensions["A"].width, page.column_dimensions["B"].width = 34, 105
    page["A1"], page["A2"], page["A3"], page[VERSION_CELL] = TITLE, SUBTITLE, VERSION_LABEL, WORKBOOK_VERSION
    page["A4"], page[FIRM_FILE_CELL].number_format = FIRM_FILE_LABEL, "@"
    page["A1"].font, page["A2"].font = look.font(bold=True, size=18), look.font(colour=look.GREY)
    at = 6
    for heading, lines in sections():
        page.cell(at, 1, heading).font = look.font(bold=True, size=13)
        page.cell(at, 1).fill = page.cell(at, 2).fill = look.fill(look.TINT)
        for at, (label, sentence) in enumerate(lines, start=at + 1):  # noqa: B020 - the next free row
            for column, text in enumerate((label, sentence), start=1):
                cell = page.cell(at, column, text)
                cell.font = look.font(colour="000000", bold=column == 1)
                cell.alignment = Alignment(wrap_text=True, vertical="top")
            page.row_dimensions[at].height = lines_height(sentence, 105)
        at += 2
    look.set_paper(page, 1)


def _add_sheet(book: "Workbook", sheet: Sheet, rows: Sequence[TypedRow]) -> None:
    """One sheet: headings, the example, and the rows below it."""
    page, fields = book.create_sheet(sheet.title), sheet.row.fields()
    for column, attribute in enumerate(fields, start=1):
        _add_column(page, column, sheet.row, attribute)
    for number, row in enumerate(rows, start=FIRST_ROW):
        _refuse_unknown(f"{sheet.title} has no column for", row, fields)
        for column, (attribute, field) in enumerate(fields.items(), start=1):
            if row.get(attribute) is not None:
                _type(page.cell(number, column), row[attribute], sheet.row.kind(attribute), field)
        page.row_dimensions[number].height = look.row_height(sheet.row, row)
    page.row_dimensions[EXAMPLE_ROW].height = look.row_height(sheet.row, _examples(sheet.row))
    page.row_dimensions[HEADING_ROW].height = look.heading_height(sheet.row)
    page.freeze_panes = page.cell(EXAMPLE_ROW, look.leading_keys(sheet.row) + 1)
    _as_table(page, sheet, len(rows))
    look.set_sheet_paper(page, sheet.row)


def _add_column(page: "Worksheet", column: int, row: type[Row], attribute: str) -> None:
    """A heading with its note, its example, and what the cells below need."""
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - heavy

    field, kind, letter = row.fields()[attribute], row.kind(attribute), get_column_letter(column)
    _head(page.cell(HEADING_ROW, column), row, attribute)
    example = page.cell(EXAMPLE_ROW, column)
    _type(example, _examples(row).get(attribute), kind, field)
    example.font, example.fill = look.font(colour=look.GREY, italic=True), look.fill(look.FAINT)
    below = page.column_dimensions[letter]
    below.width = look.width(row, attribute)
    below.number_format, below.alignment = look.number_format(kind, field), look.alignment(kind)
    offer_list(page, letter, row, attribute)
    colour_odd_cells(page, letter, kind, field)


def _head(cell: "Cell | MergedCell", row: type[Row], attribute: str) -> None:
    """The heading, shaded the darker the sooner it is needed."""
    from openpyxl.comments import Comment  # noqa: PLC0415 - heavy
    from openpyxl.styles import Alignment, Border, Side  # noqa: PLC0415 - heavy

    field, note = row.fields()[attribute], heading_note(row, attribute)
    cell.value, cell.font = field.heading, look.font(bold=True)
    cell.fill = look.fill(look.HEADING_SHADE[field.needed])
    cell.alignment = Alignment(wrap_text=True, vertical="bottom", horizontal="left", indent=1)
    cell.border = Border(bottom=Side("medium", color=look.INK), right=Side("thin", color="FFFFFF"))
    lines = sum(1 + len(line) // 44 for line in note.split("\n"))
    cell.comment = Comment(note, "", height=20 + 18 * lines, width=330)


def _examples(row: type[Row]) -> TypedRow:
    """The line under the headings as a person would type it; its first cell says that it is not read."""
    found: dict[str, object] = {}
    for attribute, field in row.fields().items():
        if row.kind(attribute) is Kind.DATE and field.example:
            found[attribute] = datetime.strptime(str(field.example), "%d/%m/%Y").date()  # noqa: DTZ007 - a day
        elif field.example != "":
            found[attribute] = field.example
    return {**found, next(iter(row.fields())): EXAMPLE_NOTE}


def _type(cell: "Cell | MergedCell", value: object, kind: Kind, field: Field) -> None:
    """Put a value into a cell as if typed there; a text stays text, whatever sign it begins with."""
    if not isinstance(value, str | int | float | date | None):
        message = f"no cell holds a {type(value).__name__}"
        raise ValueError(message)  # noqa: TRY004 - one kind of error for every value that cannot be typed
    cell.value = str(value) if isinstance(value, str) else value
    if isinstance(value, str):
        cell.data_type = "s"
        cell.quotePrefix = value.startswith("=")
    cell.number_format, cell.alignment = look.number_format(kind, field), look.alignment(kind)


def _as_table(page: "Worksheet", sheet: Sheet, count: int) -> None:
    """A table that takes in the next row by itself and brings the filter of its headings."""
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - heavy
    from openpyxl.worksheet.table import Table, TableStyleInfo  # noqa: PLC0415 - heavy

    last = max(FIRST_ROW, EXAMPLE_ROW + count)
    ref = f"A{HEADING_ROW}:{get_column_letter(len(sheet.row.fields()))}{last}"
    table = Table(displayName=f"table_{sheet.title.replace(' ', '_')}", ref=ref)
    table.tableStyleInfo = TableStyleInfo("TableStyleLight1", showRowStripes=True)
    page.add_table(table)


def _refuse_unknown(complaint: str, given: Mapping[str, object], known: Mapping[str, object]) -> None:
    """Raise KeyError for a name that is not known."""
    if unknown := [name for name in given if name not in known]:
        message = f"{complaint}: {', '.join(unknown)}"
        raise KeyError(message)


def without_clock(book: "Workbook") -> bytes:
    """The finished file with the moments of saving taken out of it; raises MachineError when the disk cut it short."""
    book.properties.creator, book.properties.created = "", CREATED
    saved, fixed = BytesIO(), BytesIO()
    book.save(saved)
    moment = f"{book.properties.modified:%Y-%m-%dT%H:%M:%SZ}".encode()
    with ZipFile(saved) as before, ZipFile(fixed, "w", ZIP_DEFLATED) as after:
        for name in before.namelist():
            part = before.read(name)
            if name.startswith("xl/worksheets/sheet") and not part.endswith(_END):  # whoever writes it does not say so
                raise MachineError(
                    "The disk is full or failing: a workbook was cut short.", "Make room, then run again."
                )
            if name == "docProps/core.xml":
                part = part.replace(moment, f"{CREATED:%Y-%m-%dT%H:%M:%SZ}".encode())
            after.writestr(ZipInfo(name, ZIP_DATE), part, ZIP_DEFLATED)
    return fixed.getvalue()
