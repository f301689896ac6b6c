"""The operator's part of the supply as it was found."""

import pytest
from rules.honest import build, but, judge, three_phase_tt, verdicts

from pipeline.facts.findings import Verdict

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE


@pytest.mark.parametrize(
    ("cells", "second"),
    [
        ({}, PASS),
        ({"earthing_connected": "wrong"}, FAIL),
        ({"earthing_connected": "N/A"}, QUERY),
        ({"earthing_connected": None}, NOT_ASSESSED),
    ],
)
def test_the_earth_of_the_supply_is_seen_connected(cells, second):
    outcome = judge("polarity_and_earth_of_the_supply_are_confirmed", but(build(), "supply", **cells))
    assert outcome == [("Supply", PASS), ("Supply", second)]


def test_a_supply_with_a_wrong_polarity_fails():
    rule = "polarity_and_earth_of_the_supply_are_confirmed"
    assert judge(rule, but(build(), "supply", polarity="wrong"))[0] == ("Supply", FAIL)


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({"ze": 0.35}, PASS),
        ({"ze": 0.36}, NOTE),
        ({"ze": 0.8, "earthing_system": "TN-S"}, PASS),
        ({"ze": 0.81, "earthing_system": "TN-S"}, NOTE),
        ({"ze": 45, "earthing_system": "TT"}, NOT_APPLICABLE),
        ({"ze": None}, NOT_ASSESSED),
    ],
)
def test_a_ze_beyond_what_operators_declare_is_told(cells, verdict):
    assert judge("ze_is_what_operators_declare", but(build(), "supply", **cells)) == [("Supply", verdict)]


@pytest.mark.parametrize(
    ("current", "verdict"),
    [
        # 0.8 × 236 V / 0.245 Ω − 0.005 kA = 0.766 kA; 1.25 × 236 V / 0.235 Ω + 0.005 kA = 1.26 kA: rounded readings
        (0.98, PASS),
        (0.77, PASS),
        (0.76, QUERY),
        (1.26, PASS),
        (1.27, QUERY),
        ("N/A", NOT_APPLICABLE),
        (None, NOT_ASSESSED),
    ],
)
def test_the_fault_current_to_earth_follows_from_ze(current, verdict):
    job = but(build(), "supply", fault_current_le=current)
    assert judge("fault_current_to_earth_agrees_with_ze", job) == [("Supply", verdict)]


def test_on_tt_no_fault_current_to_earth_is_asked_for():
    assert verdicts("fault_current_to_earth_agrees_with_ze", three_phase_tt()) == {NOT_APPLICABLE}
