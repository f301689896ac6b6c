"""Every column of the workbook in one document, written from the fields like the headings and their notes."""

from collections.abc import Iterator

from pipeline.facts.field import Field, Needed
from pipeline.facts.row import Row
from pipeline.facts.sheets import SHEETS, Sheet
from pipeline.workbook.heading_notes import marks_taken, span, values_taken

FILE = "fields.md"
TITLE = "# The workbook, column by column"
ABOUT = (
    "What each column takes, when it is needed, and in which range a figure is usual or possible. The same stands in "
    "the note of each heading. A figure outside the usual range is queried, one outside the possible range fails."
)
HEADINGS = ("Column", "Takes", "Needed", "Usual", "Possible", "Note")
WHEN = {Needed.DESIGN: "always", Needed.TEST: "once tested", Needed.NEVER: "where it applies"}


def field_reference() -> str:
    """The document in Markdown."""
    return "\n".join([TITLE, "", ABOUT, *(line for sheet in SHEETS for line in _sheet(sheet))]) + "\n"


def _sheet(sheet: Sheet) -> Iterator[str]:
    """One sheet: its purpose and a table of its columns."""
    yield from ("", f"## {sheet.title}", "", sheet.about, "", _row(HEADINGS), _row(("---",) * len(HEADINGS)))
    for attribute, field in sheet.row.fields().items():
        yield _row(_column(sheet.row, attribute, field))


def _column(row: type[Row], attribute: str, field: Field) -> tuple[str, ...]:
    """The cells of one column's line."""
    takes = " ".join(filter(None, (values_taken(row, attribute) or "Words.", marks_taken(field))))
    defaults = "May be filled by Defaults." if field.defaults else ""
    return (
        field.heading,
        takes,
        WHEN[field.needed],
        span(field.usual) if field.usual else "",
        span(field.hard) if field.hard else "",
        " ".join(filter(None, (field.note, defaults))),
    )


def _row(cells: tuple[str, ...]) -> str:
    """One line of a table."""
    return f"| {' | '.join(each.replace('|', '&#124;') for each in cells)} |"
