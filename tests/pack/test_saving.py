from datetime import date

import pikepdf

from pipeline.pack.merging import Part, merged, sources
from pipeline.pack.metadata import Claim, Description
from pipeline.pack.opening import opened
from pipeline.pack.saving import saved
from pipeline.pack.wholeness import claim_of
from tests.pack.samples import OFFICE, converted

pytestmark = OFFICE
WORDS = Description("Certificate", "Example", "Sample", date(2026, 11, 12))


def claimed(spoil):
    with sources({"it": converted()["certificate"]}) as given, merged([Part("It", given["it"])], "en-GB") as pdf:
        spoil(pdf)
        content, claim = saved(pdf, WORDS)
    with opened(content) as pdf:
        assert claim_of(pdf) == claim
    return claim


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
