import io

import pikepdf

from pipeline.pack.conformance import failures
from pipeline.pack.metadata import CLAIMS
from pipeline.pack.reading import read
from pipeline.pack.wholeness import description_problems, number_problems
from pipeline.stages.convert import convert, settle
from tests.pack.samples import OFFICE, converted, converted_again

pytestmark = OFFICE


def test_documents_come_back_under_their_names():
    class Office:
        def convert(self, documents):
            return {name: content.upper() for name, content in documents.items()}

    assert convert({"a": b"x", "b": b"y"}, Office()) == {"a": b"X", "b": b"Y"}


def test_a_single_document_is_the_same_to_the_byte_whenever_it_is_made():
    first, second = (
        settle(made["certificate"], "Certificate", "2026-11-12") for made in (converted(), converted_again())
    )
    assert first == second
    assert first != settle(converted()["certificate"], "Certificate", "2026-11-13")


def test_a_single_document_is_numbered_described_and_sound():
    single = settle(converted()["schedule"], "Schedule & more", "2026-11-12")
    assert failures(single, CLAIMS[0]) == ()
    assert list(number_problems(read(single))) == []
    with pikepdf.open(io.BytesIO(single)) as pdf:
        assert list(description_problems(pdf)) == []
        assert pdf.trailer.Info.Title == "Schedule & more"
        assert "/DocChecksum" not in pdf.trailer
        with pdf.open_outline() as outline:
            assert outline.root[0].title == "Schedule"
