"""Readings as they come off an instrument: a figure, above or below its range, limited, or not applicable."""

import re

from pipeline.facts.field import Field, Mark
from pipeline.facts.findings import Verdict
from pipeline.facts.quantities import quantity
from pipeline.facts.reading import Reading
from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.parse_number import beyond, figure, figure_of_text, wanted
from pipeline.workbook.parsed import Parsed, Remark, fail, not_typed, same, stripped, visible
from pipeline.workbook.placeholders import NOT_APPLICABLE, as_not_applicable

SIGNED = re.compile(r"(?P<sign>>=|=>|<=|=<|[<>≤≥≦≧⩽⩾＜＞])(?P<rest>.*)", re.DOTALL)
SIGN_OF = {**dict.fromkeys(">≥≧⩾＞", Mark.ABOVE), **dict.fromkeys("<≤≦⩽＜", Mark.BELOW)}
LIMITED = re.compile(r"LIM(?:\s*[:;,.–-]\s*|\s+|$)(?P<reason>.*)", re.DOTALL | re.IGNORECASE)


def parse_reading(cell: Cell, field: Field) -> Parsed:
    """A reading; a limitation without a reason has its reason looked for in the rest of the row later."""
    refusal = not_typed(cell, field)
    if refusal:
        return refusal
    text = stripped(cell.text)
    if cell.content is Content.TEXT:
        if NOT_APPLICABLE.fullmatch(text):
            return _noted(_word(Mark.NOT_APPLICABLE, "", cell, field), text, field)
        if match := LIMITED.fullmatch(text):
            return _word(Mark.LIMITATION, " ".join(match["reason"].split()), cell, field)
        if match := SIGNED.fullmatch(text):
            return _signed(match["sign"], match["rest"], cell, field)
    number, remarks = figure(cell, field)
    return Parsed(None, remarks) if number is None else _measured(number, None, remarks, cell, field)


def _noted(parsed: Parsed, text: str, field: Field) -> Parsed:
    """Say how 'N/A' was written where it was written otherwise."""
    if parsed.value is None or same(text) == same(Mark.NOT_APPLICABLE):
        return parsed
    return Parsed(parsed.value, (Remark("reading_mark_is_allowed", Verdict.NOTE, as_not_applicable(text, field)),))


def _word(mark: Mark, reason: str, cell: Cell, field: Field) -> Parsed:
    """A word in place of a figure, where the field takes it."""
    if mark not in field.allows:
        return fail(
            "reading_mark_is_allowed",
            f"'{field.heading}' cannot be '{mark}'.",
            wanted(field),
            "Type the reading; where it was not taken, the job is not tested yet.",
        )
    return Parsed(Reading(typed=cell.text, mark=mark, reason=reason))


def _signed(sign: str, rest: str, cell: Cell, field: Field) -> Parsed:
    """A figure above or below what the instrument can show."""
    mark = SIGN_OF[sign.replace("=", "")]
    if mark not in field.allows:
        return _sign_not_allowed(mark, cell, field)
    number, remarks = figure_of_text(stripped(rest), stripped(rest), field)
    if number is None:
        return Parsed(None, remarks)
    # the sign makes a text of every figure, so that alone is nothing to mention
    kept = tuple(each for each in remarks if each.rule != "number_is_typed_as_number" or "comma" in each.message)
    if mark is Mark.BELOW:
        note = f"'{field.heading}': '{visible(cell.text)}' is an upper bound and is kept with its sign."
        kept = (*kept, Remark("reading_sign_is_kept", Verdict.NOTE, note))
    elif sign != ">" or rest != rest.strip():
        note = f"'{field.heading}': '{visible(cell.text)}' is read as above {number:.10g}."
        kept = (*kept, Remark("reading_sign_is_kept", Verdict.NOTE, note))
    return _measured(number, mark, kept, cell, field)


def _sign_not_allowed(mark: Mark, cell: Cell, field: Field) -> Parsed:
    """A sign that turns this reading into a fault or into nothing."""
    message = f"'{field.heading}': '{visible(cell.text)}' is no reading here"
    over = ", beyond the instrument's range: in a test of a low resistance that is an open circuit, a fault"
    return fail(
        "reading_mark_is_allowed",
        f"{message}{over if mark is Mark.ABOVE and field.unit.endswith('Ω') else ''}.",
        wanted(field),
        "Compare with the site sheet. If it is what the instrument showed, the electrician has to find the fault.",
    )


def _measured(number: float, mark: Mark | None, remarks: tuple[Remark, ...], cell: Cell, field: Field) -> Parsed:
    """A reading with its figure, inside what is possible."""
    outside = beyond(number, field, mark)
    if outside and outside.verdict is Verdict.FAIL:
        return Parsed(None, (outside,))
    reading = Reading(typed=cell.text, mark=mark, quantity=quantity(number, field.unit))
    return Parsed(reading, (*remarks, outside) if outside else remarks)
