"""A pack of a sample job, spoilt in one place after another: the inspection must name each."""

import io
import re
from dataclasses import replace
from functools import cache

import pikepdf
import pytest

from pipeline.documents.catalogue import text
from pipeline.documents.layouts import pack_of
from pipeline.documents.package import packed, unpacked
from pipeline.pack.attachments import RECORD
from pipeline.pack.merging import sources
from pipeline.stages import inspection
from pipeline.stages.assemble import assemble, page_counts
from pipeline.stages.convert import settle
from pipeline.stages.inspection import inspect_document, inspect_pack
from pipeline.stages.render import do_not_use, every_document, find_templates, second_wave
from pipeline.tools.libreoffice import Office
from tests.documents import sample
from tests.pack.samples import OFFICE, converted

pytestmark = OFFICE
FEW = ("notifications", "photos", "pictures", "defects-letter")
CELL = re.compile(r"<w:tc>.*?</w:tc>", re.DOTALL)
WORDS = re.compile(r"(?<=>)[^<]+(?=</w:t>)")


@cache
def order():
    return sample.order(sample.job(), find_templates())


@cache
def made(names=()):
    """Word files and PDFs of the sample job: all documents, or a few."""
    converted()  # skips where there is no converter
    docx = every_document(order())
    if names:
        docx = {name: docx[name] for name in names}
    with Office() as office:
        pdfs = office.convert(docx)
        if not names:
            docx = docx | second_wave(order(), page_counts(pdfs))
            pdfs |= office.convert({name: docx[name] for name in second_wave(order(), page_counts(pdfs))})
    return docx, pdfs


def pack(docx, pdfs, given=None):
    with sources(pdfs) as documents:
        return assemble(given or order(), documents, docx, {name: text(f"{name}.title") for name in docx})[0]


@pytest.fixture
def few(monkeypatch):
    monkeypatch.setattr(
        inspection, "pack_of", lambda seen: tuple(each for each in pack_of(seen) if each.document in FEW)
    )
    return made(FEW)


def test_a_pack_that_prints_its_record_has_no_problem(few):
    assert inspect_pack(pack(*few), order(), FEW) == []


def test_the_record_must_be_that_of_the_order(few):
    other = replace(order(), record=order().record.replace(b"Example Charge Works", b"Example Charge Worms"))
    told = inspect_pack(pack(*few), other, FEW)
    assert "The attachment record.json is not that of the order." in told


def test_pages_are_held_against_the_record_inside_the_pack(few):
    other = replace(order(), record=order().record.replace(b"01632 960000", b"01632 960999"))
    told = inspect_pack(pack(*few, other), other, FEW)
    assert any("01632 960000" in each and "01632 960999" in each for each in told)


def test_a_document_out_of_order_is_named(few):
    docx, pdfs = few
    turned = {name: pdfs[name] for name in reversed(FEW)}
    told = inspect_pack(pack(docx, turned), order(), FEW)
    assert any("in this order" in each for each in told)


def test_a_pack_without_its_record_is_refused(few):
    with pikepdf.open(io.BytesIO(pack(*few))) as pdf:
        del pdf.Root.Names
        del pdf.Root.AF
        bare = io.BytesIO()
        pdf.save(bare)
    told = inspect_pack(bare.getvalue(), order(), FEW)
    assert f"The attachment {RECORD} is missing." in told


def test_the_notice_of_a_held_job_is_inspected_alone():
    converted()
    with Office() as office:
        docx = do_not_use(order())
        single = settle(office.convert({"notice": docx})["notice"], text("do-not-use.title"), "2026-11-12")
    assert inspect_document(single, order(), "do-not-use") == []
    other = replace(order(), record=order().record.replace(b"01632 960000", b"01632 960999"))
    assert any("01632 960999" in each for each in inspect_document(single, other, "do-not-use"))


def spoilt(content, change):
    """A Word file with its text part changed."""
    parts = unpacked(content)
    body = parts["word/document.xml"].decode()
    changed = change(body)
    assert changed != body
    return packed(parts | {"word/document.xml": changed.encode()})


def cells(body):
    """Place and words of every table cell with a single text."""
    for found in CELL.finditer(body):
        words = list(WORDS.finditer(found[0]))
        if len(words) == 1:
            start = found.start() + words[0].start()
            yield start, start + len(words[0][0]), words[0][0]


def other_digit(body, number):
    """One digit changed in the cell that is `number` tenths down the document."""
    found = [each for each in cells(body) if re.search(r"\d", each[2])]
    start, _, words = found[len(found) * number // 10]
    place = start + re.search(r"\d", words).start()
    return body[:place] + str((int(body[place]) + 3) % 10) + body[place + 1 :]


def swapped(body, number):
    """The texts of two neighbouring cells exchanged."""
    found = [each for each in cells(body) if each[2] not in {"Signature", "Date"}]  # nothing stands below these
    start = len(found) * number // 10
    pairs = ((one, two) for one, two in zip(found[start:], found[start + 1 :], strict=False) if one[2] != two[2])
    (a, b, first), (c, d, second) = next(pairs)
    return body[:a] + second + body[b:c] + first + body[d:]


def deleted(body, number):
    """The text of one cell gone, as if its placeholder had been deleted from the template."""
    found = list(cells(body))
    start, end, _ = found[len(found) * number // 10]
    return body[:start] + body[end:]


@pytest.mark.long
def test_a_whole_pack_has_no_problem_and_every_spoilt_document_is_named():
    docx, pdfs = made()
    names = list(pdfs)
    assert names == [each.document for each in pack_of(inspection.view(sample.record(sample.job()), sample.ENVELOPE))]
    assert inspect_pack(pack(docx, pdfs), order(), names) == []
    bad = {
        (name, change.__name__, number): spoilt(docx[name], lambda body, c=change, n=number: c(body, n))
        for name in names
        if name not in {"notices", "pictures"}  # no cells with values of their own
        for change in (other_digit, swapped, deleted)
        for number in (2, 8)
    }
    with Office() as office:
        results = office.convert({str(key): content for key, content in bad.items()})
    missed = []
    for (name, change, number), content in bad.items():
        changed = pack({**docx, name: content}, {**pdfs, name: results[str((name, change, number))]})
        told = inspect_pack(changed, order(), names)
        if not any(each.startswith(text(f"{name}.title")) for each in told):
            missed.append((name, change, number, told))
    assert missed == []
