"""A pack's Word documents: all of them, literal, complete, and the same each time."""

import io
import re
from pathlib import Path

import docx
import pytest
from documents.sample import ENVELOPE, example, findings, job, order, record

from pipeline.documents.layouts import LAYOUTS, SECOND_WAVE
from pipeline.documents.package import unpacked
from pipeline.errors import MachineError
from pipeline.facts.job import Job
from pipeline.facts.record import canonical
from pipeline.facts.rows.firm import Firm
from pipeline.facts.rows.jobs import JobRow
from pipeline.orders import Envelope, Order
from pipeline.stages.render import do_not_use, every_document, find_templates, second_wave

HOSTILE = (
    "Smith & Sons <Ltd>",
    "{{ firm.name }} {% raw %}",
    "Ω ≤ 0.8 – “ÄÖÜ” ’n",
    "Bartholomew-Maximilian " * 12 + "x" * 180,
    "]]> &amp; <w:p/>",
)


@pytest.fixture(scope="module")
def supplied() -> dict[str, bytes]:
    return find_templates()


def words(content: bytes) -> str:
    """All text of a document, cells separated."""
    read = docx.Document(io.BytesIO(content))
    cells = [cell.text for table in read.tables for row in table.rows for cell in row.cells]
    return "\n".join([*(each.text for each in read.paragraphs), *cells])


def test_every_document_of_the_pack_is_filled_in_order(supplied: dict[str, bytes]):
    made = every_document(order(job(), supplied))
    assert list(made)[:3] == ["cover", "installation-certificate", "inspections"]
    assert list(made)[-1] == "defects-letter"


def test_the_second_wave_prints_the_pages_of_the_pack(supplied: dict[str, bytes]):
    of = order(job(), supplied)
    counts = dict.fromkeys(every_document(of), 3)
    made = second_wave(of, counts)
    assert made.keys() == SECOND_WAVE.keys() - {"minor-works-certificate", "cover-de"}
    table = docx.Document(io.BytesIO(made["cover"])).tables[-1]
    assert [cell.text for cell in table.rows[3].cells] == ["Schedule of inspections", "7", "3"]


def test_the_same_order_gives_the_same_bytes(supplied: dict[str, bytes]):
    assert every_document(order(job(), supplied)) == every_document(order(job(), supplied))


@pytest.mark.parametrize("points", [0, 1, 60])
def test_every_point_and_circuit_is_printed(supplied: dict[str, bytes], points: int):
    of = job(points)
    made = every_document(order(of, supplied))
    text = words(made["circuits"])
    assert all(f"Charge point {number}" in text for number in range(1, points + 1))
    assert ("commissioning" in made) is (points > 0)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_texts_come_out_literally(supplied: dict[str, bytes], text: str):
    of = job(client=text, extent=text, defects=text).model_copy(update={"firm": example(Firm, name=text)})
    made = every_document(order(of, supplied))
    printed = " ".join(text.split())
    for document in ("cover", "installation-certificate", "defects-letter"):
        assert printed in words(made[document]), document
        header = docx.Document(io.BytesIO(made[document])).sections[0].header
        assert printed in header.paragraphs[0].text


def test_a_job_of_blanks_prints_dashes_and_no_leftovers(supplied: dict[str, bytes]):
    bare = Job(row=JobRow(job="BARE"))
    made = every_document(Order(canonical(record(bare, [])), ENVELOPE, supplied))
    assert "commissioning" not in made
    for content in made.values():
        text = words(content)
        assert not re.search(r"\bNone\b(?!\.)|\bnan\b|\{\{|\{%|Undefined", text)


def test_nothing_is_left_of_the_tags(supplied: dict[str, bytes]):
    for document, content in every_document(order(job(), supplied)).items():
        for name, part in unpacked(content).items():
            if name.endswith(".xml"):
                assert not re.search(rb"\{[{%]|[}%]\}", part), (document, name)


def test_a_draft_says_so_in_every_header_and_a_pack_to_sign_does_not(supplied: dict[str, bytes]):
    mark = "DRAFT: not a certificate"
    for envelope, marked in ((Envelope("EX-1", 0, "2026-11-12", "", draft=mark), True), (ENVELOPE, False)):
        for content in every_document(order(job(), supplied, envelope)).values():
            header = docx.Document(io.BytesIO(content)).sections[0].header
            assert (mark in [each.text for each in header.paragraphs]) is marked


def test_photos_are_placed_with_their_caption_as_words(supplied: dict[str, bytes]):
    parts = unpacked(every_document(order(job(), supplied))["photos"])
    assert len([name for name in parts if "media" in name]) == 2
    assert 'descr="Photo: Charge point, finished"' in parts["word/document.xml"].decode()


def test_the_firms_logo_stands_on_the_cover_with_its_words(supplied: dict[str, bytes]):
    of = job().model_copy(update={"firm": example(Firm, logo="example.jpg")})
    cover = unpacked(every_document(order(of, supplied))["cover"])
    assert f'descr="Logo: {of.firm.name}"' in cover["word/document.xml"].decode()
    assert not [name for name in unpacked(every_document(order(job(), supplied))["cover"]) if "media" in name]


def test_a_missing_photo_is_named(supplied: dict[str, bytes]):
    of = order(job(), supplied)
    with pytest.raises(MachineError, match=r"board\.png"):
        every_document(Order(of.record, of.envelope, of.templates, {"example.jpg": of.photos["example.jpg"]}))


def test_a_held_job_has_a_notice_that_says_first_what_to_do(supplied: dict[str, bytes]):
    of = job()
    text = words(do_not_use(order(of, supplied)))
    assert "keep the charge point isolated and locked off, and no vehicle plugged in." in text
    assert "Only a signed certificate releases the charge point." in text


def test_the_firms_colour_is_taken_only_where_it_can_be_read(supplied: dict[str, bytes]):
    for colour, taken in (("7A1F1F", True), ("FFEE00", False), ("zzzzzz", False)):
        of = job().model_copy(update={"firm": example(Firm, colour=colour)})
        styles = unpacked(every_document(order(of, supplied))["cover"])["word/styles.xml"]
        assert (colour.encode() in styles) is taken


def test_a_firms_own_template_is_used_and_the_others_are_the_supplied_ones(tmp_path: Path, supplied: dict[str, bytes]):
    (tmp_path / "cover.docx").write_bytes(supplied["photos"])
    found = find_templates(tmp_path)
    assert found["cover"] == supplied["photos"]
    assert found["photos"] == supplied["photos"]
    assert found.keys() == LAYOUTS.keys()


def test_a_template_folder_that_is_not_there_is_told(tmp_path: Path):
    with pytest.raises(MachineError, match="not there"):
        find_templates(tmp_path / "nowhere")


def test_a_document_without_its_template_is_told(supplied: dict[str, bytes]):
    of = order(job(), supplied)
    with pytest.raises(MachineError, match=r"inspections\.docx"):
        every_document(Order(of.record, of.envelope, {}, of.photos))


def test_the_sample_has_findings_of_every_kind_that_a_pack_can_carry():
    assert {str(each.verdict) for each in findings(job())} == {"pass", "note", "not assessed", "not applicable"}
