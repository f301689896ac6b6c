"""Symbols of quantities: `I_Δn` in the record and in labels, an I with a small Δn on paper and in pictures."""

import re
from collections.abc import Iterator

# only symbols of the trade: a name or a file of a client with an underscore stays as it was typed
_BASES = "I|U|Z|R|S|C|M|k|t|r|f|u|ΔU|Δu"
_TRAILS = "Δn|n|B|z|t|a|s|e|A|b|p|pf|cn|iso|E|N|LN|LE|L|f|g|i|c|k|m|0|1|2|U|min|max|before|upstream|applied|3ph|Z|F"
_SYMBOL = re.compile(rf"(?<![\w.])({_BASES})_((?:{_TRAILS})(?:,(?:min|max))?)(?![\w]|\.\w)")


def pieces(text: str) -> Iterator[tuple[str, bool]]:
    """A text in pieces, each with whether it is a subscript."""
    place = 0
    for found in _SYMBOL.finditer(text):
        yield text[place : found.end(1)], False
        yield found[2], True
        place = found.end()
    if place < len(text):
        yield text[place:], False


def lowered(text: str) -> str:
    """A text as it is read back from paper, where a subscript stands lower and has no underscore before it."""
    return _SYMBOL.sub(r"\1\2", text)
