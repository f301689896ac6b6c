import io

import pikepdf
import pytest

from pipeline.pack import conformance
from pipeline.pack.conformance import failures, stream_lengths_hold
from pipeline.pack.metadata import CLAIMS
from pipeline.stages.convert import settle
from tests.pack.samples import OFFICE, converted, sample_pack

pytestmark = OFFICE


def resaved(change):
    with pikepdf.open(io.BytesIO(sample_pack())) as pdf:
        change(pdf)
        target = io.BytesIO()
        pdf.save(target, deterministic_id=True)
    return target.getvalue()


@pytest.mark.parametrize("claim", CLAIMS[:1])
def test_the_pack_is_what_it_claims(claim):
    assert failures(sample_pack(), claim) == ()


def test_single_documents_are_what_they_claim():
    assert failures(settle(converted()["schedule"], "Schedule", "2026-11-12"), CLAIMS[0]) == ()


def test_what_the_converter_writes_is_no_level_a_yet():
    assert failures(converted()["certificate"], CLAIMS[0])


@pytest.mark.parametrize(
    "change",
    [
        lambda pdf: pdf.Root.__delitem__("/OutputIntents"),
        lambda pdf: pdf.Root.__delitem__("/Metadata"),
        lambda pdf: pdf.Root.__delitem__("/StructTreeRoot"),
        lambda pdf: pdf.Root.__setitem__("/OpenAction", pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="1")),
        lambda pdf: pdf.Root.AF[0].__delitem__("/AFRelationship"),
    ],
)
def test_a_pack_that_lost_something_is_refused(change):
    assert failures(resaved(change), CLAIMS[0])


def test_a_stream_that_ends_on_a_carriage_return_is_no_failure():
    def add(pdf):
        pdf.pages[0].contents_add(pdf.make_stream(b"q Q\r"), prepend=False)

    with pikepdf.open(io.BytesIO(sample_pack())) as pdf:
        add(pdf)
        target = io.BytesIO()
        pdf.save(target, deterministic_id=True, compress_streams=False)
    assert stream_lengths_hold(target.getvalue())
    assert failures(target.getvalue(), CLAIMS[0]) == ()


def test_a_stream_shorter_than_it_says_is_a_failure(monkeypatch):
    pack = sample_pack()
    assert stream_lengths_hold(pack)
    place = pack.index(b"\nendstream")
    assert not stream_lengths_hold(pack[: place - 1] + pack[place:])
    assert not stream_lengths_hold(b"no stream at all")


def test_a_file_that_is_no_pdf_cannot_be_judged():
    assert "cannot be judged" in conformance.failures(b"no PDF", CLAIMS[0])[0]
