import pytest

from pipeline.errors import MachineError
from pipeline.pack.merging import sources
from pipeline.stages.assemble import assemble, first_pages, page_counts
from tests.pack.samples import OFFICE, SAMPLES, converted, converted_again, order

pytestmark = OFFICE
NAMES = ("certificate", "schedule")


def pack(pdfs, names=NAMES):
    docx = {name: SAMPLES[name] for name in names}
    with sources({name: pdfs[name] for name in names}) as documents:
        return assemble(order(), documents, docx, {name: name.title() for name in names})[0]


def test_two_conversions_give_the_same_pack_to_the_byte():
    assert converted()["certificate"] != converted_again()["certificate"]
    assert pack(converted()) == pack(converted_again())


def test_other_documents_give_another_pack():
    assert pack(converted()) != pack({**converted(), "schedule": converted()["line lost"]})


def test_pages_are_counted_and_each_document_begins_after_the_last():
    pdfs = {name: converted()[name] for name in NAMES}
    assert page_counts(pdfs) == {"certificate": 2, "schedule": 3}
    assert first_pages(pdfs) == {"certificate": 1, "schedule": 3}


def test_a_title_that_is_missing_is_our_fault_and_not_hidden():
    with sources({"certificate": converted()["certificate"]}) as documents, pytest.raises(KeyError):
        assemble(order(), documents, {}, {})


def test_the_font_is_needed(monkeypatch):
    def missing():
        raise MachineError("The font is not on this machine.", "Install it.")

    monkeypatch.setattr("pipeline.stages.assemble.regular", missing)
    with pytest.raises(MachineError):
        pack(converted())
