"""What helps while typing: drop-down lists, and colours for figures that are odd or impossible.

The words of the lists stand on a sheet of their own, because a list written into a cell's rule ends at
255 characters and at every comma.
"""

from enum import StrEnum
from typing import TYPE_CHECKING

from pipeline.facts.field import Field
from pipeline.facts.row import Kind, Row
from pipeline.facts.rows.firm import Default
from pipeline.facts.rows.inspections import Inspection, InspectionRemark
from pipeline.facts.sheets import BY_TITLE, FIRST_ROW, LISTS, SHEETS
from pipeline.workbook.appearance import PRINTED_WIDTH, RED, SHADE, TINT, fill, font, set_paper
from pipeline.workbook.hues import LINE, lines

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.formatting.rule import Rule
    from openpyxl.worksheet.worksheet import Worksheet

NARROWEST, SOME = 16, 2
LAST_ROW = 1000
"""Down to here lists and colours are ready; rows below are read all the same."""


def word_lists() -> dict[str, tuple[str, ...]]:
    """Every list of words by the name under which cells refer to it."""
    found = {"sheets_with_defaults": _default_sheets(), "columns_with_defaults": _default_columns()}
    found["aspects"] = tuple(field.heading for field in Inspection.fields().values() if not field.key)
    for sheet in SHEETS:
        for attribute in sheet.row.fields():
            if kind := sheet.row.choice_type(attribute):
                found[_words(kind)] = tuple(str(each) for each in kind)
    return found


def list_name(row: type[Row], attribute: str) -> str:
    """The name of the list that a column offers; empty where it offers none."""
    choice = row.choice_type(attribute)
    if choice:
        return _words(choice)
    if refers := row.fields()[attribute].refers:
        return f"keys_{refers}"
    return _SUGGESTED.get((row, attribute), "")


def offer_list(page: "Worksheet", letter: str, row: type[Row], attribute: str) -> None:
    """Give a column its drop-down: a closed choice is enforced, a reference warns, several choices only suggest."""
    from openpyxl.worksheet.datavalidation import DataValidation  # noqa: PLC0415 - heavy

    name = list_name(row, attribute)
    if not name:
        return
    closed = row.kind(attribute) is Kind.CHOICE
    offer = DataValidation("list", formula1=name, allow_blank=True)
    offer.showErrorMessage = row.kind(attribute) is not Kind.CHOICES
    offer.errorStyle = "stop" if closed else "warning"
    offer.errorTitle = row.fields()[attribute].title[:31]
    offer.error = "Pick one from the list." if closed else "This is not on its list. Is it typed right?"
    offer.add(f"{letter}{FIRST_ROW}:{letter}{LAST_ROW}")
    page.add_data_validation(offer)


def colour_odd_cells(page: "Worksheet", letter: str, kind: Kind, field: Field) -> None:
    """Impossible figures red on a shade; unusual ones, and text where a number or date belongs, on the shade."""
    cell = f"{letter}{FIRST_ROW}"
    odd = []
    if field.hard:
        odd.append(_coloured(_outside(cell, field.hard), red=True))
    if field.usual:
        odd.append(_coloured(_outside(cell, field.usual)))
    if kind in {Kind.AMOUNT, Kind.INTEGER, Kind.DATE}:
        odd.append(_coloured(f"ISTEXT({cell})"))
    for each in odd:
        page.conditional_formatting.add(f"{cell}:{letter}{LAST_ROW}", each)


def _coloured(formula: str, *, red: bool = False) -> "Rule":
    """A conditional format: the shade, with red figures for what is impossible."""
    from openpyxl.formatting.rule import Rule  # noqa: PLC0415 - heavy
    from openpyxl.styles import Font  # noqa: PLC0415 - heavy
    from openpyxl.styles.differential import DifferentialStyle  # noqa: PLC0415 - heavy

    style = DifferentialStyle(fill=fill(SHADE), font=Font(bold=True, color=RED) if red else None)
    return Rule("expression", formula=[formula], dxf=style, stopIfTrue=red)


