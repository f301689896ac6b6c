"""A tool that cries wolf is switched off: honest jobs, read with honest instruments, are hardly ever asked about."""

from collections import Counter

import pytest
from proof.generator import draw
from proof.judging import troubles

KINDS = ("domestic", "workplace", "bays")
# how many complaints one honest job may meet: none at a house, two at twelve bays
BEARABLE = {"domestic": 0, "workplace": 2, "bays": 2}


def complained(kind, numbers, **how):
    """What holds each of these honest jobs, by number."""
    drawn = (draw(number, kind, **how) for number in numbers)
    return {each.number: [f"{one.rule} ({one.subject})" for one in troubles(each)] for each in drawn}


def told(kind, found):
    """One line about a kind of job, printed with the outcome of the test."""
    held = sum(1 for each in found.values() if each)
    rules = Counter(one.partition(" ")[0] for each in found.values() for one in each)
    causes = ", ".join(f"{rule} {count}" for rule, count in rules.most_common())
    return f"honest {kind} jobs held: {held} of {len(found)}{f' ({causes})' if causes else ''}"


def test_the_same_number_draws_the_same_job():
    assert draw(7, "bays").sheets == draw(7, "bays").sheets
    assert draw(7).sheets != draw(8).sheets


def test_the_draws_cover_what_the_trade_meets():
    drawn = [draw(number, kind) for number in range(60) for kind in KINDS]
    rows = [row for each in drawn for rows in each.sheets.values() for row in rows]
    seen = {value for row in rows for value in row.values() if isinstance(value, str)}
    assert {each.edition.id for each in drawn} == {"uk_2018_a2", "uk_2018_a4", "iec"}
    assert {"TN-C-S", "TN-S", "TT", "TT island", "inside the charge point", "distribution circuit"} <= seen
    assert {"flat twin and earth", "armoured", "core and armour", "D2 direct in ground", "S"} <= seen
    assert {row["points_total"] for row in rows if "points_total" in row} >= {1, 2, 12}


@pytest.mark.parametrize("kind", KINDS)
def test_ten_honest_jobs_of_a_kind_are_not_cried_wolf_at(kind, record_property):
    found = complained(kind, range(10))
    record_property("told", told(kind, found))
    assert {number: each for number, each in found.items() if len(each) > BEARABLE[kind]} == {}


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_two_hundred_honest_jobs_of_a_kind_are_not_cried_wolf_at(kind, record_property):
    found, bare = complained(kind, range(200)), complained(kind, range(200), reserve=1.0)
    record_property("told", told(kind, found))
    record_property("told", f"  with no reserve on unconfirmed capacities: {told(kind, bare)}")
    assert {number: each for number, each in found.items() if len(each) > BEARABLE[kind]} == {}
