"""Figures: from a number or a text that can mean only one number, to a value in the column's unit.

Nothing is repaired: a letter O, a stray blank, a Unicode digit is told, not guessed at.
"""

import math
import re
from typing import NamedTuple

from pipeline.facts.field import Field, Mark
from pipeline.facts.findings import Verdict
from pipeline.facts.quantities import quantity
from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.parsed import Parsed, Remark, fail, not_typed, query, stripped, visible
from pipeline.workbook.placeholders import placeholder
from pipeline.workbook.units import converted, known_unit

PLAIN = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?|[+-]?\.[0-9]+")
DECIMAL_COMMA = re.compile(r"[+-]?(?:0,[0-9]+|[0-9]+,(?:[0-9]{1,2}|[0-9]{4,}))")
THOUSANDS = re.compile(r"[+-]?[0-9]{1,3}(?:[ ,.'’\u00a0\u202f\u2009][0-9]{3})+(?:[.,][0-9]+)?")
WITH_UNIT = re.compile(r"(?P<figure>[+-]?[0-9.,'’\u00a0\u202f ]*[0-9])[ \u00a0]*(?P<unit>[^0-9\s.,+-].*)")
LONGEST_FIGURE = 40
# what other programs put before a number that is to stay a text
TEXT_MARK = "'"
LIKE_DIGITS = str.maketrans({"O": "0", "o": "0", "l": "1", "I": "1"})
QUOTED_LETTERS = re.compile(r'"[^"]*[^\s".,()/-][^"]*"|\\[A-Za-zΩµ]')
DECIMALS = re.compile(r"\.([0#?]*)")
SCALED = re.compile(r"[0#?],+(?![0#?,])")


class Figure(NamedTuple):
    """A bare number in the column's unit, or None, and what there is to say."""

    number: float | None
    remarks: tuple[Remark, ...] = ()


def parse_number(cell: Cell, field: Field, *, whole: bool = False) -> Parsed:
    """A quantity in the column's unit, or a whole number."""
    refusal = not_typed(cell, field)
    if refusal:
        return refusal
    number, remarks = figure(cell, field)
    if number is None:
        return Parsed(None, remarks)
    if whole and number != int(number):
        return fail(
            "number_is_whole",
            f"'{field.heading}' holds {cell.text}, which is not a whole number.",
            wanted(field, "a whole number"),
            "Type a whole number.",
        )
    outside = beyond(number, field)
    if outside and (outside.verdict is Verdict.FAIL or outside.rule == "number_is_in_the_columns_unit"):
        return Parsed(None, (outside,))
    value = int(number) if whole else quantity(number, field.unit)
    return Parsed(value, (*remarks, outside) if outside else remarks)


def figure(cell: Cell, field: Field) -> Figure:
    """The number in a cell that holds a number, a moment or a text."""
    match cell.content:
        case Content.NUMBER:
            return _of_number(cell, field)
        case Content.DATE:
            return Figure(None, _moment(cell, field).remarks)
        case _:
            return figure_of_text(stripped(cell.text), cell.text, field)


def _moment(cell: Cell, field: Field) -> Parsed:
    """A number that Excel took for a date or a time of day."""
    return fail(
        "number_is_no_date",
        f"'{field.heading}' holds a date or time ({visible(cell.text)}), not a number.",
        wanted(field),
        "Format the cell as General and type the number again.",
    )


def _of_number(cell: Cell, field: Field) -> Figure:
    """A number as Excel holds it, and whether its format shows the same."""
    number = float(cell.text)
    if not math.isfinite(number):
        return Figure(None, _no_number(cell.text, field).remarks)
    if "%" in cell.format and '"' not in cell.format:
        if field.unit == "%":
            number = float(f"{number * 100:.12g}")
            note = f"'{field.heading}' is formatted as per cent; it is read as shown: {number:g} %."
            return Figure(number, (Remark("number_is_shown_as_held", Verdict.NOTE, note),))
        return Figure(None, _disguised(cell, field).remarks)
    if QUOTED_LETTERS.search(cell.format) or SCALED.search(cell.format.split(";")[0]):
        return Figure(None, _disguised(cell, field).remarks)
    return Figure(number, _rounded(number, cell, field))


def _disguised(cell: Cell, field: Field) -> Parsed:
    """A format that writes a unit or a factor beside the number."""
    return fail(
        "number_is_shown_as_held",
        f"'{field.heading}' holds {cell.text}, but its format '{visible(cell.format)}' shows something else.",
        "a plain number format",
        "Format the cell as General, then check the number against the unit in the heading.",
    )


def _rounded(number: float, cell: Cell, field: Field) -> tuple[Remark, ...]:
    """A note where the format shows fewer digits than there are."""
    form = cell.format.split(";")[0]
    if form in {"General", "@"} or "E" in form or "/" in form or not re.search("[0#?]", form):
        return ()
    decimals = DECIMALS.search(form)
    if round(number, len(decimals[1]) if decimals else 0) == number:
        return ()
    note = f"'{field.heading}' shows a rounded figure; the one that it holds is used: {cell.text}."
    return (Remark("number_is_shown_as_held", Verdict.NOTE, note),)


