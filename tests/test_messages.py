"""All messages of the program: their list is complete, and each says in plain words what is wrong and what to do."""

import re
from collections import Counter

import pytest

from pipeline.messages import ERRORS, PACKAGE, Message, lines, messages

FOUND = messages()
# words of programmers, which an admin cannot act on
JARGON = re.compile(
    r"\b(traceback|exception|null|none type|stderr|stdout|parse|invalid|illegal|abort|errno|runtime|argument)\b",
    re.IGNORECASE,
)
# those whose words stand where they are said, and are not handed on
WORDED = [each for each in FOUND if re.search("[a-z]{3}", each.message)]


def test_every_error_that_the_code_can_raise_is_in_the_list():
    listed = Counter(each.place.partition(":")[0] for each in FOUND if each.kind == "error")
    call = re.compile(rf"(?<!class )\b(?:{'|'.join(ERRORS)})\(")
    for path in PACKAGE.rglob("*.py"):
        name = path.relative_to(PACKAGE).as_posix()
        assert listed[name] == len(call.findall(path.read_text("utf-8"))), name


def test_the_list_has_errors_findings_what_the_screen_says_and_all_other_words():
    assert {each.kind for each in FOUND} == {"error", "finding", "screen", "words"}
    assert len(list(lines())) > len(FOUND)


def test_what_is_handed_on_before_it_is_said_is_in_the_list():
    words = {each.message for each in FOUND if each.kind == "words"}
    assert "'{…}': '{…}' is no day of the calendar.{…}" in words  # a cell
    assert "the demand with the new points is above the cut-out's rating" in words  # the middle of a sentence
    assert any(each.startswith("The workbook stays where it is") for each in words)  # a note of the watcher
    assert "Install it with: brew install --cask font-liberation" in words  # a table of remedies


def test_no_message_names_a_thing_as_the_code_does():
    ours = re.compile(r"(?<![\w/<])[a-z]+_[a-z_]+(?![\w/>])")
    symbol = re.compile(r"\b[A-Za-zθΔΣ]{1,2}_")  # of a quantity, as in I_max
    told = [
        (each.place, found)
        for each in FOUND
        for text in (each.message, each.remedy, each.found, each.expected)
        for found in ours.findall(text)
        if not symbol.match(found)
    ]
    assert not told


@pytest.mark.parametrize("each", [each for each in WORDED if each.kind == "error"], ids=lambda each: each.place)
def test_an_error_says_in_whole_sentences_what_is_wrong_and_what_to_do(each: Message):
    assert each.message.rstrip()[-1] in ".})", each.message
    assert each.message[0].isupper() or each.message[0] in "{'[", each.message
    assert each.remedy, each.message


@pytest.mark.parametrize("each", [each for each in WORDED if each.kind == "finding"], ids=lambda each: each.place)
def test_a_finding_that_can_hold_a_job_says_how_to_mend_it(each: Message):
    assert each.remedy, each.message
    assert each.message.rstrip("|]} ")[-1:] in {".", "…", ")", ":", "'"}, each.message


def test_no_message_speaks_the_language_of_programmers():
    told = [
        (each.place, found[0])
        for each in FOUND
        for text in (each.message, each.remedy)
        if (found := JARGON.search(text))
    ]
    assert not told
