"""A finished PDF read back with PDFium: the tagged texts with their places on the page, tables cell by cell.

PDFium took no part in the writing, so what it reads is what other readers will see.
"""

import ctypes
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache, lru_cache
from typing import Any

Path = tuple[int, ...]

# PDFium's signs for a hyphen at the end of a line, and the soft hyphen itself
_HYPHENS = str.maketrans({"\x02": "-", "\ufffe": "-", "\u00ad": "-", "\u200b": None, "\x00": "\ufffd"})
# bytes that nearly every text fits in, kept for all of them
_ROOM = 2048
_BUFFER = (ctypes.c_ushort * (_ROOM // 2))()
_HEADINGS = frozenset({"H", "H1", "H2", "H3", "H4", "H5", "H6"})


@lru_cache(maxsize=1 << 16)
def flat(text: str) -> str:
    """A text without any white space, in one spelling: what two readings of the same words have in common."""
    return "".join(unicodedata.normalize("NFC", text.translate(_HYPHENS)).split())


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of text on a page, with its box in points from the lower left corner."""

    page: int
    text: str
    left: float
    below: float
    right: float
    above: float


@dataclass(slots=True)
class Cell:
    """A cell of a table; it may run over a page break."""

    pieces: list[Piece] = field(default_factory=list)

    @property
    def text(self) -> str:
        """Its text without white space."""
        return flat("".join(piece.text for piece in self.pieces))

    @property
    def shown(self) -> str:
        """Its text for people."""
        return " ".join(" ".join(piece.text.translate(_HYPHENS).strip() for piece in self.pieces).split())


@dataclass(slots=True)
class Line:
    """A row of a table: its cells by column, and whether they are tagged as header cells."""

    cells: dict[int, Cell] = field(default_factory=dict)
    header: bool = False

    @property
    def texts(self) -> tuple[str, ...]:
        """The texts of all columns up to the last cell, without white space."""
        return tuple(self.cell(column).text for column in range(max(self.cells, default=-1) + 1))

    def cell(self, column: int) -> Cell:
        """The cell of a column; an empty one where nothing is printed."""
        return self.cells.get(column, Cell())


@dataclass(slots=True)
class Section:
    """The tagged content of one document of the pack."""

    pages: set[int] = field(default_factory=set)
    pieces: list[Piece] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)
    tables: dict[Path, dict[Path, Line]] = field(default_factory=dict)

    @property
    def text(self) -> str:
        """All its text without white space."""
        return flat("".join(piece.text for piece in self.pieces))

    def lines(self) -> list[list[Line]]:
        """Its tables in order, each as its rows in order."""
        return [[rows[path] for path in sorted(rows)] for _, rows in sorted(self.tables.items())]


@dataclass(slots=True)
class Reading:
    """A whole PDF: its documents in order, the size of each page, and what stands outside the tags.

    `starts` has the titles at the top of the outline, each with the index of its page.
    """

    sections: dict[int, Section] = field(default_factory=dict)
    sizes: list[tuple[float, float]] = field(default_factory=list)
    artifacts: list[Piece] = field(default_factory=list)
    starts: list[tuple[str, int]] = field(default_factory=list)

    def in_order(self) -> list[Section]:
        """The documents in the order of the pack."""
        return [self.sections[place] for place in sorted(self.sections)]


def pages_of(pdf: bytes) -> int:
    """How many pages a PDF has."""
    import pypdfium2  # noqa: PLC0415

    with pypdfium2.PdfDocument(pdf) as document:  # type: ignore[no-untyped-call]
        return len(document)


def read(pdf: bytes) -> Reading:
    """Read a whole PDF; raises `pypdfium2.PdfiumError` when it cannot be opened."""
    import pypdfium2  # noqa: PLC0415

    reading = Reading()
    with pypdfium2.PdfDocument(pdf) as document:  # type: ignore[no-untyped-call]
        for entry in document.get_toc():
            place = entry.get_dest() if entry.level == 0 else None
            # a page that was put in the place of another leaves an entry that leads nowhere
            if place is not None and (page := place.get_index()) is not None:
                reading.starts.append((entry.get_title(), page))
        for number in range(len(document)):
            page = document[number]
            reading.sizes.append(page.get_size())
            _read_page(page, number, reading)
            page.close()
    return reading


def _read_page(page: Any, number: int, reading: Reading) -> None:
    """Add one page to the reading."""
    raw = _pdfium()
    pieces: dict[int, list[Piece]] = {}
    for mark, piece in _pieces(page, number):
        if mark < 0:
            reading.artifacts.append(piece)
        else:
            pieces.setdefault(mark, []).append(piece)
    tree = raw.FPDF_StructTree_GetForPage(page.raw)
    try:
        for place in range(raw.FPDF_StructTree_CountChildren(tree)):
            top = raw.FPDF_StructTree_GetChildAtIndex(tree, place)
            if top:
                _Walk(raw, number, pieces, reading).visit(top, (place,), None, None)
    finally:
        raw.FPDF_StructTree_Close(tree)
    # marked, but not in the tree: nobody would hear it
    reading.artifacts += [piece for left in pieces.values() for piece in left]


def _pieces(page: Any, number: int) -> Iterator[tuple[int, Piece]]:
    """Every text object of a page with the number of its marked content, -1 for none."""
    raw = _pdfium()
    words = page.get_textpage()
    left, below, right, above = (ctypes.c_float() for _ in range(4))
    wanted, kind, bounds, mark = (
        raw.FPDF_PAGEOBJ_TEXT,
        raw.FPDFPageObj_GetType,
        raw.FPDFPageObj_GetBounds,
        raw.FPDFPageObj_GetMarkedContentID,
    )
    for place in range(raw.FPDFPage_CountObjects(page.raw)):
        item = raw.FPDFPage_GetObject(page.raw, place)
        if kind(item) == wanted:
            bounds(item, left, below, right, above)
            text = _string(raw.FPDFTextObj_GetText, item, words.raw)
            yield mark(item), Piece(number, text, left.value, below.value, right.value, above.value)
    words.close()


@cache
def _pdfium() -> Any:
    """The functions of PDFium as they are in C; they are made at import, so no type checker knows them."""
    from pypdfium2 import raw  # noqa: PLC0415

    return raw


def _string(asked: Any, *about: Any) -> str:
    """What a function of PDFium writes as a string, in a buffer that most fit in, else in one as large as it asks."""
    buffer = _BUFFER
    size = asked(*about, buffer, _ROOM)
    if size > _ROOM:
        buffer = (ctypes.c_ushort * (size // 2))()
        asked(*about, buffer, size)
    return ctypes.string_at(buffer, size).decode("utf-16-le", errors="replace").rstrip("\0")


@dataclass(slots=True)
class _Walk:
    """One walk down the structure of a page; a path of child numbers names the same element on every page."""

    raw: Any
    page: int
    pieces: dict[int, list[Piece]]
    reading: Reading

    def visit(self, element: Any, path: Path, rows: dict[Path, Line] | None, cell: Cell | None) -> None:
        """Visit an element below the table and the cell in which it stands, if any."""
        kind = self._kind(element)
        section = self._section(path)
        before = len(section.pieces)
        if kind == "Table":
            rows, cell = section.tables.setdefault(path, {}), None
        elif kind in {"TD", "TH"} and rows is not None:
            line = rows.setdefault(path[:-1], Line())
            line.header |= kind == "TH"
            cell = line.cells.setdefault(path[-1], Cell())
        for place in range(self.raw.FPDF_StructElement_CountChildren(element)):
            child = self.raw.FPDF_StructElement_GetChildAtIndex(element, place)
            if child:
                self.visit(child, (*path, place), rows, cell)
            else:
                self._take(self.raw.FPDF_StructElement_GetChildMarkedContentID(element, place), section, cell)
        if kind in _HEADINGS:
            section.headings.append(flat("".join(piece.text for piece in section.pieces[before:])))

    def _take(self, mark: int, section: Section, cell: Cell | None) -> None:
        """Give the texts of one marked content to its section and its cell."""
        found = self.pieces.pop(mark, [])
        section.pieces += found
        if found:
            section.pages.add(self.page)
        if cell is not None:
            cell.pieces += found

    def _section(self, path: Path) -> Section:
        """The section of an element: the second number of its path, below the one Document."""
        return self.reading.sections.setdefault(path[1] if len(path) > 1 else 0, Section())

    def _kind(self, element: Any) -> str:
        """The element's standard type."""
        return _string(self.raw.FPDF_StructElement_GetType, element)