def figure_of_text(text: str, typed: str, field: Field) -> Figure:
    """The number that a text means, when it can mean only one."""
    if len(text) > LONGEST_FIGURE:
        return Figure(None, _no_number(typed, field).remarks)
    marked = text.startswith(TEXT_MARK)
    text = text.removeprefix(TEXT_MARK)
    if PLAIN.fullmatch(text):
        how = (
            "has an apostrophe before it"
            if marked
            else "has blanks around it"
            if text != typed
            else "is stored as text"
        )
        note = f"'{field.heading}': the number {how}; it is read as {text}."
        return Figure(float(text), (Remark("number_is_typed_as_number", Verdict.NOTE, note),))
    if DECIMAL_COMMA.fullmatch(text):
        note = f"'{field.heading}': '{text}' is read with a decimal comma as {text.replace(',', '.')}."
        return Figure(float(text.replace(",", ".")), (Remark("number_is_typed_as_number", Verdict.NOTE, note),))
    if THOUSANDS.fullmatch(text):
        return Figure(None, _thousands(text, field).remarks)
    if match := WITH_UNIT.fullmatch(text):
        unit = known_unit(match["unit"].strip())
        if unit is not None:
            return _with_unit(match["figure"].strip(), unit, text, field)
    return Figure(None, _no_number(typed, field).remarks)


def _with_unit(text: str, unit: str, whole: str, field: Field) -> Figure:
    """A figure with its unit behind it."""
    bare = figure_of_text(text, text, field)
    if bare.number is None:
        return bare
    number = bare.number if unit == field.unit else converted(bare.number, unit, field.unit)
    if number is None:
        return Figure(
            None,
            fail(
                "unit_is_the_columns",
                f"'{field.heading}': '{visible(whole)}' has a unit that does not fit this column.",
                wanted(field),
                f"Look whether the figure belongs in another column, or type it in {field.unit or 'plain digits'}.",
            ).remarks,
        )
    read_as = f"{number:.12g} {field.unit}".strip()
    note = f"'{field.heading}': the unit is typed in the cell; '{visible(whole)}' is read as {read_as}."
    return Figure(number, (Remark("unit_is_the_columns", Verdict.NOTE, note),))


def _thousands(text: str, field: Field) -> Parsed:
    """A figure that two readers would read a thousandfold apart."""
    return query(
        "number_is_clear",
        f"'{field.heading}': '{visible(text)}' may have a decimal or a thousands separator.",
        wanted(field),
        "Type it with a decimal point and without any separator between thousands.",
    )


def _no_number(typed: str, field: Field) -> Parsed:
    """A text that is no number, with the reason where it can be told."""
    filler = placeholder(typed, field, wanted(field))
    if filler:
        return filler
    repaired = stripped(typed).translate(LIKE_DIGITS)
    if PLAIN.fullmatch(repaired):
        hint = f" It holds a letter that looks like a digit; is {repaired} meant?"
    elif any(each.isdigit() and not each.isascii() for each in typed) or "\u2212" in typed:
        hint = " It holds characters that look like digits or a minus sign but are none."
    else:
        hint = ""
    return fail(
        "cell_is_a_number",
        f"'{field.heading}': '{visible(typed)}' is not a number.{hint}",
        wanted(field),
        "Type the figure from the site sheet with plain digits and a decimal point.",
    )


def beyond(number: float, field: Field, mark: Mark | None = None) -> Remark | None:
    """What to say of a number outside the possible or the usual range; a bound is judged on its open side only."""
    unit = f" {field.unit}" if field.unit else ""
    if field.hard and not field.hard[0] <= number <= field.hard[1]:
        if slip := _in_amperes(number, field):
            return slip
        return Remark(
            "number_is_possible",
            Verdict.FAIL,
            f"'{field.heading}': {number:.10g}{unit} is impossible.",
            wanted(field),
            f"Compare with the site sheet; look at the unit ({field.unit or 'none'}) and the decimal point.",
        )
    if not field.usual:
        return None
    low, high = field.usual
    if (number < low and mark is None) or (number > high and mark is not Mark.BELOW):
        return Remark(
            "number_is_usual",
            Verdict.QUERY,
            f"'{field.heading}': {number:.10g}{unit} is outside what is usual.",
            f"usually {low:.10g} to {high:.10g}{unit}",
            "Compare with the site sheet; if the figure is right, a person responsible has to say so.",
        )
    return None


def _in_amperes(number: float, field: Field) -> Remark | None:
    """The question after a residual current that is sensible in amperes: both notations are seen on devices."""
    low, high = field.usual or (1, 0)
    if field.unit != "mA" or not low <= number * 1000 <= high:
        return None
    return Remark(
        "number_is_in_the_columns_unit",
        Verdict.QUERY,
        f"'{field.heading}': {number:.10g} mA is impossible; is {number:.10g} A meant, or {number * 1000:.10g} mA?",
        wanted(field),
        f"If the device says {number:.10g} A, type {number * 1000:.10g}.",
    )


def wanted(field: Field, what: str = "a number") -> str:
    """What a column expects, in words."""
    unit = f" in {field.unit}" if field.unit else ""
    span = f", {field.hard[0]:.10g} to {field.hard[1]:.10g}" if field.hard else ""
    marks = " or ".join(str(mark) for mark in (Mark.LIMITATION, Mark.NOT_APPLICABLE) if mark in field.allows)
    return f"{what}{unit}{span}{f', or {marks}' if marks else ''}"
