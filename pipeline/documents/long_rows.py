"""Texts longer than their place: a row taller than a page may break, a long line on a notice gets smaller letters.

Otherwise a converter would cut off what does not fit, and a notice would outgrow the size that is printed above it.
"""

import re
from html import unescape

from pipeline.documents.styles import READING

# a letter and a line of the small size, in twentieths of a point, on the wide side
_LETTER, _LINE = 110, 210
# so tall a row may break: about two thirds of a wide page
_TALLEST = 6500
_ROW = re.compile(r"<w:tr[ >](?:(?!<w:tr[ >]).)*?</w:tr>", re.DOTALL)
_CELL = re.compile(r'<w:tcW [^>]*w:w="(\d+)"(.*?)</w:tc>', re.DOTALL)
_KEPT = re.compile(r"<w:cantSplit/>|<w:keepNext/>|<w:keepLines/>")

_LARGE = re.compile(r'<w:p><w:pPr><w:pStyle w:val="Large"/></w:pPr>.*?</w:p>', re.DOTALL)
# so many large letters stand on two lines of a notice
_TWO_LINES = 62
_SMALLER = f'<w:rPr><w:b/><w:sz w:val="{READING + 3}"/></w:rPr>'


def modest(body: str) -> str:
    """The markup of a body; the large line of a notice in smaller letters where it would take more than two lines."""
    return _LARGE.sub(lambda line: _small(line[0]) if len(_words(line[0])) > _TWO_LINES else line[0], body)


def _small(line: str) -> str:
    """The paragraph with every run of it in smaller letters."""
    return line.replace("<w:r><w:t", f"<w:r>{_SMALLER}<w:t")


def _words(markup: str) -> str:
    """The letters of a piece of markup."""
    return unescape(re.sub(r"<[^>]*>", "", markup))


def breakable(body: str) -> str:
    """The markup of a body; a row that may be taller than a page loses what keeps it together."""
    return _ROW.sub(
        lambda row: _KEPT.sub("", row[0]) if len(row[0]) > _TALLEST // 10 and _is_tall(row[0]) else row[0], body
    )


def _is_tall(row: str) -> bool:
    """Whether the longest cell of a row may take more than the height allowed."""
    return any(len(_words(content)) * _LETTER / int(width) * _LINE > _TALLEST for width, content in _CELL.findall(row))
