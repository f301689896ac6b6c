"""Short packs and long ones, names of sixty characters and texts of five thousand: nothing is cut off."""

import re
from dataclasses import replace
from functools import cache

import pytest

from pipeline.facts.choices import ClientLanguage
from pipeline.facts.row import Kind, Row
from pipeline.pack.reading import read
from pipeline.stages.convert import settle
from pipeline.stages.make import make
from pipeline.stages.render import find_templates, paper
from pipeline.tools.libreoffice import Office
from tests.documents import sample
from tests.pack.samples import OFFICE, converted

pytestmark = OFFICE
NAME = "Bartholomew-Maximilian O'Sample & Daughters <Ltd>, Anytown 9"
TALE = " ".join(f"word{number}" for number in range(1, 800))[:5000]
# told apart by them, or no text of a person
EDGE = 2  # mm between a notice's text and its line
HAND = 10  # mm to write by hand who locked off, and when
FIXED = {"file", "colour", "stage"}


def spread(value, text):
    """A job in which every text that a person words is another one."""
    if isinstance(value, tuple):
        return tuple(spread(each, text) for each in value)
    if not isinstance(value, Row):
        return value
    worded = {
        name
        for name, field in value.fields().items()
        if value.kind(name) is Kind.TEXT and not field.refers and not field.key and name not in FIXED
    }
    return value.model_copy(update={name: text for name in worded if getattr(value, name)})


def worded(of, text):
    """The job with one text everywhere."""
    return of.model_copy(update={name: spread(getattr(of, name), text) for name in type(of).model_fields})


@cache
def built(kind):
    """A pack and its pages; what is printed is held against the record on the way."""
    converted()  # skips where there is no converter
    told = dict.fromkeys(("extent", "defects", "limitations", "departures", "departure_reason", "next_reason"), TALE)
    jobs = {
        "one": lambda: sample.job(1),
        "sixty": lambda: sample.job(60),
        "names": lambda: worded(sample.job(2), NAME),
        "tales": lambda: sample.job(2, **told),
    }
    order = sample.order(jobs[kind](), find_templates(), replace(sample.ENVELOPE, number="EX-0099"))
    with Office() as office:
        [made] = make([order], office)
    assert made.trouble == ""
    return made


def starts(made):
    """The first page of each document by the contents on the cover, and by the pages themselves."""
    from pypdf import PdfReader

    reader = PdfReader(next(iter(_pack(made))))
    first = 1
    real = {}
    for name, count in made.pages.items():
        real[name], first = first, first + count
    assert first - 1 == len(reader.pages)
    return real, reader


def _pack(made):
    import io

    yield from (io.BytesIO(content) for name, content in made.files.items() if name.endswith("handover-pack.pdf"))


def _holds(kind):
    """The bookmarks of a pack lead to the pages that its contents name."""
    made = built(kind)
    real, reader = starts(made)
    tops = [each for each in reader.outline if not isinstance(each, list)]
    assert [reader.get_destination_page_number(each) + 1 for each in tops] == list(real.values())
    return made


def test_names_of_sixty_characters_are_printed_whole_in_every_document():
    assert len(NAME) == 60
    assert len(_holds("names").pages) == 12


@pytest.mark.parametrize(
    ("document", "width", "most", "hand"),
    [
        ("notices", 150, 99, 0),
        ("notices-de", 150, 99, 0),
        ("do-not-use", 174, 2, HAND),
        ("do-not-use-de", 174, 2, HAND),
    ],
)
def test_a_notice_keeps_the_size_printed_above_it_with_names_of_sixty_characters(document, width, most, hand):
    converted()  # skips where there is no converter
    job = worded(sample.job(2), NAME)
    job = job.model_copy(update={"row": job.row.model_copy(update={"client_language": ClientLanguage.GERMAN})})
    words = paper(sample.order(job, find_templates()), document)
    with Office() as office:
        [section] = read(settle(office.convert({"it": words})["it"], "Notices", "2026-11-12")).in_order()
    said = re.findall(rf"{width}×(\d+)mm", section.text)
    boxes = [
        [piece for line in table for cell in line.cells.values() for piece in cell.pieces] for table in section.lines()
    ][:most]
    assert len(said) == len(boxes) == most or len(boxes) > 10
    for height, pieces in zip(said, boxes, strict=True):
        taken = max(piece.above for piece in pieces) - min(piece.below for piece in pieces)
        assert taken / 72 * 25.4 <= int(height) - 2 * EDGE - hand, pieces[0].text


@pytest.mark.long
def test_texts_of_five_thousand_characters_are_printed_whole():
    assert len(TALE) == 5000
    made = _holds("tales")
    assert made.pages["installation-certificate"] > built("one").pages["installation-certificate"]


@pytest.mark.long
def test_packs_of_one_and_of_sixty_circuits_are_whole():
    one, sixty = _holds("one"), _holds("sixty")
    assert sixty.pages["circuits"] > one.pages["circuits"]
    assert sixty.pages["commissioning"] > 60
