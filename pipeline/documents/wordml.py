"""The few pieces of WordprocessingML (ECMA-376, part 1) that our documents are made of, as text."""

from collections.abc import Iterable, Sequence
from xml.sax.saxutils import escape

from pipeline.documents.subscripts import pieces

WORDS = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"
RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
NAMESPACES = f'xmlns:w="{WORDS}" xmlns:r="{RELATIONS}"'
DECLARATION = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'

RULE = "8C8C8C"
_HAIRLINE = f'w:val="single" w:sz="4" w:space="0" w:color="{RULE}"'
_LINES = f"<w:bottom {_HAIRLINE}/><w:insideH {_HAIRLINE}/>"
_BOX = 'w:val="single" w:sz="12" w:space="0" w:color="000000"'
_CUT = '<w:{side} w:val="dashed" w:sz="8" w:space="0" w:color="000000"/>'
SUBSCRIPT = '<w:rPr><w:vertAlign w:val="subscript"/></w:rPr>'
# room inside a cell in twentieths of a point: above and below, left, right
_ROOM = (28, 0, 170)
_CUT_ROOM = (113, 170, 170)


def twips(millimetres: float) -> int:
    """Twentieths of a point."""
    return round(millimetres * 1440 / 25.4)


def run(text: str) -> str:
    """Text in the style of its paragraph, its tabs and subscripts included."""
    return "".join(_run(part, lower=lower) for part, lower in pieces(text))


def _run(text: str, *, lower: bool) -> str:
    """One run of text, on the line or below it."""
    parts = [f'<w:t xml:space="preserve">{escape(part)}</w:t>' for part in text.split("\t")]
    return f"<w:r>{SUBSCRIPT if lower else ''}{'<w:tab/>'.join(parts)}</w:r>"


def paragraph(text: str, style: str, more: str = "") -> str:
    """A paragraph in a named style; `more` are further paragraph properties."""
    return f'<w:p><w:pPr><w:pStyle w:val="{style}"/>{more}</w:pPr>{run(text) if text else ""}</w:p>'


def heading(text: str, level: int, *, new_page: bool = False) -> str:
    """A heading, at the top of a new page where asked for."""
    return paragraph(text, f"Heading{level}", "<w:pageBreakBefore/>" if new_page else "")


def tag(instruction: str) -> str:
    """A paragraph that only carries an instruction to the merge and vanishes with it."""
    return paragraph(f"{{%p {instruction} %}}", "Normal")


def cell(content: str, width: float, *, span: int = 1, centred: bool = False, boxed: bool = False) -> str:
    """A table cell of a width in millimetres around paragraphs; a boxed one has thick lines all around."""
    spans = f'<w:gridSpan w:val="{span}"/>' if span > 1 else ""
    sides = "".join(f"<w:{side} {_BOX}/>" for side in ("top", "left", "bottom", "right"))
    box = f"<w:tcBorders>{sides}</w:tcBorders>" if boxed else ""
    middle = '<w:vAlign w:val="center"/>' if centred else ""
    return f'<w:tc><w:tcPr><w:tcW w:w="{twips(width)}" w:type="dxa"/>{spans}{box}{middle}</w:tcPr>{content}</w:tc>'


def row(cells: Iterable[str], *, header: bool = False, height: float = 0) -> str:
    """A table row that is never split over pages; a header row is repeated on each."""
    tall = f'<w:trHeight w:val="{twips(height)}" w:hRule="atLeast"/>' if height else ""
    repeated = "<w:tblHeader/>" if header else ""
    return f"<w:tr><w:trPr><w:cantSplit/>{tall}{repeated}</w:trPr>{''.join(cells)}</w:tr>"


def repeat(instruction: str, width: float) -> str:
    """A row that only carries an instruction to the merge and vanishes with it."""
    return row([cell(paragraph(f"{{%tr {instruction} %}}", "Cell"), width)])


def table(rows: Sequence[str], widths: Sequence[float], *, cut: bool = False) -> str:
    """A table of fixed columns with thin lines between its rows, or one to cut out along a broken line."""
    sides = "".join(_CUT.format(side=side) for side in ("top", "left", "bottom", "right"))
    above, left, right = _CUT_ROOM if cut else _ROOM
    room = "".join(
        f'<w:{side} w:w="{size}" w:type="dxa"/>'
        for side, size in (("top", above), ("left", left), ("bottom", above), ("right", right))
    )
    grid = "".join(f'<w:gridCol w:w="{twips(width)}"/>' for width in widths)
    return (
        f'<w:tbl><w:tblPr><w:tblW w:w="{sum(map(twips, widths))}" w:type="dxa"/>'
        f"<w:tblBorders>{sides if cut else _LINES}</w:tblBorders>"
        f'<w:tblLayout w:type="fixed"/><w:tblCellMar>{room}</w:tblCellMar></w:tblPr>'
        f"<w:tblGrid>{grid}</w:tblGrid>{''.join(rows)}</w:tbl>{paragraph('', 'Gap')}"
    )
