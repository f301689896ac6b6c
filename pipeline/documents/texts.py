"""Texts as documents print them: one line, no control characters, and a dash where nothing was recorded."""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

Json = dict[str, Any]
Texts = Mapping[str, str]

BLANK = "–"
# what XML 1.0 (section 2.2) does not allow, and the breaks that would split a cell
_UNPRINTABLE = re.compile("[\x00-\x20\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]+")


def plain(text: object) -> str:
    """The text on one line; a dash for nothing."""
    return _UNPRINTABLE.sub(" ", str(text)).strip() or BLANK


def shown(row: Json) -> dict[str, str]:
    """The texts of one row of the record."""
    return {name: plain(cell["shown"]) for name, cell in row.items()}


def given(text: str) -> bool:
    """Whether something was recorded."""
    return text != BLANK


def joined(texts: Iterable[str], between: str = ", ") -> str:
    """The recorded ones of several texts, each once, in their order; a dash for none."""
    return between.join(dict.fromkeys(text for text in texts if given(text))) or BLANK


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its noun: 1 charge point, 12 charge points."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def day(iso: str) -> str:
    """An ISO date as documents print dates; a dash for none."""
    return date.fromisoformat(iso).strftime("%d %b %Y") if iso else BLANK
