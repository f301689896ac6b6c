"""Whether tags tell the truth about places: cells of a row stand side by side, columns one beside the other.

Tags alone could put a value into another cell than the one in which the eye sees it.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from pipeline.pack.reading import Line, Piece

# in points: how far boxes of letters may reach into each other (accents, descenders, slanted letters)
_SLACK = 3.0

Span = tuple[float, float]


def misplaced(lines: Sequence[Line]) -> list[str]:
    """Rows and columns of a table that overlap on the page though their tags keep them apart."""
    return [*_rows(lines), *_columns(lines)]


def _rows(lines: Sequence[Line]) -> Iterator[str]:
    """Rows that do not stand below one another."""
    last: dict[int, tuple[Span, Line]] = {}
    for line in lines:
        for page, pieces in _by_page(piece for cell in line.cells.values() for piece in cell.pieces).items():
            span = _span((piece.below, piece.above) for piece in pieces)
            above = last.get(page)
            if above and span[1] > above[0][0] + _SLACK:
                yield f"On page {page + 1} the row {_name(line)} does not stand below the row {_name(above[1])}."
            last[page] = span, line


def _columns(lines: Sequence[Line]) -> Iterator[str]:
    """Cells that reach into the column to their right; only rows with as many cells as the first one count."""
    width = max(lines[0].cells, default=0) if lines else 0
    spans: dict[int, list[tuple[Span, Line]]] = defaultdict(list)
    for line in lines:
        if max(line.cells, default=0) == width:
            for column, cell in line.cells.items():
                if cell.pieces:
                    spans[column].append((_span((piece.left, piece.right) for piece in cell.pieces), line))
    edges = {column: max(span[1] for span, _ in found) for column, found in spans.items()}
    for column in sorted(spans)[1:]:
        left = max(other for other in spans if other < column)
        for span, line in spans[column]:
            if span[0] < edges[left] - _SLACK:
                yield f"In the row {_name(line)} the text of column {column + 1} does not stand in its column."


def _by_page(pieces: Iterable[Piece]) -> dict[int, list[Piece]]:
    """Pieces by the page on which they stand."""
    pages: dict[int, list[Piece]] = defaultdict(list)
    for piece in pieces:
        pages[piece.page].append(piece)
    return pages


def _span(ranges: Iterable[Span]) -> Span:
    """From the least to the greatest."""
    both = list(ranges)
    return min(low for low, _ in both), max(high for _, high in both)


def _name(line: Line) -> str:
    """A row by its first text."""
    return next((text for text in line.texts if text), "without text")