def add_lists(book: "Workbook") -> None:
    """The sheet with the words of all lists, and the names under which cells find words and keys."""
    from openpyxl.styles import Alignment  # noqa: PLC0415 - heavy
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - heavy

    page, titles, widths = book.create_sheet(LISTS), list_titles(), list[int]()
    for column, (name, words) in enumerate(word_lists().items(), start=1):
        letter = get_column_letter(column)
        heading = page.cell(1, column, titles[name])
        heading.font, heading.fill = font(bold=True), fill(TINT)
        heading.alignment = Alignment(wrap_text=True, vertical="bottom")
        for number, word in enumerate(words, start=2):
            page.cell(number, column, word).data_type = "s"
        widths.append(max(NARROWEST, *(len(word) + 3 for word in words)))
        page.column_dimensions[letter].width = widths[-1]
        _name(book, name, f"{LISTS}!${letter}$2:${letter}${len(words) + 1}")
    page.row_dimensions[1].height = LINE * max(map(lines, titles.values(), widths)) + 6
    page.freeze_panes = "A2"
    page.print_title_rows = "1:1"
    set_paper(page, -(-sum(widths) // PRINTED_WIDTH))
    for title in sorted({field.refers for sheet in SHEETS for field in sheet.row.fields().values()} - {""}):
        _name(book, f"keys_{title}", _keys(title))


def list_titles() -> dict[str, str]:
    """The heading of each list: the columns that take its words, or where there are many, some of them."""
    users: dict[str, dict[str, None]] = {}
    for sheet in SHEETS:
        for attribute, field in sheet.row.fields().items():
            users.setdefault(list_name(sheet.row, attribute), {})[field.title] = None
    return {name: _some(list(users[name])) for name in word_lists()}


def _some(titles: list[str]) -> str:
    """The first of several titles."""
    return ", ".join(titles[:SOME]) + (f" and {len(titles) - SOME} more" if len(titles) > SOME else "")


def _words(choice: type[StrEnum]) -> str:
    """The name of a closed choice's list."""
    return f"words_{choice.__name__}"


def _keys(title: str) -> str:
    """The filled part of a sheet's key column, as a formula, so that a list offers no blanks."""
    attributes = BY_TITLE[title].row.fields()
    if not next(iter(attributes.values())).key:
        message = f"the key of {title} is not its first column"
        raise ValueError(message)
    return f"OFFSET({title}!$A${FIRST_ROW},0,0,MAX(1,COUNTA({title}!$A${FIRST_ROW}:$A${LAST_ROW})),1)"


def _name(book: "Workbook", name: str, formula: str) -> None:
    """Define a name for the whole workbook."""
    from openpyxl.workbook.defined_name import DefinedName  # noqa: PLC0415 - heavy

    book.defined_names[name] = DefinedName(name, attr_text=formula)


def _outside(cell: str, limits: tuple[float, float]) -> str:
    """The formula that tells a figure beyond two limits."""
    return f"AND(ISNUMBER({cell}),OR({cell}<{limits[0]:.10g},{cell}>{limits[1]:.10g}))"


def _default_sheets() -> tuple[str, ...]:
    """The sheets that have a column which Defaults may fill."""
    return tuple(s.title for s in SHEETS if any(field.defaults for field in s.row.fields().values()))


def _default_columns() -> tuple[str, ...]:
    """The headings that Defaults may fill, each once."""
    every = (field.title for sheet in SHEETS for field in sheet.row.fields().values() if field.defaults)
    return tuple(dict.fromkeys(every))


_SUGGESTED: dict[tuple[type[Row], str], str] = {
    (Default, "sheet"): "sheets_with_defaults",
    (Default, "column"): "columns_with_defaults",
    (InspectionRemark, "aspect"): "aspects",
}
