"""The Word templates: rebuilt byte for byte, readable by others, built for print and for those who cannot see."""

import io
import re
from pathlib import Path

import docx
import pytest

from pipeline.documents.layouts import LAYOUTS
from pipeline.documents.package import packed, unpacked
from pipeline.documents.templates import templates, write

SUPPLIED = Path(__file__).parents[2] / "templates"
DOCUMENTS = pytest.mark.parametrize("document", LAYOUTS)


@pytest.fixture(scope="module")
def built() -> dict[str, bytes]:
    return templates()


def part(content: bytes, name: str = "word/document.xml") -> str:
    return unpacked(content)[name].decode()


@DOCUMENTS
def test_the_supplied_template_is_what_the_layout_gives(built: dict[str, bytes], document: str):
    assert (SUPPLIED / LAYOUTS[document].language / f"{document}.docx").read_bytes() == built[document], (
        "rebuild with: handover templates --write"
    )


def test_no_template_is_left_over():
    assert {path.stem for path in SUPPLIED.rglob("*.docx")} == LAYOUTS.keys()


def test_writing_gives_one_file_a_document(tmp_path: Path):
    assert write(tmp_path / "new") == len(LAYOUTS)
    assert {path.stem for path in (tmp_path / "new").rglob("*.docx")} == LAYOUTS.keys()


@DOCUMENTS
def test_another_reader_opens_it_and_finds_headings_and_the_language(built: dict[str, bytes], document: str):
    read = docx.Document(io.BytesIO(built[document]))
    assert read.paragraphs[0].style.name == "Heading 1"
    assert read.core_properties.language == LAYOUTS[document].locale
    assert f'w:lang w:val="{LAYOUTS[document].locale}"' in part(built[document], "word/styles.xml")


@DOCUMENTS
def test_no_row_is_split_and_every_grid_repeats_its_heading(built: dict[str, bytes], document: str):
    body = part(built[document])
    assert body.count("<w:cantSplit/>") == len(re.findall(r"<w:tr[ >]", body))
    assert body.count("<w:tblHeader/>") == body.count("{%tr for line in")


@DOCUMENTS
def test_columns_have_fixed_widths_that_add_up(built: dict[str, bytes], document: str):
    body = part(built[document])
    for found in re.findall(r"<w:tbl>.*?</w:tbl>", body):
        assert '<w:tblLayout w:type="fixed"/>' in found
        total = sum(map(int, re.findall(r'gridCol w:w="(\d+)"', found)))
        assert str(total) == re.search(r'<w:tblW w:w="(\d+)"', found)[1]


@DOCUMENTS
def test_there_is_one_typeface_in_three_sizes(built: dict[str, bytes], document: str):
    every = "".join(content.decode() for content in unpacked(built[document]).values())
    faces = "".join(re.findall(r"<w:rFonts [^>]*>", every))
    assert set(re.findall(r'"([^"]+)"', faces)) == {"Liberation Sans"}
    assert len(set(re.findall(r'<w:sz w:val="(\d+)"', every)) - {"4"}) == 3  # the gap between tables has no text


@DOCUMENTS
def test_the_right_end_of_the_footer_is_free_for_page_numbers(built: dict[str, bytes], document: str):
    assert '<w:ind w:right="3402"/>' in part(built[document], "word/styles.xml")  # 60 mm


def test_equal_parts_give_equal_bytes_and_come_back():
    parts = {"b.xml": b"<b/>", "a.jpg": b"\xff"}
    assert packed(parts) == packed(dict(parts))
    assert list(unpacked(packed(parts)).items()) == list(parts.items())


@DOCUMENTS
def test_every_measure_is_a_number(built: dict[str, bytes], document: str):
    every = "".join(content.decode() for content in unpacked(built[document]).values())
    assert all(re.fullmatch(r"-?\d+", size) for size in re.findall(r'w:(?:pos|w|before|after|line)="([^"]*)"', every))
