"""The effect of a finding follows from its verdict alone."""

import pytest

from pipeline.facts.findings import Finding, Verdict, WhenMissing, by_gravity, holds


@pytest.mark.parametrize(
    ("verdict", "held"),
    [
        ("fail", True),
        ("query", True),
        ("not assessed", True),
        ("note", False),
        ("pass", False),
        ("not applicable", False),
    ],
)
def test_a_job_is_held_by_fails_queries_and_what_could_not_be_assessed(verdict, held):
    assert holds(Finding("r", Verdict(verdict), "A", "s", "m")) is held


def test_what_is_only_an_aid_is_printed_and_does_not_hold():
    assert not holds(Finding("r", Verdict.NOT_ASSESSED, "A", "s", "m", when_missing=WhenMissing.PRINT))


def test_the_gravest_comes_first():
    found = [Finding("r", each, "A", "s", "m") for each in reversed(Verdict)]
    assert [each.verdict for each in by_gravity(found)] == list(Verdict)
