"""Values in another language: dates, words of closed lists, and the sentences that the program makes of a record.

What people typed is never touched: a phrase is looked for only in the fields of which the program words the value.
"""

import re
from collections.abc import Callable
from functools import cache

from pipeline.documents.catalogue import texts as catalogue_texts
from pipeline.documents.catalogue import value_words
from pipeline.documents.texts import Texts, given

_DATE = re.compile(r"(\d\d) ([A-Z][a-z]{2}) (\d{4})")
_GAP = re.compile(r"\{(\w)\}")
# a gap of one letter takes: n, a count; d, a date as it is written in that language; x, any words up to what follows;
# r, all the rest; p, all of a part that ends at a semicolon
_GAPS = {"n": r"(\d+)", "d": r"(\d\d\. \w+ \d{4})", "x": "(.+?)", "r": "(.+)", "p": r"([^;\s][^;]*)"}
# fields of which the program words the whole value
COMPOSED = frozenset(
    {
        "outcome.sentence",
        "outcome.deadlines",
        "outcome.notes_are",
        "job.points_named",
        "job.sources_named",
        "job.sharing",
        "job.lowered",
        "job.further_rcds",
        "certificate.status",
        "certificate.name",
        "firm.registered",
        "firm.emergency",
        "points.heading",
        "points.circuit_name",
        "points.board_at",
        "points.others",
        "source_places.place",
        "island_places.place",
    }
)


# fields that people typed as words, not names: quoted, since they stay in the language in which they were given
TYPED = frozenset(
    {
        "job.extent",
        "job.next_reason",
        "outcome.unseen",
        "firm.privacy",
        "points.place",
        "points.isolator_place",
        "main_electrodes.place",
        "models.start_steps",
        "models.stop_steps",
        "indicators.shows",
        "indicators.means",
        "indicators.action",
    }
)
# fields that hold one word of a closed list
CHOSEN = frozenset({"holding.verdict"})
# the title of a document, by its fixed text
TITLE = "contents.title"


@cache
def titles(language: str) -> dict[str, str]:
    """The titles of the English documents in another language, each with a word that it is English."""
    there = catalogue_texts(language)
    english = there["translation.original"]
    return {
        text: f"{there[key]} ({english})"
        for key, text in catalogue_texts().items()
        if key.endswith(".title") and key in there
    }


def translated(row: str, texts: Texts, language: str) -> Texts:
    """The texts of one row in another language."""
    return {field: _translated(f"{row}.{field}", text, language) for field, text in texts.items()}


def _translated(field: str, text: str, language: str) -> str:
    """One text in another language."""
    words = value_words(language, "words")
    if field == TITLE:
        return titles(language).get(text, text)
    if _DATE.fullmatch(text):
        return _dated(text, words)
    if field in CHOSEN:
        return words.get(text, text)
    if field in TYPED and given(text):
        return words["quoted"].format(text)
    if field not in COMPOSED:
        return text
    text = _dated(text, words)
    for pattern, put in _phrases(language):
        text = pattern.sub(put, text)
    return text


def _dated(text: str, words: dict[str, str]) -> str:
    """A text with the months of its dates in another language."""
    return _DATE.sub(lambda found: f"{found[1]}. {words[found[2]]} {found[3]}", text)


@cache
def _phrases(language: str) -> tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], str]], ...]:
    """Each phrase as what is looked for and what is put in its place, the longest first."""
    found = value_words(language, "phrases")
    return tuple((_pattern(english), _filler(other)) for english, other in sorted(found.items(), key=_by_length))


def _by_length(phrase: tuple[str, str]) -> int:
    """Longest first, so that a phrase is not taken for a shorter one within it."""
    return -len(phrase[0])


def _pattern(english: str) -> re.Pattern[str]:
    """A phrase with its gaps as a regular expression; a letter at its beginning or end is one of a whole word."""
    pieces = _GAP.split(english)
    inner = "".join(_GAPS[each] if place % 2 else re.escape(each) for place, each in enumerate(pieces))
    before = r"(?<!\w)" if english[0].isalnum() or english[0] == "{" else ""
    behind = r"(?!\w)" if english[-1].isalnum() or english[-1] == "}" else ""
    return re.compile(f"{before}{inner}{behind}")


def _filler(other: str) -> Callable[[re.Match[str]], str]:
    """What puts the words of the gaps, in their order, into a phrase of the other language."""
    pieces = _GAP.split(other)[::2]
    return lambda found: "".join(f"{piece}{gap}" for piece, gap in zip(pieces, [*found.groups(), ""], strict=True))
