"""The letter of a verification: one page for whoever only wants the result, the exceptions and the sample after it."""

import io
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from pipeline.audit.results import Verification
from pipeline.audit.words import NOT_PROVED, QUICK, exception_rows, meanings, risk_rows, sample_words, summary, verdict

if TYPE_CHECKING:
    from docx.document import Document

_FONT = "Liberation Sans"
_SIZE, _SMALL, _LARGE = 9, 8, 14
_SHOWN = 200
_UNPRINTABLE = dict.fromkeys(each for each in range(32) if each not in {9, 10})


def letter(found: Verification) -> bytes:
    """The letter as a Word file."""
    document = _blank()
    _line(document, "Verification of handover packs", size=_LARGE, bold=True)
    _line(document, verdict(found), bold=True)
    _table(document, summary(found), (4.0, 13.5))
    _line(document, "Verified on (day) by (name, signature): " + "." * 90)
    _line(document, "What this does not prove", bold=True)
    for each in NOT_PROVED if found.full else (QUICK, *NOT_PROVED):
        _line(document, f"• {each}", size=_SMALL)
    for each in found.notes[:8]:
        _line(document, f"Note: {each}", size=_SMALL)
    if found.faults:
        _page(document, "Exceptions")
        rows = list(exception_rows(found))
        _table(document, [("Word", "Where", "What is the case"), *rows[:_SHOWN]], (2.8, 5.2, 9.5))
        if len(rows) > _SHOWN:
            _line(document, f"{len(rows) - _SHOWN} more are in the workbook.", bold=True)
        _line(document, "What the words mean, and who may act on it", bold=True)
        _table(document, meanings(found.faults), (4.0, 8.0, 5.5))
    if found.sample:
        _page(document, "For the visit to site")
        _line(document, sample_words(found), size=_SMALL)
        drawn = [
            (str(place), each.pack, f"{each.board} / {each.circuit}", "") for place, each in enumerate(found.sample, 1)
        ]
        _table(document, [("Drawn", "Pack", "Circuit", "As found on site"), *drawn], (1.5, 2.5, 5.0, 8.5))
        _line(document, "Packs to look at besides", bold=True)
        _table(document, risk_rows(found), (2.5, 15.0))
    target = io.BytesIO()
    document.save(target)
    return target.getvalue()


def _blank() -> "Document":
    """An empty page of A4 in the one typeface."""
    from docx import Document  # noqa: PLC0415
    from docx.oxml.ns import qn  # noqa: PLC0415
    from docx.shared import Cm, Pt  # noqa: PLC0415

    document = Document()
    style: Any = document.styles["Normal"]
    style.font.name, style.font.size = _FONT, Pt(_SIZE)
    style.element.rPr.rFonts.set(qn("w:eastAsia"), _FONT)
    style.paragraph_format.space_after = Pt(3)
    page = document.sections[0]
    page.page_width, page.page_height = Cm(21.0), Cm(29.7)
    page.left_margin = page.right_margin = Cm(1.75)
    page.top_margin = page.bottom_margin = Cm(1.75)
    document.core_properties.title = "Verification of handover packs"
    document.core_properties.author = ""
    return document


def _line(document: "Document", text: str, *, size: int = _SIZE, bold: bool = False) -> None:
    """One paragraph."""
    from docx.shared import Pt  # noqa: PLC0415

    run = document.add_paragraph().add_run(text.translate(_UNPRINTABLE))
    run.font.size, run.bold = Pt(size), bold


def _page(document: "Document", title: str) -> None:
    """A new page with its title."""
    _line(document, title, size=_LARGE, bold=True)
    document.paragraphs[-1].paragraph_format.page_break_before = True


def _table(document: "Document", rows: Iterable[Sequence[str]], widths: Sequence[float]) -> None:
    """A plain table with fixed widths in centimetres."""
    from docx.shared import Cm, Pt  # noqa: PLC0415

    table = document.add_table(rows=0, cols=len(widths), style="Table Grid")
    table.autofit = False
    for column, width in zip(table.columns, widths, strict=True):
        column.width = Cm(width)  # what LibreOffice goes by; Word goes by the cells
    for texts in rows:
        for cell, text, width in zip(table.add_row().cells, texts, widths, strict=True):
            cell.width = Cm(width)
            paragraph = cell.paragraphs[0]
            paragraph.add_run(text.translate(_UNPRINTABLE)).font.size = Pt(_SMALL)
            paragraph.paragraph_format.space_after = Pt(0)
    document.add_paragraph().paragraph_format.space_after = Pt(0)
