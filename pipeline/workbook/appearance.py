"""How the workbook looks on screen and paper: one quiet hue, widths, number formats, print layout."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from pipeline.facts.field import Field, Needed
from pipeline.facts.row import Kind, Row
from pipeline.facts.sheets import HEADING_ROW
from pipeline.workbook import hues
from pipeline.workbook.hues import LINE, lines

if TYPE_CHECKING:
    from openpyxl.styles import Alignment, Font, PatternFill
    from openpyxl.worksheet.worksheet import Worksheet

INK, SHADE, TINT, FAINT, GREY, RED = hues.INK, hues.SHADE, hues.TINT, hues.FAINT, hues.GREY, hues.RED
HEADING_SHADE = {Needed.DESIGN: SHADE, Needed.TEST: TINT, Needed.NEVER: "FFFFFF"}
PRINTED_WIDTH = 200
"""Characters across one printed page: the smallest type that can be read on A4 in landscape."""
ROOMY = {
    "Client": 26,
    "Occupier": 22,
    "Full name": 24,
    "Firm": 30,
    "Column": 34,
    "Aspect": 44,
    "Remark": 44,
    "Value": 26,
    "Caption": 34,
    "Question": 64,
    "Key": 22,
    "Reason": 40,
    "E-mail": 26,
    "Extent of the work": 42,
    "Site address": 34,
    "Network operator": 36,
    "Where to switch it off": 36,
    "Evidence of that measure": 36,
    "Means": 30,
    "What to do": 46,
    "How to start": 44,
    "How to stop": 40,
    "File": 22,
    "Shows": 24,
}
"""Widths of columns whose usual content is longer than their fields let expect."""

AS_TYPED = frozenset({"Value"})
"""Columns that take what another column takes: a number there stays a number."""


def font(*, colour: str = INK, bold: bool = False, italic: bool = False, size: int = 11) -> "Font":
    """The one typeface in its variants."""
    from openpyxl.styles import Font  # noqa: PLC0415 - heavy

    return Font(name="Calibri", size=size, bold=bold, italic=italic, color=colour)


def fill(colour: str) -> "PatternFill":
    """A plain ground of one colour; for cells and, with the same colour behind, for conditional formats."""
    from openpyxl.styles import PatternFill  # noqa: PLC0415 - heavy

    return PatternFill("solid", start_color=colour, end_color=colour)


def alignment(kind: Kind) -> "Alignment":
    """Figures to the right, words wrapped."""
    from openpyxl.styles import Alignment  # noqa: PLC0415 - heavy

    figures = kind in {Kind.AMOUNT, Kind.READING, Kind.INTEGER, Kind.DATE}
    if figures:
        return Alignment(horizontal="right", vertical="top", wrap_text=True)
    return Alignment(horizontal="left", vertical="top", wrap_text=True, indent=1)


def number_format(kind: Kind, field: Field) -> str:
    """Keys and texts stay as typed; a figure shows every digit typed, and its usual decimals at least."""
    match kind:
        case Kind.TEXT if field.title in AS_TYPED:
            return "General"
        case Kind.DATE:
            return "dd mmm yyyy"
        case Kind.AMOUNT | Kind.READING if field.decimals:
            return f"0.{'0' * field.decimals}####"
        case Kind.AMOUNT | Kind.READING | Kind.INTEGER:
            return "General"
        case _:
            return "@"


def width(row: type[Row], attribute: str) -> float:
    """Width of a column in characters: room for its longest word and for what is usually typed."""
    field, kind = row.fields()[attribute], row.kind(attribute)
    if field.title in ROOMY:
        return float(ROOMY[field.title])
    words = max(len(word) for word in field.heading.split()) + 3
    match kind:
        case Kind.CHOICE:
            typed = min(28, max(map(len, row.choices(attribute))) + 4)
        case Kind.TEXT if field.key or field.refers:
            typed = 13
        case Kind.TEXT | Kind.CHOICES:
            typed = 26 if len(str(field.example)) + len(field.note) > 12 else 15
        case Kind.DATE:
            typed = 13
        case _:
            typed = 10
    balanced = len(field.heading) / 3 + 4
    return float(max(words, typed, min(balanced, 20)))


def heading_height(row: type[Row]) -> float:
    """Height of the heading row in points: enough for the heading with the most lines."""
    return LINE * max(lines(field.heading, width(row, name) - 3) for name, field in row.fields().items()) + 6


def row_height(row: type[Row], typed: Mapping[str, object]) -> float | None:
    """Height of a filled row where some text in it wraps; None where one line is enough."""
    most = max((lines(str(value), width(row, name) - 2) for name, value in typed.items() if value), default=1)
    return LINE * most + 2 if most > 1 else None


def leading_keys(row: type[Row]) -> int:
    """How many columns at the left name the row; they stay in sight, at most four of them."""
    keys = 0
    for field in row.fields().values():
        if not field.key:
            break
        keys += 1
    return min(keys, 4) or 1


def set_paper(page: "Worksheet", across: int) -> None:
    """A4 landscape, the sheet's width fitted to `across` pages, title and page number at the foot."""
    from openpyxl.worksheet.properties import PageSetupProperties  # noqa: PLC0415 - heavy

    page.page_setup.orientation = "landscape"
    page.page_setup.paperSize = 9
    page.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    page.page_setup.fitToWidth, page.page_setup.fitToHeight = across, 0
    page.page_margins.left = page.page_margins.right = 0.4
    page.page_margins.top, page.page_margins.bottom = 0.4, 0.6
    if (footer := page.oddFooter) is not None and footer.left and footer.right:
        footer.left.text, footer.right.text = "&A", "&P / &N"


def set_sheet_paper(page: "Worksheet", row: type[Row]) -> None:
    """As many pages across as stay readable, with headings and keys repeated on each."""
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - heavy

    across = -(-int(sum(width(row, each) for each in row.fields())) // PRINTED_WIDTH)
    set_paper(page, across)
    page.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"
    if across > 1:
        page.print_title_cols = f"A:{get_column_letter(leading_keys(row))}"
