"""A worse figure never meets a kinder verdict, and a larger conductor never makes a circuit worse."""

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from proof.test_laws import EDITIONS, SIZES, TABLED, runs
from rules.honest import build, but, three_phase_tt, verdicts

from pipeline.editions import Device, Load, Missing, edition
from pipeline.facts.choices import DeviceStandard, DeviceType
from pipeline.facts.findings import Verdict
from pipeline.facts.quantities import quantity

few = settings(max_examples=60, deadline=None, suppress_health_check=TABLED)
# a note holds nothing: it tells how sure a figure is, and the factor for a cool place is less sure than that of one
GRAVITY = {Verdict.PASS: 0, Verdict.NOTE: 0, Verdict.QUERY: 1, Verdict.FAIL: 2}
HOUSE, FARM = build(), three_phase_tt()

# a rule, the cell it reads, the span in which that cell grows worse, in its unit
WORSE = {
    "measured Zs": ("measured_zs_is_within_its_limit", "readings", "zs", (0.0, 3.0)),
    "R1+R2 above what the cable gives": ("r1_r2_fits_the_cable", "readings", "r1_r2", (0.2, 9.0)),
    "break time": ("rcds_trip_in_time", "readings", "rcd_time", (21.0, 900.0)),
    "insulation": ("insulation_resistance_is_high_enough", "readings", "insulation_le", (900.0, 0.0)),
    "declared Ze": ("predicted_zs_is_within_its_limit", "supply", "ze", (0.02, 3.0)),
    "demand before": ("demand_fits_the_cut_out", "supply", "demand_l1", (0.0, 150.0)),
    "length and drop": ("voltage_drop_is_within_its_limit", "circuits", "length", (1.0, 400.0)),
    "length and loop": ("predicted_zs_is_within_its_limit", "circuits", "length", (1.0, 400.0)),
    "circuits beside it": ("devices_and_cables_carry_the_load", "circuits", "grouped", (1, 12)),
    "warmth": ("devices_and_cables_carry_the_load", "circuits", "ambient", (20.0, 60.0)),
    "fault current": ("breaking_capacity_covers_the_fault_current", "boards", "fault_current", (0.5, 30.0)),
    "torque too high": ("terminals_are_tightened_as_the_maker_says", "points", "torque", (2.0, 9.0)),
}


def _gravity(rule, job, name):
    """How grave the gravest verdict of a rule is; None where it came to none of them."""
    return max((GRAVITY[each] for each in verdicts(rule, job, name) if each in GRAVITY), default=None)


@few
@given(data=st.data(), name=st.sampled_from(EDITIONS))
@pytest.mark.parametrize("what", WORSE)
def test_a_worse_figure_never_meets_a_kinder_verdict(what, data, name):
    rule, part, attribute, (good, bad) = WORSE[what]
    whole = isinstance(good, int)
    shares = sorted(data.draw(st.tuples(st.floats(0, 1), st.floats(0, 1))))
    values = [good + each * (bad - good) for each in shares]
    values = [round(each) for each in values] if whole else values
    found = [_gravity(rule, but(HOUSE, part, **{attribute: each}), name) for each in values]
    assume(None not in found)
    assert found[0] <= found[1], values


@few
@given(ohms=st.tuples(st.floats(1, 2000), st.floats(1, 2000)).map(sorted))
def test_a_larger_earth_resistance_never_meets_a_kinder_verdict(ohms):
    rule = "tt_circuits_have_an_rcd_that_suits_the_electrode"
    # below what an electrode reads like, the figure itself is doubted
    assume(ohms[0] > 5)
    found = [_gravity(rule, but(FARM, "electrodes", resistance=each), "uk_2018_a2") for each in ohms]
    assert found[0] <= found[1]


@few
@given(run=runs, size=st.sampled_from(SIZES), current=st.floats(6, 100), name=st.sampled_from(EDITIONS))
def test_a_larger_conductor_never_drops_more_nor_has_a_larger_loop(run, size, current, name):
    book = edition(name)
    small, large = (replace(run, live_size=each) for each in sorted((run.live_size, quantity(size, "mm²"))))
    drops = [book.drops.drop(Load(each, quantity(current, "A"), 1), quantity(230, "V")) for each in (small, large)]
    loops = [book.cables.warm_pair_resistance(each) for each in (small, large)]
    assume(not any(isinstance(each, Missing) for each in (*drops, *loops)))
    assert drops[1].share.quantity <= drops[0].share.quantity * (1 + 1e-12)
    assert loops[1].quantity <= loops[0].quantity * (1 + 1e-12)


@few
@given(
    run=runs,
    currents=st.tuples(st.floats(0, 100), st.floats(0, 100)).map(sorted),
    phases=st.sampled_from((1, 3)),
    name=st.sampled_from(EDITIONS),
)
def test_more_current_never_drops_less(run, currents, phases, name):
    drops = [edition(name).drops.drop(Load(run, quantity(each, "A"), phases), quantity(230, "V")) for each in currents]
    assume(not any(isinstance(each, Missing) for each in drops))
    assert drops[0].share.quantity <= drops[1].share.quantity * (1 + 1e-12)


@few
@given(
    ratings=st.tuples(*[st.sampled_from((6, 10, 16, 20, 25, 32, 40, 50, 63, 80, 100))] * 2).map(sorted),
    kind=st.sampled_from((DeviceType.B, DeviceType.C, DeviceType.D)),
    name=st.sampled_from(EDITIONS),
)
def test_a_larger_breaker_never_allows_a_larger_loop(ratings, kind, name):
    protection, volts = edition(name).protection, quantity(230, "V")
    devices = [Device(DeviceStandard.MCB, kind, quantity(each, "A")) for each in ratings]
    limits = [protection.loop_limit(each, quantity(0.4, "s"), volts) for each in devices]
    assert not any(isinstance(each, Missing) for each in limits)
    assert limits[1].quantity <= limits[0].quantity
