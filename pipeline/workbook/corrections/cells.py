"""Cells and ranges in letters, put together where they lie side by side."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from itertools import groupby

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding
from pipeline.workbook.columns import letter
from pipeline.workbook.sheet_xml import LAST_COLUMN, LAST_ROW

ADDRESS = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})(?::([A-Z]{1,3})([1-9][0-9]{0,6}))?")


def first_cell(address: str) -> str:
    """The first cell of a range; nothing for what is no address of a sheet."""
    match = ADDRESS.fullmatch(address)
    return f"{match[1]}{match[2]}" if match and _inside(match) else ""


def _inside(match: re.Match[str]) -> bool:
    """Whether an address lies on a sheet at all."""
    columns, rows = (match[1], match[3] or match[1]), (int(match[2]), int(match[4] or match[2]))
    return max(rows) <= LAST_ROW and max(number_of(each) for each in columns) <= LAST_COLUMN


def number_of(letters: str) -> int:
    """The number of a column."""
    number = 0
    for each in letters:
        number = number * 26 + ord(each) - 64
    return number


DEFAULTS = "Defaults"


def where(finding: Finding) -> str:
    """The cells of a finding, those that a person typed for this row first; a default is named as what it is."""
    cells = joined(finding.places)
    typed = "; ".join(_on_one_sheet(each for each in cells if each.sheet != DEFAULTS))
    filled = ", ".join(each.cell for each in cells if each.sheet == DEFAULTS)
    if not filled:
        return typed
    return f"{typed} (and set on the sheet {DEFAULTS}: {filled})" if typed else f"{DEFAULTS} {filled}, set for all jobs"


def _on_one_sheet(places: Iterable[Place]) -> Iterator[str]:
    """Places with the sheet named once for those that follow each other."""
    for sheet, together in groupby(places, key=lambda each: each.sheet):
        yield f"{sheet} {', '.join(each.cell for each in together)}".rstrip()


def joined(places: Iterable[Place]) -> tuple[Place, ...]:
    """Places by where each first stands; single cells side by side, in a row or down a column, become one range."""
    found: list[Place] = []
    for sheet, together in groupby(dict.fromkeys(places), key=lambda each: each.sheet):
        cells = [each.cell for each in together]
        order = {cell: nth for nth, cell in enumerate(cells)}
        # what was named first leads, wherever it stands on the sheet
        rank = {
            each: min(order.get(cell, len(order)) for cell in (each, *cells_of(each))) for each in join_cells(cells)
        }
        found += [Place(sheet, each) for each in sorted(rank, key=rank.__getitem__)]
    return tuple(found)


def cells_of(address: str) -> Iterator[str]:
    """The single cells of an address."""
    match = ADDRESS.fullmatch(address)
    if match is None:
        yield address
        return
    right, bottom = match[3] or match[1], int(match[4] or match[2])
    for row in range(int(match[2]), bottom + 1):
        for column in range(number_of(match[1]), number_of(right) + 1):
            yield f"{letter(column)}{row}"


def join_cells(cells: Iterable[str]) -> list[str]:
    """Addresses with neighbours put together: first along the rows, then down the columns."""
    other: list[str] = []
    rows: dict[int, list[int]] = defaultdict(list)
    for cell in dict.fromkeys(cells):
        match = ADDRESS.fullmatch(cell)
        if match and not match[3]:
            rows[int(match[2])].append(number_of(match[1]))
        else:
            other.append(cell)
    spans: dict[tuple[int, int], list[int]] = defaultdict(list)
    for row, columns in rows.items():
        for first, last in _runs(columns):
            spans[first, last].append(row)
    for (left, right), numbers in spans.items():
        for top, bottom in _runs(numbers):
            start, end = f"{letter(left)}{top}", f"{letter(right)}{bottom}"
            other.append(start if start == end else f"{start}:{end}")
    return other


def _runs(numbers: Iterable[int]) -> Iterator[tuple[int, int]]:
    """First and last of each run of numbers that follow each other."""
    for _, run in groupby(enumerate(sorted(numbers)), key=lambda pair: pair[1] - pair[0]):
        together = [number for _, number in run]
        yield together[0], together[-1]
