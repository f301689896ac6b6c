"""No blank cell and no sheet without rows brings a rule down; each rule by itself, so that its faults stand alone."""

from functools import cache

import pytest
from rules.honest import TODAY, build
from rules.odd import PARTS, blank, full, spoilt

from pipeline.editions import edition
from pipeline.facts.row import Row
from pipeline.rules import RULES, check_week
from pipeline.rules.base import Case
from pipeline.rules.twins import without_twins


@cache
def cases():
    """The honest jobs, each with one cell blank or one sheet empty, ready to be judged by any rule."""
    jobs = [
        (f"{by}, {name}", by, job)
        for whole, by in ((build(), "uk_2018_a2"), (full(), "iec"))
        for name, job in (*spoilt(whole, blank), *without_rows(whole))
    ]
    return [(name, Case(without_twins(job), edition(by), TODAY, job)) for name, by, job in jobs]


def without_rows(whole):
    """The job without the rows of one sheet, each in turn."""
    for part in PARTS:
        rows = getattr(whole, part)
        if isinstance(rows, tuple | Row):
            yield part, whole.model_copy(update={part: () if isinstance(rows, tuple) else type(rows)()})


def broken(judge):
    """Which blank brings something down, and how."""
    troubles = []
    for name, case in cases():
        try:
            judge(case)
        except Exception as error:  # noqa: BLE001 - the list of all troubles reads better than the first
            troubles.append(f"{name}: {error!r}")
    return troubles


@pytest.mark.parametrize("rule", RULES)
def test_no_blank_cell_brings_a_rule_down(rule):
    assert broken(lambda case: list(RULES[rule].apply(case))) == []


def test_no_blank_cell_brings_the_rules_on_a_week_down():
    assert broken(lambda case: check_week([case.whole, build()])) == []
