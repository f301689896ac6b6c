import io
from datetime import date

import pikepdf
import pytest

from pipeline.pack.metadata import CLAIMS, Claim, Description, describe, pdf_date
from pipeline.pack.wholeness import claim_of, description_problems
from tests.pack.samples import OFFICE, converted, sample_pack

pytestmark = OFFICE
WORDS = Description("Pack & <more>", "Example & Sons <Ltd>", "Number EX-0042", date(2026, 11, 12))


@pytest.fixture
def described():
    with pikepdf.open(io.BytesIO(converted()["certificate"])) as pdf:
        describe(pdf, WORDS)
        yield pdf


def test_both_descriptions_say_the_same_even_with_signs(described):
    assert described.trailer.Info.Title == "Pack & <more>"
    assert list(description_problems(described)) == []


def test_a_difference_between_the_two_is_named(described):
    described.trailer.Info.Author = "Somebody else"
    assert [each for each in description_problems(described) if "Author" in each]


@pytest.mark.parametrize("claim", CLAIMS)
def test_a_file_says_what_it_claims(described, claim):
    describe(described, WORDS.claiming(claim))
    assert claim_of(described) == claim


def test_the_pack_claims_level_a_and_accessibility():
    with pikepdf.open(io.BytesIO(sample_pack())) as pdf:
        assert claim_of(pdf) == Claim("A", accessible=True)


def test_every_date_is_the_day_of_issue(described):
    assert pdf_date(date(2026, 11, 12)) == "D:20261112000000Z"
    assert described.trailer.Info.CreationDate == described.trailer.Info.ModDate == "D:20261112000000Z"
    profile = described.Root.OutputIntents[0].DestOutputProfile.read_bytes()
    assert profile[24:36] == bytes([2026 >> 8, 2026 & 255, 0, 11, 0, 12, 0, 0, 0, 0, 0, 0])
    assert profile[36:40] == b"acsp"
