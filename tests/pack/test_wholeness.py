import io

import pikepdf
import pytest

from pipeline.pack.reading import Piece, Reading, read
from pipeline.pack.wholeness import attachment_problems, font_problems, leftover_problems
from tests.pack.samples import OFFICE, converted, sample_pack

pytestmark = OFFICE
RELATIONS = {"record.json": "Data", "workbook.xlsx": "Source"} | {
    f"{name}.docx": "Source" for name in ("certificate", "schedule", "broken")
}


@pytest.fixture
def pack():
    with pikepdf.open(io.BytesIO(sample_pack())) as pdf:
        yield pdf


def test_the_attachments_of_a_pack_are_whole(pack):
    assert list(attachment_problems(pack, RELATIONS)) == []


def test_a_missing_or_foreign_attachment_is_named(pack):
    wanted = {name: kind for name, kind in RELATIONS.items() if name != "broken.docx"} | {"photo.jpg": "Source"}
    assert list(attachment_problems(pack, wanted)) == [
        "The attachment broken.docx does not belong to the pack.",
        "The attachment photo.jpg is missing.",
    ]


def test_a_changed_attachment_is_named(pack):
    pack.Root.AF[0].EF.F.write(b"{}")
    pack.Root.AF[0].EF.F.Params.Size = 2
    assert list(attachment_problems(pack, RELATIONS)) == [
        "The attachment record.json does not have the size or the sum that it is listed with."
    ]


def test_an_attachment_without_its_relationship_is_named(pack):
    pack.Root.AF[1].AFRelationship = pikepdf.Name.Unspecified
    del pack.Root.AF[2]
    told = list(attachment_problems(pack, RELATIONS))
    assert told[0] == "The attachment certificate.docx is not marked as Source of the pack."
    assert told[1] == "The attachment workbook.xlsx is not marked as Source of the pack."


def test_another_font_is_named(pack):
    assert list(font_problems(pack)) == []
    with pikepdf.open(io.BytesIO(converted()["other font"])) as pdf:
        assert any("LiberationSerif" in each for each in font_problems(pdf))


def test_what_a_template_leaves_behind_is_named():
    told = list(leftover_problems(read(converted()["leftover"])))
    assert told == ["Page 1 prints None in: None"]


@pytest.mark.parametrize("text", ["{{ zs }}", "nan", "#REF!", "a \ufffd b", "{% if %}", "None Ω"])
def test_every_kind_of_leftover_is_found(text):
    assert list(leftover_problems(Reading(artifacts=[Piece(0, text, 0, 0, 1, 1)])))


@pytest.mark.parametrize("text", ["None of these", "Nantes, finance", "0.53 Ω", "Nonesuch"])
def test_plain_words_are_no_leftover(text):
    assert not list(leftover_problems(Reading(artifacts=[Piece(0, text, 0, 0, 1, 1)])))


def test_a_word_that_the_record_has_is_no_leftover():
    for text in ("None", "Departures: None", "Nothing was seen, None"):
        assert not list(leftover_problems(Reading(artifacts=[Piece(0, text, 0, 0, 1, 1)]), {"None", "Other"}))


def test_part_of_a_longer_text_that_may_be_printed_is_no_leftover():
    allowed = {"Where the maker says None, nothing is asked."}
    assert not list(leftover_problems(Reading(artifacts=[Piece(0, "maker says None,", 0, 0, 1, 1)]), allowed))
    assert list(leftover_problems(Reading(artifacts=[Piece(0, "None", 0, 0, 1, 1)]), allowed))
