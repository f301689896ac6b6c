"""What a parser makes of one cell: a value or None, and what there is to say about it."""

import unicodedata
from typing import Any, NamedTuple

from pipeline.facts.field import Field
from pipeline.facts.findings import Verdict
from pipeline.workbook.cells import Cell, Content

BLANKS = " \t\r\n\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000"
LONGEST_QUOTE = 60
OFFERED = 3
"""So many names that are equally near are offered; more would be a guess."""
SITE_SHEET = "the site sheet"
"""Where a value comes from; sheets that are filled at the desk have another source, put in when a finding is made."""


class Remark(NamedTuple):
    """Something to say about a cell; it becomes a finding once it is known which cell and whose job."""

    rule: str
    verdict: Verdict
    message: str
    expected: str = ""
    remedy: str = ""


class Parsed(NamedTuple):
    """The value of a cell, None where it has none, and the remarks on it."""

    value: Any = None
    remarks: tuple[Remark, ...] = ()


def fail(rule: str, message: str, expected: str, remedy: str) -> Parsed:
    """No value, and why."""
    return Parsed(None, (Remark(rule, Verdict.FAIL, message, expected, remedy),))


def query(rule: str, message: str, expected: str, remedy: str) -> Parsed:
    """No value yet: a person has to say what was meant."""
    return Parsed(None, (Remark(rule, Verdict.QUERY, message, expected, remedy),))


def visible(text: str) -> str:
    """A text as a person can see it: characters without a shape are named, long ones are cut."""
    shown = "".join(
        each if each == " " or (each.isprintable() and each not in BLANKS) else f"⟨U+{ord(each):04X}⟩"
        for each in text[:LONGEST_QUOTE]
    )
    return f"{shown}…" if len(text) > LONGEST_QUOTE else shown


def stripped(text: str) -> str:
    """The text in its composed form without ordinary blanks around it."""
    return unicodedata.normalize("NFC", text).strip(BLANKS)


def not_typed(cell: Cell, field: Field) -> Parsed | None:
    """Why a formula, an error value or a true/false is no typed value; None for everything else."""
    shown = visible(cell.text)
    match cell.content:
        case Content.FORMULA:
            return fail(
                "cell_holds_a_typed_value",
                f"'{field.heading}' holds a formula ({shown}), whose result nobody has typed.",
                "a typed value",
                "Type the value itself, or paste it as a value.",
            )
        case Content.ERROR:
            return fail(
                "cell_holds_no_error",
                f"'{field.heading}' holds the error value {shown}.",
                "a typed value",
                f"Type the value from {SITE_SHEET}.",
            )
        case Content.TRUTH:
            return fail(
                "cell_holds_a_typed_value",
                f"'{field.heading}' holds {shown}, Excel's own yes or no.",
                "a value as the heading asks for",
                f"Type the value from {SITE_SHEET}.",
            )
        case _:
            return None


def same(text: str) -> str:
    """Texts that differ only in case and blanks become equal."""
    return " ".join(stripped(text).split()).casefold()


def nearest(text: str, known: list[str]) -> str:
    """The known text that was probably meant, or nothing."""
    from difflib import get_close_matches  # noqa: PLC0415 - only where something is wrong

    if len(text) > LONGEST_QUOTE:
        return ""
    by_form = {same(each): each for each in known}
    close = get_close_matches(same(text), list(by_form), n=1, cutoff=0.6)
    return by_form[close[0]] if close else ""


def did_you_mean(text: str, known: list[str]) -> str:
    """The question that ends a message, or nothing; where several are as near, a few are named and many are not."""
    from difflib import SequenceMatcher  # noqa: PLC0415 - only where something is wrong

    best = nearest(text, known)
    if not best:
        return ""
    near = SequenceMatcher(None, same(text), same(best)).ratio()
    alike = [each for each in dict.fromkeys(known) if SequenceMatcher(None, same(text), same(each)).ratio() >= near]
    offered = " or ".join(f"'{each}'" for each in alike)
    return f" Did you mean {offered}?" if len(alike) <= OFFERED else ""
