"""Texts: kept as typed, and looked at for what would be lost, mistaken, or out of place on a certificate."""

import re
import unicodedata

from pipeline.facts.field import Field
from pipeline.facts.findings import Verdict
from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.letters import not_covered
from pipeline.workbook.parsed import BLANKS, Parsed, Remark, fail, not_typed, stripped, visible
from pipeline.workbook.placeholders import placeholder

CELL_LIMIT, OLD_LIMIT, DIGITS = 32_767, 255, 15
ZERO_WIDTH = dict.fromkeys(map(ord, "\u200b\u200c\u200d\u2060\ufeff\u00ad"))
TURNING = re.compile("[\u202a-\u202e\u2066-\u2069\u200e\u200f]")
CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ufffe\uffff]")
BROKEN = re.compile("[\ud800-\udfff\ufffd]")
MOJIBAKE = re.compile("[ÃÂ][\u0080-\u00bf]|â€.")
HEADER = re.compile(r"[\r\n]\s*(?:bcc|cc|to|from|subject|reply-to)\s*:", re.IGNORECASE)
MAIL = re.compile(r"[A-Za-z0-9._%+'-]{1,64}@[A-Za-z0-9-]{1,63}(?:\.[A-Za-z0-9-]{1,63})+")
TELEPHONE = re.compile(
    r"(?<![\d.-])(?:(?:\+|00)\d{2}[\s.-]?(?:\(0\)[\s-]?)?\d|\(?0\d)(?:[\s().-]{0,2}\d){8,9}(?![\d-])"
)
NUMBERISH = re.compile(
    r"number|serial|telephone|emergency|reference|evidence|certificate|firmware|e-mail", re.IGNORECASE
)


def parse_text(cell: Cell, field: Field, *, published: bool = True) -> Parsed:
    """The text without blanks around it; troubles that would spoil a document leave no value.

    `published` says that it goes into the packs of jobs, where personal data would stay for good.
    """
    refusal = not_typed(cell, field) or _not_text(cell, field)
    if refusal:
        return refusal
    raw = cell.text.replace("\r\n", "\n").replace("\r", "\n")
    spoilt = _spoilt(raw, field) or placeholder(cell.text, field, "words, or a blank cell")
    if spoilt:
        return spoilt
    text = stripped(raw.translate(ZERO_WIDTH))
    if "e-mail" in field.title.lower():
        return _mail(text, raw, field)
    return Parsed(text, (*_odd(raw, field), *(_personal(text, field) if published else ())))


def _not_text(cell: Cell, field: Field) -> Parsed | None:
    """Dates and very long numbers, which Excel changes on the way in."""
    if cell.content is Content.DATE:
        return fail(
            "text_is_as_typed",
            f"'{field.heading}': Excel holds a date ({visible(cell.text)}) where words belong.",
            "words",
            "Format the cell as Text and type it again.",
        )
    if cell.content is Content.NUMBER and len(cell.text.lstrip("-").replace(".", "")) > DIGITS:
        return fail(
            "text_is_as_typed",
            f"'{field.heading}': Excel keeps only {DIGITS} digits of a number this long.",
            "the number as text",
            "Format the cell as Text and type it again.",
        )
    return None


def _spoilt(text: str, field: Field) -> Parsed | None:
    """Characters that a document would lose or that would change it, and texts cut off by Excel."""
    if len(text) >= CELL_LIMIT:
        why = f"is {len(text)} characters long; Excel cuts at {CELL_LIMIT}"
    elif CONTROL.search(text):
        why = "holds control characters"
    elif BROKEN.search(text):
        why = "holds a broken character"
    elif TURNING.search(text):
        why = "holds invisible characters that turn the direction of writing"
    elif HEADER.search(text):
        why = "looks like the head of a mail"
    else:
        return None
    return fail(
        "text_is_plain",
        f"'{field.heading}': '{visible(text)}' {why}.",
        "plain text",
        "Type the text afresh instead of pasting it.",
    )


def _mail(text: str, raw: str, field: Field) -> Parsed:
    """One mail address and nothing else."""
    if MAIL.fullmatch(text) and "\n" not in text:
        return Parsed(text)
    verdict = Verdict.FAIL if "\n" in stripped(raw) else Verdict.QUERY
    remark = Remark(
        "mail_address_is_one",
        verdict,
        f"'{field.heading}': '{visible(text)}' is not one plain mail address.",
        "one address such as office@example.com",
        "Type the address alone, without a name or a second address.",
    )
    return Parsed(None, (remark,))


def _odd(text: str, field: Field) -> tuple[Remark, ...]:
    """Characters and lengths that somebody should look at."""
    quoted, remarks = visible(text), []
    bare = unicodedata.normalize("NFC", text.translate(ZERO_WIDTH))
    if any(unicodedata.bidirectional(each) in {"R", "AL", "AN"} for each in bare):
        why = "holds letters written from right to left; the page has to be looked at"
        remarks.append(_look("text_can_be_printed", why, quoted, field))
    elif odd := not_covered(bare)[:5]:
        remarks.append(_look("text_can_be_printed", f"holds characters that may not print: {odd}", quoted, field))
    if MOJIBAKE.search(bare):
        remarks.append(_look("text_is_plain", "looks garbled by a wrong character set", quoted, field))
    if bare != unicodedata.normalize("NFC", text):
        note = f"'{field.heading}': invisible characters in '{quoted}' are left out."
        remarks.append(Remark("text_is_plain", Verdict.NOTE, note))
    if len(text) == OLD_LIMIT:
        note = f"'{field.heading}' is exactly {OLD_LIMIT} characters long; it may have been cut off."
        remarks.append(Remark("text_is_complete", Verdict.NOTE, note))
    return tuple(remarks)


def _look(rule: str, why: str, quoted: str, field: Field) -> Remark:
    """A query about characters."""
    return Remark(
        rule,
        Verdict.QUERY,
        f"'{field.heading}': '{quoted}' {why}.",
        "letters that every document shows",
        "Compare with the site sheet and type it afresh; if it is right, a person has to look at the page.",
    )


def _personal(text: str, field: Field) -> tuple[Remark, ...]:
    """Telephone numbers and mail addresses where a certificate would publish them for good."""
    if field.private or field.key or field.refers or NUMBERISH.search(field.title):
        return ()
    if not (TELEPHONE.search(text) or MAIL.search(text)):
        return ()
    note = f"'{field.heading}' holds a telephone number or mail address, which the pack would keep for good."
    return (Remark("text_holds_no_personal_data", Verdict.NOTE, note, "none", "Take it out unless it belongs there."),)


def is_blank(cell: Cell) -> bool:
    """Whether a cell holds nothing but blanks and characters without a width."""
    if cell.content is not Content.TEXT or cell.text[:1].isalnum():
        return False
    return not cell.text.translate(ZERO_WIDTH).strip(BLANKS)
