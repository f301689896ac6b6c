import io
import re
from functools import cache

import pikepdf
import pypdfium2
import pytest
from docx import Document
from docx.shared import Mm
from PIL import Image

from pipeline.pack.metadata import Claim
from pipeline.pack.pictures import is_empty_figure, restore_pictures
from pipeline.pack.wholeness import claim_of
from pipeline.stages.convert import settle
from pipeline.tools.libreoffice import Office
from tests.pack.samples import OFFICE, converted

pytestmark = OFFICE


@cache
def with_pictures():
    """A document with two pictures on one page and one alone on the next."""
    converted()  # skips where there is no converter
    document = Document()
    for number in range(3):
        stream = io.BytesIO()
        Image.new("RGB", (120, 60), (40 * number, 90, 160)).save(stream, "PNG")
        if number == 2:
            document.add_page_break()
        document.add_picture(stream, width=Mm(40))
        document.inline_shapes[-1]._inline.docPr.set("descr", f"Picture {number}")
    stream = io.BytesIO()
    document.save(stream)
    with Office() as office:
        return office.convert({"pictures": stream.getvalue()})["pictures"]


@pytest.fixture
def restored():
    with pikepdf.open(io.BytesIO(with_pictures())) as pdf:
        restore_pictures(pdf)
        yield pdf


def figures(pdf):
    return [each for each in pdf.objects if isinstance(each, pikepdf.Dictionary) and each.get("/S") == "/Figure"]


def test_each_picture_is_the_content_of_its_own_tag(restored):
    parents = pikepdf.NumberTree(restored.Root.StructTreeRoot.ParentTree)
    pages = {page.obj.objgen: page for page in restored.pages}
    assert len(figures(restored)) == 3
    for figure in figures(restored):
        page = pages[figure.Pg.objgen]
        (mark,) = figure.K
        assert parents[int(page.obj.StructParents)][mark].objgen == figure.objgen
        assert re.search(rb"/Figure <<\s*/MCID %d\s*>> BDC" % mark, page.Contents.read_bytes())


def test_nothing_on_the_page_changes(restored):
    after = io.BytesIO()
    restored.save(after)
    first, second = pypdfium2.PdfDocument(with_pictures()), pypdfium2.PdfDocument(after.getvalue())
    assert len(first) == len(second) == 2
    for one, other in zip(first, second, strict=True):
        assert one.render().to_pil().tobytes() == other.render().to_pil().tobytes()


def test_a_second_time_changes_nothing(restored):
    before = [page.Contents.read_bytes() for page in restored.pages]
    restore_pictures(restored)
    assert [page.Contents.read_bytes() for page in restored.pages] == before


def test_a_picture_whose_drawing_is_not_found_lowers_the_claim():
    with pikepdf.open(io.BytesIO(with_pictures())) as pdf:
        figures(pdf)[0].A.BBox = [0, 0, 1, 1]
        restore_pictures(pdf)
        assert [is_empty_figure(each) for each in figures(pdf)].count(True) == 1
        lost = io.BytesIO()
        pdf.save(lost)
    for content, claim in (
        (lost.getvalue(), Claim("B", accessible=False)),
        (with_pictures(), Claim("A", accessible=True)),
    ):
        with pikepdf.open(io.BytesIO(settle(content, "Pictures", "2026-11-12"))) as pdf:
            assert claim_of(pdf) == claim
