import io
from datetime import date

import pikepdf

from pipeline.pack.merging import Part, merged
from pipeline.pack.metadata import Claim, Description
from pipeline.pack.saving import saved
from pipeline.pack.wholeness import claim_of
from tests.pack.samples import OFFICE, converted

pytestmark = OFFICE
WORDS = Description("Certificate", "Example", "Sample", date(2026, 11, 12))


def claimed(spoil):
    with merged([Part("Certificate", converted()["certificate"])], "en-GB") as pdf:
        spoil(pdf)
        content = saved(pdf, WORDS)
    with pikepdf.open(io.BytesIO(content)) as pdf:
        return claim_of(pdf)


def test_a_sound_document_claims_everything():
    assert claimed(lambda _: None) == Claim("A", accessible=True)


def test_a_document_that_is_not_accessible_does_not_claim_to_be():
    def figure_without_words(pdf):
        first = pdf.Root.StructTreeRoot.K.K[0].K[0]
        first.S = pikepdf.Name.Figure

    assert not claimed(figure_without_words).accessible


def test_a_document_without_tags_claims_the_lowest_level():
    def untag(pdf):
        del pdf.Root.StructTreeRoot
        del pdf.Root.MarkInfo

    assert claimed(untag) == Claim("B", accessible=False)
