"""One cell to one value: chooses the parser by the kind of the field, and remembers what it has parsed."""

import re
from collections import defaultdict
from datetime import date

from pipeline.facts.findings import Verdict
from pipeline.facts.row import Kind, Row
from pipeline.facts.rows.firm import Accuracy, Firm
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.points import Point
from pipeline.facts.sheets import BY_ROW, Belongs
from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.parse_choice import parse_choice, parse_choices
from pipeline.workbook.parse_date import EXPECTED, Order, order_of, parse_date
from pipeline.workbook.parse_key import parse_key
from pipeline.workbook.parse_number import parse_number
from pipeline.workbook.parse_reading import parse_reading
from pipeline.workbook.parse_text import parse_text
from pipeline.workbook.parsed import SITE_SHEET, Parsed, Remark, fail, query, stripped, visible
from pipeline.workbook.placeholders import NOT_APPLICABLE

# attributes that name a row for others, beside those that refer to another sheet
NAMES = frozenset({"board", "circuit", "point", "scheme", "fed_board", "fed_circuit", "person", "instrument", "model"})
# texts of a fixed form: what the form is, in figures and in words
FORMS: dict[tuple[type[Row], str], tuple[str, str]] = {
    (Firm, "prefix"): (r"[A-Za-z]{1,6}", "up to 6 letters"),
    (Firm, "colour"): (r"#?[0-9A-Fa-f]{6}", "six hexadecimal digits such as 1F4E5F"),
    (Accuracy, "last_place"): (r"[0-9]*\.?[0-9]+ ?[^0-9\s].*", "a step with its unit such as 0.01 Ω"),
}
# what every job has, so that it cannot be 'not applicable'
ALWAYS = frozenset({(JobRow, "client"), (JobRow, "site"), (JobRow, "extent"), (Point, "serial")})


class CellParser:
    """Parses the cells of one workbook; equal cells of one column are parsed once."""

    def __init__(self, as_of: date, order: Order) -> None:
        """`order` says which orders of day and month the text dates of this file prove."""
        self._as_of = as_of
        self._order = order
        self._known: dict[tuple[type[Row], str], dict[Cell, Parsed]] = defaultdict(dict)

    def parse(self, cell: Cell, row: type[Row], attribute: str) -> Parsed:
        """The value of a cell of this field, and what there is to say about it."""
        known = self._known[row, attribute]
        parsed = known.get(cell)
        if parsed is None:
            parsed = known[cell] = self._parse(cell, row, attribute)
        return parsed

    def _parse(self, cell: Cell, row: type[Row], attribute: str) -> Parsed:
        """Parse by the field's kind, then add what its looks say."""
        field, kind = row.fields()[attribute], row.kind(attribute)
        choices = row.choice_type(attribute)
        if kind is Kind.CHOICE and choices:
            parsed = parse_choice(cell, field, choices)
        elif kind is Kind.CHOICES and choices:
            parsed = parse_choices(cell, field, choices)
        elif kind is Kind.DATE:
            parsed = self._date(cell, row, attribute)
        elif kind is Kind.TEXT:
            parsed = _text(cell, row, attribute)
        elif kind is Kind.READING:
            parsed = parse_reading(cell, field)
        else:
            parsed = parse_number(cell, field, whole=kind is Kind.INTEGER)
        return Parsed(parsed.value, (*parsed.remarks, *_seen(cell, field.heading)))

    def _date(self, cell: Cell, row: type[Row], attribute: str) -> Parsed:
        """A date; a text that fits two days is taken only where other dates of the file prove the day first."""
        field = row.fields()[attribute]
        order = order_of(cell.text) if cell.content is Content.TEXT else None
        parsed = parse_date(cell, field, self._as_of)
        if parsed.value is None or order is None or not order.ambiguous:
            return parsed
        if self._order.month_first:
            return fail(
                "date_order_is_clear",
                f"'{field.heading}': '{visible(cell.text)}' can be two days; other dates here have the month first.",
                EXPECTED,
                "Type all dates of this file with the day first, or as real dates of Excel.",
            )
        if not self._order.day_first:
            return query(
                "date_order_is_clear",
                f"'{field.heading}': '{visible(cell.text)}' can be two days; no other date here shows the order.",
                EXPECTED,
                "Type it as a real date of Excel, or the month as a word: 4 Mar 2026.",
            )
        return parsed


def _text(cell: Cell, row: type[Row], attribute: str) -> Parsed:
    """A name, or a text that may have a fixed form."""
    field = row.fields()[attribute]
    if attribute in NAMES or field.refers or (row is JobRow and attribute == "job"):
        return parse_key(cell, field, job=attribute == "job")
    if (row, attribute) in ALWAYS and NOT_APPLICABLE.fullmatch(stripped(cell.text)):
        shown = visible(cell.text)
        return fail(
            "cell_holds_no_placeholder",
            f"'{field.heading}' holds '{shown}', though every job has one.",
            f"the {field.title.lower()}",
            f"Type the value from {SITE_SHEET}.",
        )
    parsed = parse_text(cell, field, published=BY_ROW[row].belongs is Belongs.JOB)
    form, words = FORMS.get((row, attribute), ("", ""))
    if form and parsed.value is not None and not re.fullmatch(form, parsed.value):
        shown = visible(parsed.value)
        return fail("text_has_its_form", f"'{field.heading}': '{shown}' has another form.", words, f"Type {words}.")
    return parsed


def _seen(cell: Cell, heading: str) -> tuple[Remark, ...]:
    """What the format of a filled cell does to its reader."""
    return tuple(
        Remark(
            "cell_is_plain_to_see",
            Verdict.QUERY,
            f"'{heading}' holds '{visible(cell.text)}', but the cell is formatted with {look}.",
            "a cell whose value is plain to see and not crossed out or marked",
            "Clear the format of the cell; if somebody meant something by it, settle it first.",
        )
        for look in cell.looks
    )
