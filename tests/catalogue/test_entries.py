"""Each kind of spoilt week gets its verdict at its place, and every other job goes on."""

import json
from functools import cache
from pathlib import Path

import pytest

from tests.catalogue import cells, sheets, texts, trade, units_and_dates
from tests.catalogue.entry import ACCEPTED, FAILS, NOTED, QUERIED, REFUSED
from tests.catalogue.judging import spoilt
from tests.catalogue.week import JOBS, LAST, base

ENTRIES = [*cells.ENTRIES, *units_and_dates.ENTRIES, *texts.ENTRIES, *sheets.ENTRIES, *trade.ENTRIES]
BY_NAME = {each.name: each for each in ENTRIES}
TABLE = Path(__file__).with_name("expected.json")
GRAVEST = ((FAILS, ("fail", "not assessed")), (QUERIED, ("query",)), (NOTED, ("note",)))


@cache
def expected():
    """What each entry adds: at any row, or row by row where other cells of the job bear on it."""
    return json.loads(TABLE.read_text("utf-8"))


def expected_at(entry, spot):
    """The whole list of findings that an entry adds at a row."""
    table = expected()[entry.name]
    return table if isinstance(table, list) else table[f"{spot.sheet} {spot.number}"]


def first_of_its_kind(entry):
    """Whether an entry speaks for its family in the quick run."""
    return not entry.name.rpartition("-")[2].isdigit() or entry.name.endswith("-1")


def param(entry, count):
    """An entry with so many rows; the quick run takes the first of each family at one row."""
    marks = [] if count == 1 and first_of_its_kind(entry) else [pytest.mark.long]
    return pytest.param(entry, count, id=f"{entry.name}-{count}", marks=marks)


def gravest(adds):
    """The verdict that a list of findings amounts to."""
    return next((name for name, ends in GRAVEST if any(each.endswith(ends) for each in adds)), ACCEPTED)


def judge(entry, spot):
    """Spoil one row, and hold findings and jobs against the table."""
    adds, held, refusal = spoilt(entry, entry.change, spot)
    if entry.verdict == REFUSED:
        assert refusal is not None
        assert refusal.message
        assert refusal.remedy
        return
    assert refusal is None, refusal
    assert gravest(adds) == entry.verdict
    assert adds == expected_at(entry, spot)
    goes_on = set(JOBS) - set(entry.holds or (spot.job,))
    assert not goes_on & set(held)
    assert bool(held) == (entry.verdict in {FAILS, QUERIED} and entry.holds != ())


def test_the_sound_week_is_made_as_a_whole():
    assert {str(each) for each in base().status.values()} == {"to be made"}
    assert tuple(base().status) == JOBS


def test_no_two_entries_have_one_name():
    assert len(BY_NAME) == len(ENTRIES)


def test_the_table_is_of_these_entries_alone():
    assert expected().keys() == {each.name for each in ENTRIES if each.verdict != REFUSED}


@pytest.mark.parametrize(("entry", "count"), [param(each, 1) for each in ENTRIES])
def test_a_spoilt_row_gets_its_verdict_and_the_other_jobs_go_on(entry, count):
    judge(entry, entry.spots(count)[0])


@pytest.mark.long
@pytest.mark.parametrize(("entry", "count"), [param(each, 3) for each in ENTRIES])
def test_further_rows_get_the_same(entry, count):
    for spot in entry.spots(count)[1:]:
        judge(entry, spot)


@pytest.mark.parametrize("entry", [pytest.param(each, id=each.name) for each in ENTRIES if each.twins])
def test_a_change_like_it_is_no_trouble(entry):
    spot = entry.spots(1)[0]
    for twin in entry.twins:
        assert spoilt(entry, twin, spot) == ([], [], None)


def test_entries_of_all_jobs_spoil_the_last_one_first():
    assert all(
        each.spots()[0].job == LAST for each in ENTRIES if each.jobs == JOBS and not each.rows and each.spots()[0].job
    )
