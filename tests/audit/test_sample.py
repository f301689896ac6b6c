"""The sample is as large as the sums ask, drawn by a seed that anybody can use, and the risk picks are all there."""

import hashlib

import pytest

from pipeline.audit.results import Essence, Item, Pack
from pipeline.audit.sample import drawn, risk_picks, size_of

# for at most 5 % bad with 95 % confidence, by the hypergeometric distribution
PUBLISHED = {50: 31, 100: 45, 250: 51, 500: 56, 1000: 57}


@pytest.mark.parametrize("population", PUBLISHED)
def test_the_size_follows_from_the_population(population):
    assert size_of(population) == PUBLISHED[population]


def test_one_in_a_hundred_asks_for_more():
    assert [size_of(each, rate=0.01) for each in (100, 500, 1000)] == [95, 225, 258]


def test_nothing_is_drawn_from_nothing_and_all_of_very_few():
    assert [size_of(each) for each in (0, 1, 5)] == [0, 1, 5]


def pack(name, circuits=4, **more):
    items = tuple(Item(name, "CU", str(each)) for each in range(circuits))
    about = {"job": f"J{name}", "tester": "ABC", "tested": "10 Nov 2026", "released": "2026-11-12"} | more
    return Pack(name, name, essence=Essence(circuits=items, **about))


def test_anybody_can_draw_the_same_sample_again():
    packs = [pack(f"{number:04}-1") for number in range(1, 40)]
    found = drawn(packs, {}, "12-1a2b word")
    lines = [str(each) for one in packs for each in one.essence.circuits]
    again = sorted(lines, key=lambda line: hashlib.sha256(f"12-1a2b word\n{line}".encode()).hexdigest())
    assert list(map(str, found)) == again[: size_of(len(lines))]
    assert drawn(packs[::-1], {}, "12-1a2b word") == found
    assert drawn(packs, {}, "12-1a2b other") != found


def test_a_replaced_revision_is_not_drawn():
    packs = [pack("0001-1"), pack("0001-2")]
    for states in ({}, {"0001-1": "superseded", "0001-2": "issued"}):
        assert {each.pack for each in drawn(packs, states, "x")} == {"0001-2"}


def test_a_day_that_is_none_is_passed_over():
    assert ("0001-1", "the oldest") in set(risk_picks([pack("0001-1", tested="yesterday")], []))


def test_the_risk_picks_name_each_reason():
    same = tuple(("zs", "0.50") for _ in range(9))
    packs = [
        pack("0001-1", instruments=("T1",)),
        pack("0002-1", circuits=30, tester="XYZ", tested="11 Nov 2026", queries=2),
        pack("0002-2", released="2026-12-24", instruments=("T2",), digits=same),
    ]
    numbers = [{"name": "0003-1", "state": "void"}]
    found = set(risk_picks(packs, numbers))
    assert {
        ("0003-1", "void"),
        ("0002-2", "a revision"),
        ("0002-1", "2 queries were accepted"),
        ("0001-1", "the oldest"),
        ("0002-2", "the latest"),
        ("0002-2", "the longest from test to issue: 44 days"),
        ("0001-1", "first with tester ABC"),
        ("0002-1", "first with tester XYZ"),
        ("0001-1", "first with instrument T1"),
        ("0002-2", "first with instrument T2"),
        ("0002-1", "the fullest day: XYZ tested 30 circuits on 11 Nov 2026"),
        ("0002-2", "last digits hardly differ: zs"),
    } <= found
