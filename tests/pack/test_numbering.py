import io

import pikepdf
import pypdf

from pipeline.pack.numbering import _piece, number_pages
from pipeline.pack.reading import read
from pipeline.pack.wholeness import number_problems
from pipeline.tools.fonts import regular
from tests.pack.samples import OFFICE, sample_pack

pytestmark = OFFICE
LETTERS = "page of 0123456789"


def test_every_page_prints_its_number_wide_ones_too():
    pages = pypdf.PdfReader(io.BytesIO(sample_pack())).pages
    for number, page in enumerate(pages, start=1):
        assert f"{number} / {len(pages)}" in page.extract_text()


def test_the_numbers_stand_at_the_bottom_right_outside_the_tags():
    reading = read(sample_pack())
    assert list(number_problems(reading)) == []
    for (width, _), stamp in zip(reading.sizes, (p for p in reading.artifacts if " / " in p.text), strict=True):
        assert abs(width - stamp.right - 20 / 25.4 * 72) < 1
        assert abs(stamp.below - 10 / 25.4 * 72) < 3


def test_a_page_without_its_number_is_named():
    with pikepdf.open(io.BytesIO(sample_pack())) as pdf:
        content = pdf.pages[1].Contents
        pdf.pages[1].Contents = content[:-1]
        changed = io.BytesIO()
        pdf.save(changed)
    assert list(number_problems(read(changed.getvalue()))) == ["Page 2 does not have its number at the bottom right."]


def test_only_the_needed_letters_are_embedded():
    piece = _piece(regular(), LETTERS)
    assert len(piece.file) < 12_000
    assert set(piece.glyphs) == set(LETTERS)
    assert piece.width("0") == piece.width("9")


def test_the_same_font_gives_the_same_bytes():
    first = _piece(regular(), LETTERS).file
    _piece.cache_clear()
    assert _piece(regular(), LETTERS).file == first


def test_a_shifted_page_gets_its_number_inside_its_box():
    with pikepdf.Pdf.new() as pdf:
        pdf.add_blank_page(page_size=(300, 300))
        pdf.pages[0].cropbox = [100, 50, 290, 290]
        number_pages(pdf, regular())
        assert (
            b"78.35 Tm" in pdf.pages[0].Contents[-1].read_bytes()
            if isinstance(pdf.pages[0].Contents, pikepdf.Array)
            else True
        )


def test_the_mark_of_a_draft_stays_on_the_page_upright_and_wide():
    for size in ((595, 842), (842, 595)):
        with pikepdf.Pdf.new() as pdf:
            pdf.add_blank_page(page_size=size)
            number_pages(pdf, regular(), "DRAFT – NOT FOR ISSUE")
            written = io.BytesIO()
            pdf.save(written)
        [mark] = [each for each in read(written.getvalue()).artifacts if "DRAFT" in each.text]
        assert 0 < mark.left < size[0] / 4
        assert size[0] * 3 / 4 < mark.right < size[0]
