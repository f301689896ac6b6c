"""A protective conductor below its table bears the largest fault that can flow, or somebody has to look it up."""

import pytest
from rules.honest import build, but, found, judge, planned, three_phase_tt

from pipeline.facts.findings import Verdict

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED = Verdict.NOT_ASSESSED
RULE = "protective_conductors_bear_a_fault"
NINE = "Board MAIN, circuit 9"


def working(job):
    return found(RULE, job)[0].calculation


@pytest.mark.parametrize(
    ("kiloamperes", "ohm", "current"),
    [
        # cold far end by design: 230 V / (0.24 Ω + 14 m × 10.49 mΩ/m) = 594.4 A
        (0.5, 0.46, "I = 230 V / 0.3869 Ω = 594.5 A"),
        (0.5, 0.30, "I = 230 V / 0.3 Ω = 766.7 A"),
        (0.9, 0.30, "I = 0.9 kA, measured at the board"),
    ],
)
def test_the_largest_of_three_fault_currents_counts(kiloamperes, ohm, current):
    job = but(but(build(), "boards", fault_current=kiloamperes), "readings", zs=ohm)
    assert current in working(job).numbers
    assert judge(RULE, job) == [(NINE, NOTE)]


@pytest.mark.parametrize(
    ("kiloamperes", "how"),
    [
        # 2.5 mm² × 115 A√s/mm² / √(0.1 s) = 909.1 A: on the limit, and beyond it by let-through energy
        (0.909, "909 A × √(0.1 s) / 115 A·√s/mm²"),
        (0.910, "√(21600 A²·s) / 115 A·√s/mm²"),
        (10, "√(108000 A²·s) / 115 A·√s/mm²"),
    ],
)
def test_beyond_the_bound_the_let_through_energy_decides(kiloamperes, how):
    job = but(build(), "boards", fault_current=kiloamperes)
    assert working(job).numbers.startswith(how)
    # √108000 / 115 = 2.858 mm²
    assert judge(RULE, job) == [(NINE, QUERY if kiloamperes == 10 else NOTE)]


@pytest.mark.parametrize("cells", [{"device_rating": 50}, {"device_type": "D"}, {"device": "BS 88-3"}])
def test_a_device_without_known_let_through_energy_is_not_assessed(cells):
    job = but(but(build(), "boards", fault_current=5), "circuits", **cells)
    assert judge(RULE, job) == [(NINE, NOT_ASSESSED)]


def test_a_fault_current_beyond_the_table_is_not_assessed():
    assert judge(RULE, but(build(), "boards", fault_current=10.1)) == [(NINE, NOT_ASSESSED)]


def test_a_far_end_that_does_not_trip_the_breaker_at_once_proves_nothing():
    # 230 V / 1.2 Ω = 191.7 A, below 5 × 40 A
    assert judge(RULE, but(build(), "readings", zs=1.2)) == [(NINE, NOT_ASSESSED)]
    assert judge(RULE, but(build(), "readings", zs=1.15)) == [(NINE, NOTE)]


def test_without_any_fault_current_nothing_is_assessed():
    job = but(but(build(), "boards", fault_current=None), "supply", fault_current=None)
    assert judge(RULE, job) == [("Supply", NOT_ASSESSED)]
    assert judge(RULE, but(build(), "supply", voltage=None)) == [("Supply", NOT_ASSESSED)]


def test_before_the_visit_the_most_that_the_operator_declares_is_not_taken_as_flowing():
    job = planned(but(but(build(), "boards", fault_current=None), "supply", fault_current=16))
    declared = but(job, "supply", fault_current_by="by enquiry")
    assert judge(RULE, declared) == [(NINE, NOTE)]
    assert judge(RULE, job) == [(NINE, NOT_ASSESSED)]


def test_the_working_says_what_it_is_and_where_it_stands():
    finding = found(RULE, build())[0]
    assert "safe side" not in finding.message
    assert "543.1.3" in finding.calculation.limit
    assert {"I_pf", "k"} <= {each.symbol for each in finding.calculation.inputs}
    assert "543.1.2" in found(RULE, build(), by="iec")[0].calculation.limit


def test_on_tt_the_board_s_fault_current_does_not_flow_through_the_electrode():
    job = but(three_phase_tt(), "circuits", cpc="core of the cable", cpc_size=1)
    # 230 V / 44.5 Ω
    assert "5.169 A × √(0.3 s)" in working(job).numbers
    assert judge(RULE, job) == [(NINE, NOTE)]
