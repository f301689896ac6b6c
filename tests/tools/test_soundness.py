import io
import zipfile

import pikepdf

from pipeline.tools.soundness import pdf_trouble, word_trouble
from tests.pack.samples import SAMPLES

GOOD = SAMPLES["certificate"]


def test_a_word_file_is_sound():
    assert word_trouble(GOOD) == ""


def test_an_empty_or_cut_word_file_is_not():
    assert word_trouble(b"")
    assert word_trouble(GOOD[: len(GOOD) // 2])


def test_a_flipped_bit_in_a_part_is_found():
    with zipfile.ZipFile(io.BytesIO(GOOD)) as archive:
        start = archive.getinfo("word/document.xml").header_offset + 200
    bad = bytearray(GOOD)
    bad[start] ^= 1
    assert word_trouble(bytes(bad))


def test_a_text_part_that_is_no_xml_is_found():
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("word/document.xml", "<document>&</document>")
    assert "cannot be read" in word_trouble(stream.getvalue())


def test_a_container_without_a_text_part_is_found():
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("other.xml", "<a/>")
    assert word_trouble(stream.getvalue()) == "it has no text part"


def kept(folder, content):
    path = folder / "it.pdf"
    path.write_bytes(content)
    return path


def test_a_pdf_needs_a_page_and_its_end(tmp_path):
    stream = io.BytesIO()
    with pikepdf.Pdf.new() as pdf:
        pdf.save(stream)
        assert pdf_trouble(kept(tmp_path, stream.getvalue())) == "it has no page"
        pdf.add_blank_page()
        whole = io.BytesIO()
        pdf.save(whole)
    assert pdf_trouble(kept(tmp_path, whole.getvalue())) == ""
    assert pdf_trouble(kept(tmp_path, whole.getvalue()[:200]))
    assert pdf_trouble(kept(tmp_path, b""))
