"""The documents of a pack: what they are built of exists, fits its page, and stands in the right packs."""

import pytest
from documents.sample import ENVELOPE, job, record
from PIL import ImageFont

from pipeline.documents.blocks import EACH, Column, Each, Grid, Pairs, Signatures, When, walk
from pipeline.documents.fields import FIELDS, label
from pipeline.documents.layouts import LAYOUTS, PACK, SECOND_WAVE, pack_of, with_contents
from pipeline.documents.layouts.layout import Layout
from pipeline.documents.styles import SMALL, text_width
from pipeline.documents.view import View, view
from pipeline.facts.job import Job

DOCUMENTS = pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)
# a cell's room at the right, and what a line may lose to rounding
SPARE = 3.1


def seen(of: Job) -> View:
    return with_contents(view(record(of), ENVELOPE), {})


def printed(layout: Layout) -> list[tuple[str, str]]:
    """Row and field of everything that a layout prints from the view."""
    found: list[tuple[str, str]] = []
    for block, around in walk(layout.blocks):
        match block:
            case Pairs(row, fields):
                found += [(around if row == EACH else row, field) for field in fields]
            case Grid(rows, columns) | Signatures(rows, columns):
                found += [(rows, column.field) for column in columns]
            case Each(rows, title):
                found.append((rows, title))
    return found


@DOCUMENTS
def test_every_printed_field_is_declared_and_is_in_the_view(layout: Layout):
    rows = seen(job())
    for row, field in printed(layout):
        assert label(row, field)
        lines = [rows.single[row]] if row in rows.single else rows.lists[row]
        assert all(field in line for line in lines), (row, field)


@DOCUMENTS
def test_every_list_asked_for_is_in_the_view(layout: Layout):
    rows = seen(job())
    asked = {block.rows for block, _ in walk(layout.blocks) if isinstance(block, Grid | Each | When | Signatures)}
    assert asked | ({layout.needs} - {""}) <= rows.lists.keys()


@DOCUMENTS
def test_grids_fill_the_width_of_the_page_and_no_heading_breaks_within_a_word(layout: Layout):
    font = ImageFont.truetype("LiberationSans-Bold.ttf", 100)
    for block, _ in walk(layout.blocks):
        if isinstance(block, Grid | Signatures):
            assert sum(column.width for column in block.columns) == text_width(landscape=layout.landscape)
            for column in block.columns:
                assert _widest(font, block.rows, column) <= column.width - SPARE, (block.rows, column)


def _widest(font: ImageFont.FreeTypeFont, rows: str, column: Column) -> float:
    """The longest word of a heading in millimetres."""
    points = max(font.getlength(word) for word in label(rows, column.field).split()) / 100 * SMALL / 2
    return points * 25.4 / 72


@DOCUMENTS
def test_no_document_prints_a_field_twice_in_one_table(layout: Layout):
    for block, _ in walk(layout.blocks):
        fields = block.fields if isinstance(block, Pairs) else ()
        assert len(set(fields)) == len(fields)


def test_no_field_has_the_name_of_a_method_that_a_tag_would_find_first():
    names = {field for fields in FIELDS.values() for field in fields}
    assert not names & set(dir(dict))


def test_every_fact_of_a_circuit_a_reading_and_a_point_is_printed_somewhere():
    everywhere = {pair for layout in PACK for pair in printed(layout)}
    shown_otherwise = {"job", "board", "circuit", "earthing_system", "model", "description", "serves"}
    shown_otherwise |= {"zs_permitted"}  # found for the attempt that counts
    shown_otherwise |= {"reach_to"}  # on the site sheet
    shown_otherwise |= {"way", "board_at", "others"}  # in the sentences of the notices
    for rows in ("circuits", "results", "earlier", "points"):
        wanted = {name for name, field in FIELDS[rows].items() if name not in {"name", "heading", "point"}}
        missing = {name for name in wanted - shown_otherwise if (rows, name) not in everywhere}
        assert not missing, rows


def test_a_full_job_has_every_document_but_the_other_certificate():
    documents = [layout.document for layout in pack_of(seen(job()))]
    assert documents == [
        layout.document for layout in PACK if layout.document != "minor-works-certificate" and not layout.original
    ]


def test_work_without_a_new_circuit_gets_the_minor_works_certificate():
    documents = [each.document for each in pack_of(seen(job(work="addition or alteration without a new circuit")))]
    assert documents[:3] == ["cover", "minor-works-certificate", "inspections"]
    assert "installation-certificate" not in documents


def test_a_plain_job_has_no_letter_and_no_photo_record():
    plain = job(defects=None, defects_danger=None).model_copy(update={"photos": ()})
    documents = {each.document for each in pack_of(seen(plain))}
    assert not documents & {"photos", "defects-letter"}


def test_pages_are_counted_from_the_cover_on_and_attachments_start_behind_the_certificate():
    rows = with_contents(view(record(job()), ENVELOPE), {"cover": 2, "installation-certificate": 4, "inspections": 1})
    assert [(line["start"], line["pages"]) for line in rows.lists["contents"]][:5] == [
        ("1", "2"),
        ("3", "4"),
        ("7", "1"),
        ("8", "–"),
        ("–", "–"),
    ]
    assert rows.lists["attached"][0] == {"title": "Schedule of inspections", "start": "7", "pages": "1"}


def test_the_second_wave_is_what_prints_pages_of_the_pack():
    prints = {layout.document for layout in PACK if {"contents", "attached"} & {row for row, _ in printed(layout)}}
    assert prints == SECOND_WAVE.keys()
