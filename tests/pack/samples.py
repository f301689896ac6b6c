"""Small Word files and the PDFs that LibreOffice makes of them, shared by the tests of one worker."""

import io
import os
from functools import cache

import pytest
from docx import Document
from docx.enum.section import WD_ORIENT
from docx.oxml import OxmlElement
from docx.oxml.ns import qn

from pipeline.documents.package import packed, unpacked
from pipeline.errors import MachineError
from pipeline.orders import Envelope, Order
from pipeline.pack.expecting import Expected, Table
from pipeline.pack.merging import sources
from pipeline.stages.assemble import assemble
from pipeline.tools.libreoffice import Office

# all tests that need the converted samples run in one worker, which converts them once
OFFICE = pytest.mark.xdist_group("office")

HEADS = ("Circuit", "Zs (Ω)", "R1+R2 (Ω)", "RCD time (ms)")
PAIRS = (("Number", "EX-0042"), ("Ze (Ω)", "0.21"), ("Site", "1 Sample Yard & Sons <Ltd>, Anytown"))
ENVELOPE = Envelope("EX-0042", 0, "2026-11-12", "cd" * 32)
RECORD = b'{"job":{"firm":{"name":{"shown":"Example & Sons <Ltd>"}}}}'


def lines(count):
    return tuple((f"EX-0042-{n}", f"{0.5 + n / 100:.2f}", f">{n}.{n:02}", str(20 + n)) for n in range(1, count + 1))


THREE = lines(3)


def word_file(title="Certificate", pairs=PAIRS, body=THREE, *, heads=HEADS, keep_rows=True, font="Liberation Sans"):
    """A Word file: a table of labels and values, a table with a header row, a sentence, and a wide page."""
    document = Document()
    _set_font(document, font)
    document.core_properties.title = title
    document.add_heading(title, 1)
    document.add_paragraph(f"Questions about {PAIRS[0][1]}: office@example.com.")
    table = document.add_table(rows=0, cols=2, style="Table Grid")
    for label, value in pairs:
        cells = table.add_row().cells
        cells[0].text, cells[1].text = label, value
    document.add_heading("Circuits", 2)
    table = document.add_table(rows=1, cols=len(heads), style="Table Grid")
    for cell, head in zip(table.rows[0].cells, heads, strict=True):
        cell.text = head
    _mark(table.rows[0], "tblHeader")
    for texts in body:
        row = table.add_row()
        if keep_rows:
            _mark(row, "cantSplit")
        for cell, text in zip(row.cells, texts, strict=True):
            cell.text = text
    wide = document.add_section()
    wide.orientation, wide.page_width, wide.page_height = WD_ORIENT.LANDSCAPE, wide.page_height, wide.page_width
    document.add_heading("Wide page", 2)
    stream = io.BytesIO()
    document.save(stream)
    return packed(unpacked(stream.getvalue()))


def expected(title="Certificate", pairs=PAIRS, body=THREE):
    """What `word_file` with the same arguments must print."""
    return Expected(list(pairs), [Table(HEADS, tuple(body))], [title, "Circuits", "Wide page"], [PAIRS[0][1]])


def _mark(row, name):
    row._tr.get_or_add_trPr().append(OxmlElement(f"w:{name}"))


def _set_font(document, font):
    for style in document.styles:
        properties = style.element.find(qn("w:rPr"))
        fonts = properties.find(qn("w:rFonts")) if properties is not None else None
        if fonts is not None:
            fonts.attrib.clear()
        if style.type in {1, 2}:
            style.font.name = font


LONG_CELL = "a remark that runs on and on in its narrow cell " * 30
SAMPLES = {
    "certificate": word_file(),
    "schedule": word_file("Schedule", body=lines(70)),
    "broken": word_file(
        "Broken rows", body=(*lines(20), (LONG_CELL, "0.99", "1.11", "22"), *lines(2)), keep_rows=False
    ),
    "one digit": word_file(body=(*lines(2), ("EX-0042-3", "0.58", ">3.03", "23"))),
    "labels swapped": word_file(pairs=(("Ze (Ω)", "EX-0042"), ("Number", "0.21"), PAIRS[2])),
    "heads swapped": word_file(heads=(HEADS[0], HEADS[2], HEADS[1], HEADS[3])),
    "values swapped": word_file(body=(*lines(2), ("EX-0042-3", ">3.03", "0.53", "23"))),
    "value deleted": word_file(pairs=(PAIRS[0], ("Ze (Ω)", ""), PAIRS[2])),
    "label misspelt": word_file(pairs=(PAIRS[0], ("Z (Ω)", "0.21"), PAIRS[2])),
    "head misspelt": word_file(heads=(HEADS[0], "Zz (Ω)", *HEADS[2:])),
    "line lost": word_file(body=lines(2)),
    "line added": word_file(body=lines(4)),
    "other font": word_file(font="Liberation Serif"),
    "leftover": word_file(pairs=(*PAIRS, ("Length (m)", "None"))),
}


def _office_or_skip():
    """The converter; on a desk without it the test is skipped, in continuous integration it fails."""
    try:
        return Office()
    except MachineError as missing:
        if os.environ.get("CI"):
            raise
        pytest.skip(missing.message)


@cache
def converted():
    """The PDFs of all samples, as LibreOffice writes them."""
    with _office_or_skip() as office:
        return office.convert(SAMPLES)


@cache
def converted_again():
    """The same from another start with other profiles."""
    with _office_or_skip() as office:
        return office.convert({name: SAMPLES[name] for name in ("certificate", "schedule")})


def order():
    return Order(RECORD, ENVELOPE, {}, workbook_rows=b"rows as typed")


@cache
def sample_pack():
    """A pack of three documents."""
    names = ("certificate", "schedule", "broken")
    with sources({name: converted()[name] for name in names}) as documents:
        titles = {name: name.capitalize() for name in names}
        return assemble(order(), documents, {name: SAMPLES[name] for name in names}, titles)[0]
