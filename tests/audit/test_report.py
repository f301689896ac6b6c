"""The report: a workbook of texts alone, a letter whose first page is the result, nothing inside what is verified."""

from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl import load_workbook

from pipeline.audit.faults import MEANING, Fault, Kind
from pipeline.audit.letter import letter
from pipeline.audit.report import refuse_inside, write_report
from pipeline.audit.results import Evidence, Pack, Verification
from pipeline.audit.words import screen, summary, verdict
from pipeline.errors import CommandError
from tests.pack.samples import OFFICE, converted

SOUND = Verification((Path("outputs"),), full=True, packs=(Pack("0001-1", "a", evidence=Evidence.REGISTER),))
SPOILT = replace(
    SOUND,
    packs=(Pack("=1+1", "=cmd|x", evidence=Evidence.NOTHING),),
    faults=tuple(Fault(f"=archive/{kind}", kind, "+told", "@evidence") for kind in Kind),
)


def test_every_word_says_what_it_means_and_who_may_act():
    assert set(MEANING) == set(Kind)
    assert all(meaning and who for meaning, who in MEANING.values())


def test_the_result_never_says_that_all_is_well():
    assert verdict(SOUND) == "No discrepancy found."
    alone = replace(SOUND, packs=(Pack("0001-1", "a", evidence=Evidence.ITSELF),))
    assert "NOT PROVED UNALTERED" in verdict(alone)
    assert f"{len(Kind)} discrepancies found." == verdict(SPOILT)
    for found in (SOUND, alone, SPOILT):
        assert "This does not prove:" in "\n".join(screen(found))


def test_a_pack_that_was_signed_by_key_is_one_pack_in_two_files_and_proved_as_far_as_the_weaker():
    unsigned, signed = (Pack("0001-1", each, evidence=Evidence.REGISTER, recheck="same") for each in ("a", "b"))
    rows = dict(summary(replace(SOUND, packs=(unsigned, replace(signed, signed_by=("Cass",)), Pack("0002-1", "c")))))
    assert rows["Packs"] == f"2 in 3 files: 1 {Evidence.REGISTER}; 1 {Evidence.NOTHING}"
    assert rows["Records judged again"] == "1 same"
    assert "1 pack unsigned" in rows["Signatures"]
    copies = replace(SOUND, packs=(unsigned, replace(signed, evidence=Evidence.ITSELF)))
    assert dict(summary(copies))["Packs"] == f"1 in 2 files: 1 {Evidence.ITSELF}"
    assert "1 pack NOT PROVED" in verdict(copies)


def test_every_discrepancy_stands_on_the_screen_with_its_word():
    told = "\n".join(screen(SPOILT))
    assert all(f"{str(kind).upper()} · =archive/{kind}: +told (@evidence)" in told for kind in Kind)


def test_a_report_inside_what_is_verified_is_refused(tmp_path):
    with pytest.raises(CommandError):
        refuse_inside(tmp_path / "outputs" / "report", [tmp_path / "outputs"])
    refuse_inside(tmp_path / "report", [tmp_path / "outputs"])


@OFFICE
def test_the_report_is_a_workbook_of_texts_and_a_letter(tmp_path):
    converted()  # skips where there is no converter
    paths = write_report(SPOILT, tmp_path / "report")
    assert [each.name for each in paths] == ["verification.xlsx", "verification.docx", "verification.pdf"]
    book = load_workbook(paths[0])
    assert {cell.data_type for page in book for row in page.iter_rows() for cell in row if cell.value} == {"s"}
    assert book["Exceptions"].max_row == 1 + len(Kind)
    from pypdf import PdfReader

    pages = [page.extract_text() for page in PdfReader(paths[2]).pages]
    assert "What this does not prove" in pages[0]
    assert "Exceptions" not in pages[0]
    assert "Exceptions" in pages[1]


def test_equal_results_give_equal_letters_in_words():
    from io import BytesIO

    from docx import Document

    texts = [[each.text for each in Document(BytesIO(letter(SPOILT))).paragraphs] for _ in range(2)]
    assert texts[0] == texts[1]
