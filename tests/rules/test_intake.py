"""The operator's part of the supply as it was found."""

from datetime import date

import pytest
from rules.honest import build, but, change, judge, put, three_phase_tt, verdicts

from pipeline.facts.choices import Function
from pipeline.facts.findings import Verdict
from pipeline.facts.rows.firm import Accuracy

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


@pytest.mark.parametrize(
    ("cells", "functions", "verdict"),
    [
        ({}, None, PASS),
        ({"instrument": None}, None, NOT_ASSESSED),
        ({"instrument": "T9"}, None, NOT_ASSESSED),
        ({}, {Function.CONTINUITY}, QUERY),
        ({"ze_by": "by enquiry"}, {Function.CONTINUITY}, QUERY),
        ({"ze_by": "by enquiry", "fault_current_by": "by enquiry"}, {Function.CONTINUITY}, NOT_APPLICABLE),
        ({"ze_by": "by enquiry", "fault_current_by": "by enquiry", "instrument": None}, None, NOT_APPLICABLE),
    ],
)
def test_what_was_measured_at_the_intake_has_its_instrument(cells, functions, verdict):
    job = but(build(), "supply", **cells)
    if functions is not None:
        testers = (change(job.instruments[0], functions=frozenset(functions)), *job.instruments[1:])
        job = job.model_copy(update={"instruments": testers})
    assert judge("the_intake_has_an_instrument_for_it", job) == [("Supply", verdict)]


def test_the_instrument_of_the_intake_is_calibrated_like_the_others():
    """One that only the intake names is judged by its dates and its accuracy too."""
    other = change(build().instruments[0], instrument="T2", due=date(2026, 9, 9))
    job = but(build(instruments=(*build().instruments, other)), "supply", instrument="T2")
    asked = dict(judge("instruments_are_calibrated_on_the_day_of_the_tests", job))
    assert (asked["Instrument T1"], asked["Instrument T2"]) == (PASS, QUERY)
    assert dict(judge("instruments_state_their_accuracy", job))["Instrument T2"] is NOTE


def test_the_intake_is_judged_by_its_own_instrument_and_not_by_that_of_the_readings():
    rows = tuple(
        put(Accuracy, instrument=name, function=Function.LOOP, percent=percent, digits=1, last_place="0.01 Ω")
        for name, percent in (("T1", 1), ("T2", 30))
    )
    wide = change(build().instruments[0], instrument="T2")
    job = build(instruments=(*build().instruments, wide), accuracies=rows)
    rule = "predicted_zs_is_within_its_limit"
    # 0.87 Ω with ± 30 % may be beyond 0.9163 Ω, with ± 1 % it is not
    assert dict(judge(rule, but(job, "supply", ze=0.87, instrument="T1")))["Board MAIN, circuit 9"] is PASS
    assert dict(judge(rule, but(job, "supply", ze=0.87, instrument="T2")))["Board MAIN, circuit 9"] is QUERY
