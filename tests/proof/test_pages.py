"""One slip in a template, one other digit on a page: the lint or the page check names it; nothing passes both."""

import random
import re

import pytest
from proof.own_values import deletions, filled, own_view, swaps

from pipeline.documents.layouts import LAYOUTS
from pipeline.documents.lint import template_troubles
from pipeline.documents.templates import templates
from pipeline.pack.comparing import differences, flat
from pipeline.pack.expecting import expected
from pipeline.pack.reading import read
from pipeline.stages.convert import settle
from pipeline.tools.libreoffice import Office
from tests.pack.samples import OFFICE, converted

pytestmark = OFFICE
SEED = 20261125
LINTED, PRINTED, DIGITS = 400, 24, 400


def printed(documents):
    """The pages of Word files as the page check reads them."""
    converted()  # skips where there is no converter
    with Office() as office:
        made = office.convert(documents)
    assert all(isinstance(pdf, bytes) for pdf in made.values()), made
    return {name: read(settle(pdf, "Proof", "2026-11-12")).in_order()[0] for name, pdf in made.items()}


def told_by_pages(slips):
    """Which slips the page check names, once they are printed."""
    documents = {str(number): filled(slip.document, slip.make()) for number, slip in enumerate(slips)}
    return [
        bool(differences(section, expected(LAYOUTS[slip.document], own_view())))
        for slip, section in zip(slips, printed(documents).values(), strict=True)
    ]


@pytest.fixture(scope="module")
def pages():
    """All documents with values of their own, unspoilt, printed."""
    return printed({name: filled(name, template) for name, template in templates().items()})


def test_documents_with_values_of_their_own_are_printed_as_they_should(pages):
    for name, section in pages.items():
        assert differences(section, expected(LAYOUTS[name], own_view())) == [], name


def some(every, number):
    """A sample that is the same each time; all where no number is given."""
    chosen = list(every)
    return chosen if number is None else random.Random(SEED).sample(chosen, min(number, len(chosen)))  # noqa: S311


def _caught(slips, to_print, told):
    """Both counts; fails where a slip is told by neither."""
    linted = [bool(template_troubles(slip.document, slip.make())) for slip in slips]
    chosen = [slip for slip, caught in zip(slips, linted, strict=True) if not caught]
    chosen += some(slips, to_print)
    by_pages = told_by_pages(chosen)
    seen = f"of {len(chosen)} printed, {sum(by_pages)} named by the page check"
    told(f"{len(slips)} templates, {slips[0].kind}: {sum(linted)} named by the lint; {seen}")
    left = zip(chosen[: linted.count(False)], by_pages, strict=False)
    assert not [str(slip) for slip, named in left if not named]
    return by_pages


@pytest.mark.parametrize("kind", [deletions, swaps])
def test_a_slip_in_a_template_is_named(kind, record_property):
    by_pages = _caught(some(kind(), LINTED), PRINTED, lambda text: record_property("told", text))
    # what prints nothing of the record (pictures, lines to sign on, headers) only the lint can see
    assert sum(by_pages) >= len(by_pages) * 0.6


@pytest.mark.long
@pytest.mark.parametrize("kind", [deletions, swaps])
def test_every_single_slip_in_a_template_is_named(kind, record_property):
    _caught(some(kind(), None), 300, lambda text: record_property("told", text))


def digits_of(section, wanted):
    """Every digit of a recorded value on the pages of a document: piece, place within it."""
    places = [(piece, place) for piece in section.pieces for place, sign in enumerate(piece.text) if not sign.isspace()]
    whole = "".join(piece.text[place] for piece, place in places)
    chosen = set()
    for value in {flat(text) for text in wanted.texts()}:
        for found in re.finditer(re.escape(value), whole) if re.search(r"\d", value) else ():
            chosen.update(number for number in range(*found.span()) if whole[number].isdigit())
    return [places[number] for number in sorted(chosen)]


def unnoticed(section, document, changes):
    """The changes of one digit that the page check does not name."""
    wanted = expected(LAYOUTS[document], own_view())
    for piece, place in changes:
        before, headings = piece.text, list(section.headings)
        after = before[:place] + str((int(before[place]) + 3) % 10) + before[place + 1 :]
        object.__setattr__(piece, "text", after)
        section.headings[:] = [each.replace(flat(before), flat(after)) for each in headings]
        if not differences(section, wanted):
            yield f"{document}: {before} as {after}"
        object.__setattr__(piece, "text", before)
        section.headings[:] = headings


def _digits(pages, number, told):
    every = [
        (name, change)
        for name, section in pages.items()
        for change in digits_of(section, expected(LAYOUTS[name], own_view()))
    ]
    chosen = some(every, number)
    missed = []
    for name, section in pages.items():
        missed += unnoticed(section, name, [change for document, change in chosen if document == name])
    told(f"{len(chosen)} pages with one other digit: {len(chosen) - len(missed)} named by the page check")
    assert missed == []


def test_one_other_digit_on_a_page_is_named(pages, record_property):
    _digits(pages, DIGITS, lambda text: record_property("told", text))


@pytest.mark.long
def test_every_other_digit_on_a_page_is_named(pages, record_property):
    _digits(pages, None, lambda text: record_property("told", text))
