"""Texts inside a workbook's XML: the shared list of strings, and the escapes for characters that XML cannot hold."""

import re
from collections.abc import Iterable
from typing import Any

from pipeline.workbook.safe_xml import MAIN, bounded, parser

ITEM, TEXT, PHONETIC = f"{MAIN} si", f"{MAIN} t", f"{MAIN} rPh"
ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")


def unescape(text: str) -> str:
    """The text with Excel's `_xHHHH_` escapes turned back; halves of one character are joined."""
    if "_x" not in text:
        return text
    plain = ESCAPE.sub(lambda match: chr(int(match[1], 16)), text)
    return plain.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace") if _paired(plain) else plain


def _paired(text: str) -> bool:
    """Whether halves of characters stand in the text and each has its other half."""
    return bool(re.search("[\ud800-\udfff]", text)) and not re.search(
        "[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]", text
    )


def shared_texts(pieces: Iterable[bytes], part: str) -> list[str]:
    """The shared strings in their order, runs joined, phonetic guides left out."""
    reader = _TextReader(part)
    for piece in bounded(pieces, part):
        reader.expat.Parse(piece, False)  # noqa: FBT003 - expat takes no keywords
    reader.expat.Parse(b"", True)  # noqa: FBT003 - expat takes no keywords
    return reader.found


class _TextReader:
    """The handlers of the list of strings, and what they hold between two elements."""

    def __init__(self, part: str) -> None:
        """Start at the top of the list."""
        self.found: list[str] = []
        self._letters: list[str] = []
        self._listening = self._guide = False
        self.expat = parser(part)
        self.expat.StartElementHandler = self._start
        self.expat.EndElementHandler = self._end
        self.expat.CharacterDataHandler = self._data

    def _start(self, name: str, _: dict[str, str]) -> None:
        """An element opens."""
        if name == TEXT:
            self._listening = not self._guide
        elif name == PHONETIC:
            self._guide = True

    def _end(self, name: str) -> None:
        """An element closes."""
        if name == TEXT:
            self._listening = False
        elif name == PHONETIC:
            self._guide = False
        elif name == ITEM:
            self.found.append(unescape("".join(self._letters)))
            self._letters.clear()

    def _data(self, text: str) -> Any:
        """Letters arrive."""
        if self._listening:
            self._letters.append(text)
