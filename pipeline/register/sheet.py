"""The register as a workbook: texts stay texts, whatever they begin with; days are days."""

import io
from collections.abc import Sequence
from datetime import date

from pipeline.register.listing import TITLES, Line

WIDTHS = (10, 16, 20, 12, 12, 24, 40, 16, 34, 12, 50)
# what a spreadsheet would take for the beginning of a formula (OWASP, CSV injection)
FORMULA = ("=", "+", "-", "@", "\t", "\r")


def workbook_of(lines: Sequence[Line]) -> bytes:
    """The bytes of an .xlsx file with one row a pack."""
    from openpyxl import Workbook  # noqa: PLC0415 - heavy, only where something is exported
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE  # noqa: PLC0415
    from openpyxl.styles import Font  # noqa: PLC0415
    from openpyxl.utils import get_column_letter  # noqa: PLC0415

    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = "Register"
    for row, values in enumerate([TITLES, *(each.cells for each in lines)], start=1):
        for column, value in enumerate(values, start=1):
            cell = sheet.cell(row, column)
            if isinstance(value, date):
                cell.value, cell.number_format = value, "dd/mm/yyyy"
            elif value:
                cell.value = text = ILLEGAL_CHARACTERS_RE.sub(" ", value)
                cell.data_type = "s"
                cell.quotePrefix = text.startswith(FORMULA)
    for column, (title, width) in enumerate(zip(TITLES, WIDTHS, strict=True), start=1):
        sheet.cell(1, column, title).font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(column)].width = width
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(TITLES))}{len(lines) + 1}"
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()
