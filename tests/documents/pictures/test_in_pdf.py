"""The pictures inside a Word document, as LibreOffice turns it into PDF/A-3: converted once for all tests here."""

import io
import os
from collections.abc import Iterator
from functools import cache

import pikepdf
import pypdfium2
import pytest
from docx import Document
from docx.shared import Mm

from pipeline.documents.pictures import NOTICE_SYMBOLS, Picture, margin_chart, notice_symbol, single_line_diagram
from pipeline.documents.pour import Image, pour
from pipeline.errors import MachineError
from pipeline.pack.conformance import failures
from pipeline.pack.metadata import Claim
from pipeline.tools.libreoffice import Office
from tests.documents.pictures.plant import Letters, car_park, garage, letters_of

pytestmark = [pytest.mark.long, pytest.mark.xdist_group("pictures in a pdf")]

MARGIN_MM = 18
MM = 72 / 25.4


@cache
def pictures() -> tuple[Picture, ...]:
    rows = garage()
    checks = {"rule": "loop", "subject": "Supply", "verdict": "fail", "message": "", "places": []}
    rows["findings"] = [checks | {"calculation": {"result": "1 Ω", "limit": "0.5 Ω", "margin": -100.0}}]
    signs = [notice_symbol(name) for name in NOTICE_SYMBOLS]
    return (*single_line_diagram(rows), *single_line_diagram(car_park()), *margin_chart(rows), *signs)


def document() -> bytes:
    """A landscape document with one picture a page."""
    blank, stream = Document(), io.BytesIO()
    page = blank.sections[0]
    page.page_width, page.page_height = Mm(297), Mm(210)
    page.left_margin = page.right_margin = page.top_margin = page.bottom_margin = Mm(MARGIN_MM)
    for number in range(len(pictures())):
        blank.add_paragraph(f"{{{{ p{number} }}}}").paragraph_format.page_break_before = True
    blank.save(stream)
    images = {
        f"p{number}": Image(each.data, each.suffix, each.width_mm, each.height_mm, each.alt)
        for number, each in enumerate(pictures())
    }
    return pour("pictures", stream.getvalue(), images)


@pytest.fixture(scope="module")
def pdf() -> bytes:
    try:
        office = Office(workers=1)
    except MachineError as missing:
        if os.environ.get("CI"):
            raise
        pytest.skip(missing.message)
    with office:
        made = office.convert({"pictures": document()})["pictures"]
    assert isinstance(made, bytes), made
    return made


def texts_on(page: pypdfium2.PdfPage) -> Iterator[tuple[str, float, float]]:
    """Pieces of text with their left end and the middle of their height in millimetres from the upper left corner."""
    height, words = page.get_height(), page.get_textpage()
    for index in range(words.count_rects()):
        left, bottom, right, top = words.get_rect(index)
        yield words.get_text_bounded(left, bottom, right, top), left / MM, (height - (bottom + top) / 2) / MM


def is_at(letters: Letters, piece: tuple[str, float, float]) -> bool:
    """Whether a piece of the page lies where a text was drawn, and belongs to it."""
    text, left, middle = piece
    x, y = letters.x + MARGIN_MM, letters.y + MARGIN_MM
    begins = letters.text.split()[0]
    return abs(left - x) < 1 and y - 3.2 < middle < y + 0.6 and begins[:4] in text


def test_every_text_is_found_on_its_page_at_its_place(pdf: bytes) -> None:
    opened = pypdfium2.PdfDocument(pdf)
    assert len(opened) == len(pictures())
    for number, picture in enumerate(pictures()):
        pieces = list(texts_on(opened[number]))
        whole = " ".join(opened[number].get_textpage().get_text_bounded().split())
        for letters in letters_of(picture):
            assert letters.text in whole
            assert any(is_at(letters, piece) for piece in pieces), letters


def test_only_the_one_face_is_embedded(pdf: bytes) -> None:
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        fonts = [each for each in opened.objects if isinstance(each, pikepdf.Dictionary) and "/FontFile2" in each]
        names = {str(each.FontName).split("+")[1] for each in fonts}
    assert names == {"LiberationSans", "LiberationSans-Bold"}


def test_lines_stay_lines_without_transparency_or_pixels(pdf: bytes) -> None:
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        for each in opened.objects:
            if isinstance(each, pikepdf.Dictionary | pikepdf.Stream):
                assert each.get("/Subtype") != "/Image"
                assert "/SMask" not in each
                assert "/ca" not in each


def test_each_picture_is_one_figure_with_its_words(pdf: bytes) -> None:
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        figures = [
            str(each.Alt)
            for each in opened.objects
            if isinstance(each, pikepdf.Dictionary) and each.get("/S") == "/Figure"
        ]
    assert sorted(figures) == sorted(each.alt for each in pictures())


def test_it_keeps_the_archive_standard(pdf: bytes) -> None:
    assert failures(pdf, Claim(level="B", accessible=False)) == ()
