"""Dates: real ones, or texts with the day first and all four digits of the year."""

import re
from datetime import date, datetime
from typing import NamedTuple

from pipeline.facts.field import Field
from pipeline.facts.findings import Verdict
from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.parsed import Parsed, Remark, fail, not_typed, query, stripped, visible
from pipeline.workbook.placeholders import placeholder

EXPECTED = "a date such as 4 March 2026, day first"
YEAR = r"(?P<year>[0-9]{4}|'?[0-9]{2})"
NUMERIC = re.compile(rf"(?P<a>[0-9]{{1,2}}) ?(?P<sep>[./ -]) ?(?P<b>[0-9]{{1,2}}) ?(?P=sep) ?{YEAR}")
ISO = re.compile(r"(?P<year>[0-9]{4})(?P<sep>[-/.])(?P<month>[0-9]{1,2})(?P=sep)(?P<day>[0-9]{1,2})")
WORDS = re.compile(rf"(?P<day>[0-9]{{1,2}})(?:st|nd|rd|th)?(?: of)?[ ./-]*(?P<month>[A-Za-z]{{3,9}})\.?,?[ /-]*{YEAR}")
MONTH_WORD_FIRST = re.compile(rf"(?P<month>[A-Za-z]{{3,9}})\.? (?P<day>[0-9]{{1,2}})(?:st|nd|rd|th)?,? {YEAR}")
# what people and programs put around a date: the day of the week before it, a time of day behind it
WEEKDAY = re.compile(r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]{0,6}\.?,?\s+", re.IGNORECASE)
TIME = re.compile(
    r"(?:T|,?\s+(?:at )?)[0-9]{1,2}[:.][0-9]{2}(?:[:.][0-9]{2})?(?:[.,][0-9]+)?(?: ?[ap]\.?m\.?)?"
    r"(?:Z|[+-][0-9]{2}:?[0-9]{2})?$",
    re.IGNORECASE,
)
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
LONG_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july",
    "august", "september", "october", "november", "december", "sept",
)  # fmt: skip
YEARS_BACK, YEARS_AHEAD = 60, 20


class Order(NamedTuple):
    """What a text date in digits says about the order in which its writer puts day and month."""

    day_first: bool
    month_first: bool
    ambiguous: bool

    @classmethod
    def none(cls) -> "Order":
        """What no date at all says."""
        return cls(day_first=False, month_first=False, ambiguous=False)


def parse_date(cell: Cell, field: Field, as_of: date) -> Parsed:
    """A day; a time of day is left out, a day outside of every working life is refused."""
    refusal = not_typed(cell, field)
    if refusal:
        return refusal
    match cell.content:
        case Content.DATE:
            parsed = _real(cell, field)
        case Content.NUMBER:
            parsed = _bare_number(cell, field)
        case _:
            parsed = _text(stripped(cell.text), cell, field)
    day = parsed.value
    if day is None or abs_years(day, as_of):
        return parsed
    return fail(
        "date_is_in_its_time",
        f"'{field.heading}': {day:%d %b %Y} is too far away to be right.",
        f"a date between {as_of.year - YEARS_BACK} and {as_of.year + YEARS_AHEAD}",
        "Type the date again; look at the year.",
    )


def abs_years(day: date, as_of: date) -> bool:
    """Whether a day lies within the years that a job can speak of."""
    return as_of.year - YEARS_BACK <= day.year <= as_of.year + YEARS_AHEAD


def order_of(text: str) -> Order | None:
    """The order of day and month in a text date of digits, or None where the text is no such date."""
    match = NUMERIC.fullmatch(_bare(stripped(text)))
    if not match:
        return None
    first, second = int(match["a"]), int(match["b"])
    return Order(first > 12 >= second, second > 12 >= first, first <= 12 and second <= 12 and first != second)


def _bare(text: str) -> str:
    """The date alone, without day of the week and time of day."""
    return TIME.sub("", WEEKDAY.sub("", text, count=1)).strip()


def _real(cell: Cell, field: Field) -> Parsed:
    """A date as Excel holds it."""
    try:
        moment = datetime.fromisoformat(cell.text)
    except ValueError:
        return _impossible(cell, field)
    if len(cell.text) <= len("2026-03-04"):
        return Parsed(moment.date())
    note = f"'{field.heading}': the time of day is left out; the date is {moment:%d %b %Y}."
    return Parsed(moment.date(), (Remark("date_is_a_day", Verdict.NOTE, note),))


def _bare_number(cell: Cell, field: Field) -> Parsed:
    """A number where a date belongs: a year alone, or a date whose format was lost."""
    return fail(
        "cell_is_a_date",
        f"'{field.heading}' holds the number {visible(cell.text)}, not a date.",
        EXPECTED,
        "Format the cell as a date and type the whole date: day, month, year.",
    )


def _text(text: str, cell: Cell, field: Field) -> Parsed:
    """A date that Excel holds as text."""
    bare = _bare(text)
    if match := NUMERIC.fullmatch(bare):
        return _day(match["year"], int(match["b"]), match["a"], cell, field)
    if match := ISO.fullmatch(bare):
        return _day(match["year"], int(match["month"]), match["day"], cell, field)
    if match := WORDS.fullmatch(bare) or MONTH_WORD_FIRST.fullmatch(bare):
        name = match["month"].lower()
        if name in MONTHS or name in LONG_MONTHS:
            return _day(match["year"], MONTHS.index(name[:3]) + 1, match["day"], cell, field)
    filler = placeholder(cell.text, field, EXPECTED)
    return filler or fail(
        "cell_is_a_date",
        f"'{field.heading}': '{visible(cell.text)}' is not a date.",
        EXPECTED,
        "Type day, month and the four digits of the year.",
    )


def _day(year: str, month: int, day: str, cell: Cell, field: Field) -> Parsed:
    """The day of these numbers, when the year is whole and the calendar has it."""
    if len(year) < 4:
        return query(
            "date_is_complete",
            f"'{field.heading}': '{visible(cell.text)}' has a year of two digits.",
            EXPECTED,
            "Type the year with four digits.",
        )
    try:
        found = date(int(year), month, int(day))
    except ValueError:
        return _impossible(cell, field)
    note = f"'{field.heading}': '{visible(cell.text)}' is stored as text; it is read as {found:%d %b %Y}."
    return Parsed(found, (Remark("date_is_typed_as_date", Verdict.NOTE, note),))


def _impossible(cell: Cell, field: Field) -> Parsed:
    """A day that no calendar has; one that would be a day with the month in front is told how dates are read."""
    order = order_of(cell.text)
    swapped = " Dates in digits are read with the day first; here the month seems to stand first."
    told = swapped if order and order.month_first else ""
    return fail(
        "date_is_possible",
        f"'{field.heading}': '{visible(cell.text)}' is no day of the calendar.{told}",
        EXPECTED,
        "Compare with the site sheet and type the date again, the day first.",
    )
