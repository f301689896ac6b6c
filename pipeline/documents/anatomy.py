"""A Word file as the merge sees it: every tag with its place, the label that belongs to it, and the parts around it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from pipeline.documents.wordml import WORDS

_W = f"{{{WORDS}}}"
_TAG = re.compile(r"\{\{(?!%)(?P<value>[^{}]*)\}\}|\{%(?P<kind>p|tr)?\s(?P<order>[^%]*)%\}")
_BROKEN = re.compile(r"\{\{|\}\}|\{%|%\}|\{#|#\}")
_OPENS, _CLOSES, _BETWEEN = ("for ", "if "), {"endfor": "for ", "endif": "if "}, {"else"}


@dataclass(frozen=True, slots=True)
class Value:
    """A tag that prints something: `within` are the instructions around it, `label` the words of its label cell.

    `label` is None for a tag within a sentence.
    """

    tag: str
    label: str | None
    within: tuple[str, ...]
    place: str = field(compare=False)


@dataclass(slots=True)
class Anatomy:
    """All tags of a Word part, and what is no whole tag, each with its place."""

    values: list[Value] = field(default_factory=list)
    orders: list[tuple[str, str]] = field(default_factory=list)
    broken: list[tuple[str, str]] = field(default_factory=list)


@dataclass(slots=True)
class _Cell:
    """One table cell: its first column, its paragraphs."""

    column: int
    texts: list[str]

    @property
    def text(self) -> str:
        """All its words."""
        return "\n".join(self.texts).strip()


def anatomy_of(xml: bytes, where: str = "") -> Anatomy:
    """The tags of a body, header or footer; raises an XML error of defusedxml for what is none.

    `where` names a header or footer; the places of a body are its paragraphs and tables, counted from 1.
    """
    from defusedxml import ElementTree  # type: ignore[import-untyped]  # noqa: PLC0415

    root = ElementTree.fromstring(xml)
    body = root.find(f"{_W}body")
    walk = _Walk(where)
    walk.blocks(root if body is None else body)
    walk.close()
    return walk.found


def words_of(paragraph: Any) -> str:
    """The text of a paragraph; tabs and breaks as white space."""
    blank = {f"{_W}tab", f"{_W}br", f"{_W}cr"}
    pieces = [
        (" " if each.tag in blank else each.text or "")
        for each in paragraph.iter()
        if each.tag in blank or each.tag == f"{_W}t"
    ]
    return "".join(pieces)


def normal(text: str) -> str:
    """A tag or a label with single spaces."""
    return " ".join(text.split())


class _Walk:
    """One walk through a part in reading order."""

    def __init__(self, where: str) -> None:
        """Nothing seen yet."""
        self.found = Anatomy()
        self._where = where
        self._paragraphs = self._tables = 0
        self._around: list[tuple[str, str]] = []

    def blocks(self, parent: Any) -> None:
        """Paragraphs and tables, those inside a content control included."""
        for block in parent:
            if block.tag == f"{_W}p":
                self._paragraphs += 1
                self._words(words_of(block), self._place(f"paragraph {self._paragraphs}"))
            elif block.tag == f"{_W}tbl":
                self._tables += 1
                self._table(block)
            elif block.tag in {f"{_W}sdt", f"{_W}sdtContent"}:
                self.blocks(block)

    def close(self) -> None:
        """Tell the parts that are never ended."""
        self.found.broken += [(f"{{% {order} %}} has no end", place) for order, place in self._around]

    def _place(self, place: str) -> str:
        """A place, with the header or footer in which it lies."""
        return f"{self._where}, {place}" if self._where else place

    def _table(self, table: Any) -> None:
        """The rows of a table: each value cell belongs to the cell at its left, or to the heading of its column."""
        heads: dict[int, str] = {}
        for number, row in enumerate(table.iter(f"{_W}tr"), start=1):
            cells = list(_cells(row))
            if number == 1:
                heads = {cell.column: cell.text for cell in cells}
            repeated = bool(self._around) and self._around[-1][0].startswith("for line ")
            for place, cell in enumerate(cells):
                where = self._place(f"table {self._tables}, row {number}, cell {place + 1}")
                left = cells[place - 1].text if place else ""
                label = heads.get(cell.column, "") if repeated else left
                for text in cell.texts:
                    self._words(text, where, normal(label) if _is_value(cell.text) else None)

    def _words(self, text: str, place: str, label: str | None = None) -> None:
        """The tags in a text."""
        for tag in _TAG.finditer(text):
            if tag["value"] is not None:
                around = tuple(order for order, _ in self._around)
                self.found.values.append(Value(normal(tag["value"]), label, around, place))
            else:
                self._order(normal(tag["order"]), f"{tag['kind'] or ''}", place)
        rest = _TAG.sub("", text)
        if broken := _BROKEN.search(rest):
            self.found.broken.append((f"{broken[0]} in: {normal(text)[:60]}", place))

    def _order(self, order: str, kind: str, place: str) -> None:
        """An instruction: it opens a part, ends one, or stands between two."""
        self.found.orders.append((f"{{%{kind} {order} %}}", place))
        if order.startswith(_OPENS):
            self._around.append((order, place))
        elif order in _CLOSES:
            if self._around and self._around[-1][0].startswith(_CLOSES[order]):
                self._around.pop()
            else:
                self.found.broken.append((f"{{% {order} %}} ends nothing", place))


def _is_value(text: str) -> bool:
    """Whether a cell holds one tag and nothing else."""
    return bool(re.fullmatch(r"\{\{[^{}]*\}\}", text))


def _cells(row: Any) -> Iterator[_Cell]:
    """The cells of a row with their columns."""
    column = 0
    for cell in row.findall(f"{_W}tc"):
        span = cell.find(f"{_W}tcPr/{_W}gridSpan")
        yield _Cell(column, [words_of(each) for each in cell.iter(f"{_W}p")])
        column += int(span.get(f"{_W}val", "1")) if span is not None else 1
