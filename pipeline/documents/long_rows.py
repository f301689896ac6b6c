"""Rows that hold more than a page can: they alone may break over pages, since a converter cuts off the rest."""

import re
from html import unescape

# a letter and a line of the small size, in twentieths of a point, on the wide side
_LETTER, _LINE = 110, 210
# so tall a row may break: about two thirds of a wide page
_TALLEST = 6500
_ROW = re.compile(r"<w:tr[ >](?:(?!<w:tr[ >]).)*?</w:tr>", re.DOTALL)
_CELL = re.compile(r'<w:tcW [^>]*w:w="(\d+)"(.*?)</w:tc>', re.DOTALL)
_KEPT = re.compile(r"<w:cantSplit/>|<w:keepNext/>|<w:keepLines/>")


def breakable(body: str) -> str:
    """The markup of a body; a row that may be taller than a page loses what keeps it together."""
    return _ROW.sub(
        lambda row: _KEPT.sub("", row[0]) if len(row[0]) > _TALLEST // 10 and _is_tall(row[0]) else row[0], body
    )


def _is_tall(row: str) -> bool:
    """Whether the longest cell of a row may take more than the height allowed."""
    return any(
        len(unescape(re.sub(r"<[^>]*>", "", content))) * _LETTER / int(width) * _LINE > _TALLEST
        for width, content in _CELL.findall(row)
    )
