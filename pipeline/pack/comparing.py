"""A document as it was read back against what it must print: every value in its own row and column, nothing more.

Tables are found by the words of their headings and labels, never by where they stand, so that a firm may move
them about in its templates.
"""

import re
from collections.abc import Iterator, Sequence

from pipeline.documents.subscripts import lowered
from pipeline.pack.expecting import Expected, Table
from pipeline.pack.places import misplaced
from pipeline.pack.reading import Cell, Line, Section
from pipeline.pack.reading import flat as _flat

_DIGIT = re.compile(r"\d")

Lines = Sequence[Line]


def flat(text: str) -> str:
    """A text as the reader of pages gives it: without white space, subscripts without their underscore."""
    return _flat(lowered(text))


def differences(section: Section, wanted: Expected) -> list[str]:
    """What a document prints wrongly, leaves out or adds, one plain sentence each."""
    tables = section.lines()
    matched = _match(wanted.tables, tables)
    found: list[str] = []
    for table, place in zip(wanted.tables, matched, strict=True):
        if place is None:
            found.append(f"The table with the columns {_listed(table.heads)} is missing.")
        else:
            found += _grid(table, tables[place])
    rest = [lines for place, lines in enumerate(tables) if place not in matched]
    found += _pairs(wanted.pairs, rest)
    found += [problem for lines in rest for problem in _surplus(lines)]
    found += [problem for lines in tables for problem in misplaced(lines)]
    found += _words(section, wanted)
    return found


def _match(wanted: Sequence[Table], tables: Sequence[Lines]) -> list[int | None]:
    """For each expected table the place of the printed one.

    Tables that share their headings (one for each board) are taken in their order; a table whose headings are not
    quite right stands in for a missing one that it resembles.
    """
    heads = [frozenset(lines[0].texts) if lines else frozenset() for lines in tables]
    groups: dict[frozenset[str], list[int]] = {}
    for number, table in enumerate(wanted):
        groups.setdefault(frozenset(map(flat, table.heads)), []).append(number)
    chosen: list[int | None] = [None] * len(wanted)
    for ours, numbers in groups.items():
        free = [
            place for place in range(len(tables)) if place not in chosen and heads[place] not in groups.keys() - {ours}
        ]
        alike = sorted(
            (place for place in free if _likeness(ours, heads[place])), key=lambda place: -_likeness(ours, heads[place])
        )
        for number, place in zip(numbers, sorted(alike[: len(numbers)]), strict=False):
            chosen[number] = place
    return chosen


def _likeness(ours: frozenset[str], theirs: frozenset[str]) -> float:
    """How much two sets of headings are alike, from 1 to nothing when less than half of ours are there."""
    shared = len(ours & theirs)
    return shared / len(ours | theirs) if 2 * shared > len(ours) else 0.0


def _grid(table: Table, lines: Lines) -> Iterator[str]:
    """What is wrong in one table with a header row."""
    heads = lines[0].texts
    # the header row stands again after a page break
    body = [line for line in lines[1:] if line.texts != heads]
    if len(body) != len(table.lines):
        yield f"The table {_listed(table.heads)} has {len(body)} lines instead of {len(table.lines)}."
    columns: dict[int, int] = {}
    for number, head in enumerate(table.heads):
        column = next((place for place, text in enumerate(heads) if text == flat(head) and place not in columns), None)
        if column is None:
            yield f"The column {head} is missing from the table {_listed(table.heads)}."
        else:
            columns[column] = number
    for number, (line, texts) in enumerate(zip(body, table.lines, strict=False), start=1):
        for column in sorted({*line.cells, *columns}):
            printed = line.cell(column)
            if column not in columns:
                if _DIGIT.search(printed.text):
                    yield f"Line {number} of {_listed(table.heads)} prints {printed.shown}, which is not recorded."
            elif printed.text != flat(texts[columns[column]]):
                yield _wrong(
                    f"{table.heads[columns[column]]} in line {number} ({texts[0]})", printed, texts[columns[column]]
                )


def _pairs(wanted: Sequence[tuple[str, str]], tables: Sequence[Lines]) -> Iterator[str]:
    """What is wrong with labels and the values beside them; a label that stands several times keeps its order."""
    labels: dict[str, tuple[str, list[str]]] = {}
    for label, value in wanted:
        labels.setdefault(flat(label), (label, []))[1].append(value)
    printed: dict[str, list[Cell]] = {label: [] for label in labels}
    for lines in tables:
        for line in lines:
            for label, cell in _beside(line, labels):
                printed[label].append(cell)
    for key, (label, values) in labels.items():
        found = printed[key]
        if len(found) != len(values):
            yield f"The label {label} stands {len(found)} times with a value instead of {len(values)} times."
        for cell, value in zip(found, values, strict=False):
            if cell.text != flat(value):
                yield _wrong(label, cell, value)


def _beside(line: Line, labels: dict[str, tuple[str, list[str]]]) -> Iterator[tuple[str, Cell]]:
    """The labels of a row, each with the cell to its right."""
    texts = line.texts
    column = 0
    while column < len(texts):
        if texts[column] in labels:
            yield texts[column], line.cell(column + 1)
            column += 1
        column += 1


def _surplus(lines: Lines) -> Iterator[str]:
    """Numbers in a table with a header row that nobody expects."""
    if lines and lines[0].header and any(_DIGIT.search(text) for line in lines[1:] for text in line.texts):
        yield f"The table {_listed(lines[0].texts)} prints numbers, but nothing for it is recorded."


def _words(section: Section, wanted: Expected) -> Iterator[str]:
    """Headings that are missing, and values that stand less often than their sentences, cells and headings ask."""
    headings = set(section.headings)
    yield from (f"The heading {heading} is missing." for heading in wanted.headings if flat(heading) not in headings)
    whole, texts = section.text, [flat(text) for text in wanted.texts()]
    for value in dict.fromkeys(wanted.words):
        found, due = whole.count(flat(value)), sum(text.count(flat(value)) for text in texts)
        if found < due:
            yield f"The text {value} stands {found} times instead of {due} times."


def _wrong(place: str, printed: Cell, recorded: str) -> str:
    """One value that differs."""
    return f"{place}: the page prints {printed.shown or 'nothing'}, the record has {recorded or 'nothing'}."


def _listed(heads: Sequence[str]) -> str:
    """The first headings of a table, enough to know it by."""
    return " | ".join(heads[:4]) + (" …" if len(heads) > 4 else "")
