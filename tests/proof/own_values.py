"""Documents in which every field has a value of its own, and every way to spoil one of their templates by one slip."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from itertools import combinations, count

from pipeline.documents import pictures
from pipeline.documents.blocks import RECORD_CODE, Each, Grid, Signatures, When, walk
from pipeline.documents.fields import FIELDS
from pipeline.documents.layouts import LAYOUTS, with_contents
from pipeline.documents.package import packed, unpacked
from pipeline.documents.pour import Image, pour
from pipeline.documents.templates import templates
from pipeline.documents.view import View, view
from tests.documents import sample

BODY = "word/document.xml"
FRAMES = ("word/header1.xml", "word/footer1.xml")
TAG = re.compile(r"\{\{.*?\}\}")
CELL = re.compile(r"<w:tc>(?:(?!<w:tc>).)*?</w:tc>", re.DOTALL)
LABEL = re.compile(r'<w:pStyle w:val="(?:Label|Head)"/>.*?</w:pPr>(.*?)</w:p>', re.DOTALL)


@dataclass(frozen=True)
class Slip:
    """One slip: which document, what was done, and the template that came of it."""

    document: str
    kind: str
    what: str
    make: Callable[[], bytes] = field(repr=False)

    def __str__(self) -> str:
        """For the list of those that nobody caught."""
        return f"{self.document}: {self.kind} {self.what}"


@cache
def own_view() -> View:
    """A view with every list filled and a number of its own in every field, but for those that tie two lists."""
    seen = with_contents(view(sample.record(sample.job()), sample.ENVELOPE), {})
    numbers = count(10_007, 13)
    tied = {name for layout in LAYOUTS.values() for block, _ in walk(layout.blocks) for name in _ties(block)}

    def own(row):
        return {name: f"{next(numbers)}" if text and name not in tied else text for name, text in row.items()}

    wanted = {
        block.rows
        for layout in LAYOUTS.values()
        for block, _ in walk(layout.blocks)
        if isinstance(block, Grid | Signatures | Each | When)
    }
    empty = {name: (dict.fromkeys(FIELDS.get(name, {}), "x"),) for name in wanted if not seen.lists[name]}
    lists = {name: tuple(map(own, rows)) for name, rows in (seen.lists | empty).items()}
    return View({name: own(row) for name, row in seen.single.items()}, lists)


def _ties(block):
    return block.within if isinstance(block, Grid) else ()


@cache
def _pictures() -> dict[str, object]:
    small = Image(sample.photo(60, 40), "jpg", 30, 20, "words")
    signs = {name: pictures.notice_symbol(name, 26) for name in pictures.NOTICE_SYMBOLS}
    signs[RECORD_CODE] = pictures.record_code("x", 29)
    return {
        "symbol_of": {name: Image(p.data, p.suffix, p.width_mm, p.height_mm, p.alt) for name, p in signs.items()},
        "photo_of": {row["file"]: small for row in own_view().lists["photos"]},
        "single_line_diagram": [small],
        "margin_chart": [small],
        "logo": [small],
    }


def filled(document: str, template: bytes) -> bytes:
    """The Word file that a template gives with values of their own."""
    said = own_view().in_language(LAYOUTS[document].language)
    return pour(document, template, {**said.single, **said.lists, **_pictures()})


def deletions() -> Iterator[Slip]:
    """Every placeholder of every template, left out."""
    for document, template in templates().items():
        parts = unpacked(template)
        for part in (BODY, *FRAMES):
            for number, tag in enumerate(TAG.findall(parts[part].decode())):
                yield Slip(document, "placeholder left out", f"{tag} ({part} {number})", _without(parts, part, number))


def _without(parts, part, number):
    def make():
        text = parts[part].decode()
        found = list(TAG.finditer(text))[number]
        return packed(parts | {part: (text[: found.start()] + text[found.end() :]).encode()})

    return make


def swaps() -> Iterator[Slip]:
    """Every two labels of a document, exchanged."""
    for document, template in templates().items():
        parts = unpacked(template)
        labels = list(LABEL.finditer(parts[BODY].decode()))
        for one, other in combinations(labels, 2):
            if one[1] != other[1]:
                what = f"{_words(one)} and {_words(other)}"
                yield Slip(document, "two labels exchanged", what, _swapped(parts, one, other))


def _words(found):
    return re.sub(r"<[^>]*>", "", found[1])


def _swapped(parts, one, other):
    def make():
        text = parts[BODY].decode()
        (a, b), (c, d) = one.span(1), other.span(1)
        return packed(parts | {BODY: (text[:a] + text[c:d] + text[b:c] + text[a:b] + text[d:]).encode()})

    return make
