"""On TT the RCD disconnects: the loop against U_L / I_Δn, every RCD on the path, and the electrode within the loop."""

import pytest
from rules.honest import but, found, judge, three_phase_tt

from pipeline.facts.findings import Verdict

FAIL, PASS, NOT_ASSESSED, NOT_APPLICABLE = Verdict.FAIL, Verdict.PASS, Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
NINE = "Board MAIN, circuit 9"
LOOP, UPSTREAM = "measured_zs_is_within_its_limit", "rcds_upstream_suit_the_electrode_too"
BEFORE = {"rcd_type": "B", "rcd_rating": 100, "rcd_delay": "S"}


@pytest.mark.parametrize(
    ("ohm", "rating", "verdict"),
    # 50 V / 500 mA = 100 Ω
    [(45.2, 30, PASS), (100, 500, PASS), (100.1, 500, FAIL), (None, 30, NOT_ASSESSED)],
)
def test_a_loop_on_tt_is_held_against_what_the_rcd_allows(ohm, rating, verdict):
    job = but(but(three_phase_tt(), "readings", zs=ohm), "circuits", rcd_rating=rating)
    assert judge(LOOP, job) == [(NINE, verdict)]


@pytest.mark.parametrize("rule", [LOOP, "rcds_that_disconnect_get_their_current"])
def test_a_loop_on_tt_is_judged_under_the_clause_on_tt(rule):
    assert [each.reference for each in found(rule, three_phase_tt())] == ["BS 7671, 411.5.3 and Table 41.5"]


def test_a_limit_on_tt_says_what_it_comes_from():
    limit = found(LOOP, three_phase_tt())[0].calculation.limit
    assert limit.startswith("1666 Ω (50 V / 30 mA; ")


@pytest.mark.parametrize(("rating", "time"), [(40, "1 s"), (32, "0.2 s")])
def test_the_time_to_disconnect_is_named(rating, time):
    inputs = found(LOOP, but(three_phase_tt(), "circuits", device_rating=rating))[0].calculation.inputs
    assert [each.shown.partition(" (")[0] for each in inputs if each.symbol == "t_max"] == [time]
    assert [each.shown.partition(" (")[0] for each in inputs if each.symbol == "Z_s,max"] == ["1666 Ω"]


def test_an_rcd_farther_up_is_held_against_the_electrode_too():
    assert judge(UPSTREAM, three_phase_tt()) == []
    job = but(three_phase_tt(), "boards", **BEFORE)
    # 44.5 Ω × 100 mA
    assert judge(UPSTREAM, job) == [(f"{NINE}, RCD of 100 mA before it", PASS)]
    assert found(UPSTREAM, job)[0].calculation.result == "4.45 V"
    on_limit = but(job, "electrodes", resistance=500)
    assert judge(UPSTREAM, on_limit)[0][1] is PASS
    assert judge(UPSTREAM, but(on_limit, "electrodes", resistance=500.1))[0][1] is FAIL
    assert judge(UPSTREAM, but(job, "electrodes", resistance=None))[0][1] is NOT_ASSESSED


def test_the_working_shows_loop_and_electrode():
    rule = "zs_on_tt_contains_the_electrode"
    calculation = found(rule, three_phase_tt())[0].calculation
    assert calculation.numbers == "45.20 Ω ≥ 44.5 Ω; rest 0.6 Ω for the source's earth and the line"
    assert judge(rule, but(three_phase_tt(), "readings", zs=44.5)) == [(NINE, PASS)]
    assert judge(rule, but(three_phase_tt(), "readings", zs="LIM: locked")) == [(NINE, NOT_APPLICABLE)]
