"""Words from closed lists: exactly one of them, or several with commas; a near miss is asked about, never taken."""

import unicodedata
from enum import StrEnum

from pipeline.facts.field import Field, Mark
from pipeline.facts.findings import Verdict
from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.parsed import Parsed, Remark, did_you_mean, fail, not_typed, query, same, stripped, visible
from pipeline.workbook.placeholders import NOT_APPLICABLE, placeholder

# signs and words of agreement that mean 'done' to one reader and 'wrong' to the next
TICKS = frozenset(
    {
        "yes", "no", "pass", "passed", "fail", "failed", "ok", "okay", "true", "false", "correct", "good", "bad",
        "done", "fine", "+", "√",
    }
)  # fmt: skip
# what remains of a picture once its colour is taken off
COLOURED = str.maketrans("", "", "\ufe0e\ufe0f\u200d")
SYMBOLS = {"So", "Sm", "Sk", "Mn", "Cf"}


def parse_choice(cell: Cell, field: Field, choices: type[StrEnum]) -> Parsed:
    """The member of the list that was typed."""
    refusal = not_typed(cell, field) or _moment(cell, field, choices)
    return refusal or _one(stripped(cell.text), cell, field, choices)


def parse_choices(cell: Cell, field: Field, choices: type[StrEnum]) -> Parsed:
    """The set of members that were typed, separated by commas."""
    refusal = not_typed(cell, field) or _moment(cell, field, choices)
    if refusal:
        return refusal
    parts = filter(None, map(stripped, cell.text.replace(";", ",").split(",")))
    found = [_one(each, cell, field, choices) for each in parts] or [_unlisted(cell.text, field, choices)]
    values = frozenset(each.value for each in found)
    return Parsed(None if None in values else values, tuple(remark for each in found for remark in each.remarks))


def _moment(cell: Cell, field: Field, choices: type[StrEnum]) -> Parsed | None:
    """A date can be no word of a list."""
    return _unlisted(cell.text, field, choices) if cell.content is Content.DATE else None


def _one(text: str, cell: Cell, field: Field, choices: type[StrEnum]) -> Parsed:
    """One word of the list; the same letters in another case are the same word."""
    words = " ".join(text.split())
    for member in choices:
        if words == str(member):
            return Parsed(member)
    if NOT_APPLICABLE.fullmatch(words):
        words = str(Mark.NOT_APPLICABLE)
    alike = [member for member in choices if same(str(member)) == same(words)]
    if len(alike) == 1:
        note = f"'{field.heading}': '{visible(text)}' is read as '{alike[0]}'."
        return Parsed(alike[0], (Remark("choice_is_in_the_list", Verdict.NOTE, note),))
    if _is_tick(words):
        return query(
            "choice_is_in_the_list",
            f"'{field.heading}': '{visible(text)}' can mean one thing or its opposite.",
            _list(choices),
            "Pick the word from the list of the cell.",
        )
    return placeholder(cell.text, field, _list(choices)) or _unlisted(text, field, choices)


def _is_tick(words: str) -> bool:
    """Whether a sign, a picture, or a single letter stands for agreement."""
    bare = words.translate(COLOURED)
    pictures = bool(bare) and all(unicodedata.category(each) in SYMBOLS for each in bare)
    return same(bare) in TICKS or (len(bare) == 1 and bare.isalnum()) or pictures


def _unlisted(text: str, field: Field, choices: type[StrEnum]) -> Parsed:
    """A word that the list does not have."""
    hint = did_you_mean(text, [str(each) for each in choices])
    return fail(
        "choice_is_in_the_list",
        f"'{field.heading}': '{visible(text)}' is not in the list.{hint}",
        _list(choices),
        "Pick a word from the list of the cell.",
    )


def _list(choices: type[StrEnum]) -> str:
    """The words of a list."""
    return f"one of: {', '.join(str(each) for each in choices)}"
