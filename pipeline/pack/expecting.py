"""What must stand on the pages of a document: its layout filled with the texts of a job, nothing drawn yet."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from pipeline.documents.blocks import EACH, Block, Each, Grid, Notice, Pairs, Signatures, Steps, Text, When
from pipeline.documents.catalogue import LANGUAGE, text
from pipeline.documents.fields import label
from pipeline.documents.layouts.layout import Layout
from pipeline.documents.texts import Texts
from pipeline.documents.view import View

_PLACEHOLDER = re.compile(r"\{(\w+)\.(\w+)\}")


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a header row: the headings, and the texts of each line."""

    heads: tuple[str, ...]
    lines: tuple[tuple[str, ...], ...]


@dataclass(slots=True)
class Expected:
    """What a document must print: pairs of label and value, tables, headings, and values within sentences."""

    pairs: list[tuple[str, str]] = field(default_factory=list)
    tables: list[Table] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    language: str = LANGUAGE

    def texts(self) -> Iterator[str]:
        """Every text that takes something from the job, as often as it is printed."""
        yield from self.headings
        yield from self.words
        yield from (value for _, value in self.pairs)
        yield from (value for table in self.tables for line in table.lines for value in line)


def expected(layout: Layout, view: View) -> Expected:
    """What a document must print for a job."""
    found = Expected(language=layout.language, headings=[layout.title])
    _expand(layout.blocks, view.in_language(layout.language), {}, found)
    return found


def _expand(blocks: tuple[Block, ...], view: View, each: Mapping[str, Texts], found: Expected) -> None:
    """Add what blocks print; `each` holds the row of the surrounding `Each` under its list's name and `EACH`."""
    for block in blocks:
        match block:
            case Each():
                for row in view.lists[block.rows]:
                    found.headings.append(row[block.title])
                    _expand(block.blocks, view, {EACH: row, block.rows: row}, found)
            case When() if view.has(block.rows):
                _expand(block.blocks, view, each, found)
            case Pairs():
                name, row = _row(block.row, view, each)
                found.pairs += [
                    (label(name, each_field, found.language), row[each_field]) for each_field in block.fields
                ]
            case Grid() | Signatures():
                found.tables += _tables(block, view, each, found.language)
            case Text() | Notice() | Steps():
                keys = (block.key,) if isinstance(block, Text) else block.keys
                found.words += [value for key in keys for value in _values(text(key, found.language), view, each)]


def _row(name: str, view: View, each: Mapping[str, Texts]) -> tuple[str, Texts]:
    """A single row of the view, or that of the surrounding `Each`, with the name of its fields."""
    if name == EACH:
        rows = next(key for key in each if key != EACH)
        return rows, each[EACH]
    return name, view.single[name]


def _tables(block: Grid | Signatures, view: View, each: Mapping[str, Texts], language: str) -> Iterator[Table]:
    """The table of a grid with the lines that belong where it stands; none without lines."""
    within = block.within if isinstance(block, Grid) else ()
    lines = [row for row in view.lists[block.rows] if all(row[name] == each[EACH][name] for name in within)]
    fields = [column.field for column in block.columns]
    heads = tuple(label(block.rows, name, language) for name in fields)
    if lines:
        yield Table(heads, tuple(tuple(row[name] for name in fields) for row in lines))


def _values(words: str, view: View, each: Mapping[str, Texts]) -> Iterator[str]:
    """The values that a text of the catalogue takes from the job."""
    for name, each_field in _PLACEHOLDER.findall(words):
        yield _row(name, view, each)[1][each_field]
