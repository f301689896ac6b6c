"""Every reserve, ratio and interval of common practice: the figure that just keeps it, and the next one."""

from datetime import date, timedelta

import pytest
from rules.honest import TESTED_ON, build, but, change, found, put, three_phase_tt, verdicts

from pipeline.facts.findings import Verdict
from pipeline.facts.rows.models import Fixing

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_APPLICABLE = Verdict.NOT_APPLICABLE

CARRY, SPAN = "devices_and_cables_carry_the_load", "points_bear_the_temperatures_of_their_place"
SCHEDULE, AGREE = "private_points_have_their_schedule", "three_phase_fault_currents_agree"
OPERATOR, BUILDING = "network_operators_are_told_or_asked", "building_control_is_told"
BY_ZE, TO_EARTH = "fault_current_agrees_with_ze", "fault_current_to_earth_agrees_with_ze"

# rule | part of the job | its cells | verdict
EDGES = [
    # between 5 % of reserve and less, at the cable (47 A, method C) and at the load (32 A)
    (CARRY, "circuits", {"device_rating": 44.5}, PASS),
    (CARRY, "circuits", {"device_rating": 44.8}, NOTE),
    (CARRY, "circuits", {"device_rating": 33.8}, PASS),
    (CARRY, "circuits", {"device_rating": 33.6}, NOTE),
    # 230 V × 32 A = 7.36 kW, 5 % more 7.728 kW
    ("power_and_current_of_a_model_agree", "models", {"rated_power": 7.728}, PASS),
    ("power_and_current_of_a_model_agree", "models", {"rated_power": 7.73}, QUERY),
    ("power_and_current_of_a_model_agree", "models", {"rated_power": 6.992}, PASS),
    ("power_and_current_of_a_model_agree", "models", {"rated_power": 6.99}, QUERY),
    # 1800 s can be set; from memory, so that what is within it is a note as well
    (SCHEDULE, "points", {"random_delay": 1800}, NOTE),
    (SCHEDULE, "points", {"random_delay": 1801}, NOTE),
    (SCHEDULE, "points", {"random_delay": 1}, NOTE),
    # 1.1 × 230 V × 32 A = 8.096 kW
    ("charges_were_made", "points", {"charge_power": 8.096}, PASS),
    ("charges_were_made", "points", {"charge_power": 8.1}, QUERY),
    # 100 A: a tenth left, 58 A + 32 A, and hardly less
    ("demand_fits_the_cut_out", "supply", {"demand_l1": 58}, PASS),
    ("demand_fits_the_cut_out", "supply", {"demand_l1": 58.1}, NOTE),
    ("demand_fits_the_cut_out", "supply", {"demand_l1": 68}, NOTE),
    ("demand_fits_the_cut_out", "supply", {"demand_l1": 68.1}, FAIL),
    # 80 % of 100 A, marked on the carrier only
    ("unsure_cut_outs_have_a_reserve", "supply", {"cutout_status": "marked on the carrier", "demand_l1": 48}, PASS),
    ("unsure_cut_outs_have_a_reserve", "supply", {"cutout_status": "marked on the carrier", "demand_l1": 48.1}, QUERY),
    # 0.8 × 230 V / 0.24 Ω = 0.7667 kA; 1.25 × 236 V / 0.24 Ω = 1.229 kA
    (BY_ZE, "supply", {"fault_current": 0.767}, PASS),
    (BY_ZE, "supply", {"fault_current": 0.7}, QUERY),
    (BY_ZE, "supply", {"fault_current": 1.229}, PASS),
    (BY_ZE, "supply", {"fault_current": 1.35}, QUERY),
    (TO_EARTH, "supply", {"fault_current_le": 0.8}, PASS),
    (TO_EARTH, "supply", {"fault_current_le": 0.7}, QUERY),
    (TO_EARTH, "supply", {"fault_current_le": 1.22}, PASS),
    (TO_EARTH, "supply", {"fault_current_le": 1.35}, QUERY),
    # ratios to the line-to-neutral figure of 1 kA
    (AGREE, "supply", {"phases": 3, "fault_current": 1, "fault_current_3ph": 1.3}, PASS),
    (AGREE, "supply", {"phases": 3, "fault_current": 1, "fault_current_3ph": 1.29}, QUERY),
    (AGREE, "supply", {"phases": 3, "fault_current": 1, "fault_current_3ph": 2.2}, PASS),
    (AGREE, "supply", {"phases": 3, "fault_current": 1, "fault_current_3ph": 2.21}, QUERY),
    (AGREE, "supply", {"phases": 3, "fault_current": 1, "fault_current_ll": 0.85}, PASS),
    (AGREE, "supply", {"phases": 3, "fault_current": 1, "fault_current_ll": 0.84}, QUERY),
    (AGREE, "supply", {"phases": 3, "fault_current": 1, "fault_current_ll": 1.9}, PASS),
    (AGREE, "supply", {"phases": 3, "fault_current": 1, "fault_current_ll": 1.91}, QUERY),
    # what operators declare
    ("ze_is_what_operators_declare", "supply", {"ze": 0.35}, PASS),
    ("ze_is_what_operators_declare", "supply", {"ze": 0.36}, NOTE),
    ("ze_is_what_operators_declare", "supply", {"earthing_system": "TN-S", "ze": 0.8}, PASS),
    ("ze_is_what_operators_declare", "supply", {"earthing_system": "TN-S", "ze": 0.81}, NOTE),
    # indoors −5 °C to 40 °C, from memory
    (SPAN, "points", {"indoors": "indoors"}, NOTE),
    # the next inspection
    ("next_inspection_is_within_custom", "row", {"next_inspection": date(2036, 9, 10)}, PASS),
]


@pytest.mark.parametrize(("rule", "part", "cells", "verdict"), EDGES)
def test_a_figure_of_common_practice_is_kept_to_its_last_digit(rule, part, cells, verdict):
    job = but(build(), part, **cells)
    assert verdicts(rule, job) - {NOT_APPLICABLE} == {verdict}


@pytest.mark.parametrize(("coldest", "hottest", "verdict"), [(-5, 40, NOTE), (-4.9, 40, QUERY), (-5, 39.9, QUERY)])
def test_indoors_a_model_bears_a_little_frost_and_a_hot_room(coldest, hottest, verdict):
    job = but(but(build(), "models", coldest=coldest, hottest=hottest), "points", indoors="indoors")
    assert verdicts(SPAN, job) == {verdict}


@pytest.mark.parametrize(
    ("premises", "years"),
    [
        ("dwelling", 10),
        ("rented dwelling", 5),
        ("flats", 5),
        ("car park belonging to dwellings", 5),
        ("commercial", 5),
        ("industrial", 3),
        ("farm", 3),
        ("caravan park", 3),
        ("marina", 1),
        ("filling station", 1),
        ("public", 3),
    ],
)
def test_each_kind_of_premises_has_its_interval(premises, years):
    """Common practice in the United Kingdom, from memory."""
    rule, last = "next_inspection_is_within_custom", TESTED_ON.replace(year=TESTED_ON.year + years)
    for day, verdict in ((last, PASS), (last + timedelta(days=1), QUERY)):
        assert verdicts(rule, but(build(), "row", premises=premises, next_inspection=day)) == {verdict}, day


@pytest.mark.parametrize(("day", "verdict"), [(date(2029, 9, 10), PASS), (date(2029, 9, 11), QUERY)])
def test_public_charging_is_inspected_within_three_years(day, verdict):
    job = but(build(), "row", premises="commercial", charging="public", next_inspection=day)
    assert verdicts("next_inspection_is_within_custom", job) == {verdict}


@pytest.mark.parametrize(("day", "verdict"), [(date(2036, 9, 10), NOTE), (date(2036, 9, 11), QUERY)])
def test_nobody_proposes_more_than_ten_years_whatever_the_reason(day, verdict):
    job = but(build(), "row", premises="commercial", next_inspection=day, next_reason="hardly used")
    assert verdicts("next_inspection_is_within_custom", job) == {verdict}


@pytest.mark.parametrize(("ohm", "said"), [(0.05, "is continuous"), (0.051, "higher than")])
def test_main_bonding_reads_a_twentieth_of_an_ohm_at_most(ohm, said):
    (finding,) = found("main_bonding_is_continuous", but(build(), "supply", bonding_continuity=ohm))
    assert said in finding.message
    assert "0.05 Ω" in finding.expected


@pytest.mark.parametrize(("ohm", "verdict"), [(0.8, QUERY), (0.81, NOTE)])
def test_an_electrode_below_0_8_ohm_looks_like_a_tn_supply(ohm, verdict):
    assert verdicts("electrodes_read_like_one", but(three_phase_tt(), "electrodes", resistance=ohm)) <= {verdict, PASS}
    assert (verdict is QUERY) == (
        QUERY in verdicts("electrodes_read_like_one", but(three_phase_tt(), "electrodes", resistance=ohm))
    )


@pytest.mark.parametrize(("ohm", "verdict"), [(3 * 40.42, PASS), (3 * 40.5, NOTE), (40.44 / 3, PASS), (40.3 / 3, NOTE)])
def test_soil_lets_expect_an_electrode_within_a_factor_of_three(ohm, verdict):
    """2.4 m of 15.9 mm in 100 Ω·m: 40.43 Ω (BS 7430, 9.5)."""
    rod = {"electrode": "rod", "rod_length": 2.4, "rod_diameter": 15.9, "soil": 100, "resistance": ohm}
    rule = "electrodes_read_as_their_soil_lets_expect"
    assert verdicts(rule, but(three_phase_tt(), "electrodes", **rod)) == {verdict}


def test_operator_and_building_control_have_their_days():
    """28 days from connecting, 30 from the end of the work."""
    job = but(build(), "row", energised=date(2026, 9, 10), worked=date(2026, 9, 10))
    told = " ".join(f"{each.message} {each.expected} {each.remedy}" for each in found(OPERATOR, job))
    assert "08 Oct 2026" in told
    told = " ".join(f"{each.message} {each.expected} {each.remedy}" for each in found(BUILDING, job))
    assert "10 Oct 2026" in told


@pytest.mark.parametrize(("before", "asked"), [(28, False), (28.1, True)])
def test_the_operator_is_asked_above_60_amperes(before, asked):
    (finding,) = found(OPERATOR, but(build(), "supply", demand_l1=before))
    assert (finding.verdict is QUERY) is asked
    assert ("above 60 A" in f"{finding.message} {finding.found}") is asked


@pytest.mark.parametrize(
    ("phases", "poles", "verdict"),
    [(1, 2, PASS), (1, 1, QUERY), (2, 3, PASS), (2, 2, QUERY), (3, 4, PASS), (3, 3, NOTE), (3, 2, QUERY)],
)
def test_a_main_switch_has_a_pole_for_each_live_conductor(phases, poles, verdict):
    job = but(build(), "boards", phases=phases, main_switch_poles=poles)
    (finding,) = found("main_switches_break_the_neutral", job)
    assert finding.verdict is verdict
    if verdict is not PASS:
        assert finding.expected.startswith(f"{phases + 1} poles")


@pytest.mark.parametrize(
    ("inside", "phases", "verdict"),
    [
        ("single-phase", 1, PASS),
        ("single-phase", 3, FAIL),
        ("three-phase", 3, PASS),
        ("three-phase", 1, PASS),
        ("none", 1, FAIL),
    ],
)
def test_a_device_inside_watches_as_many_phases_as_the_supply_has(inside, phases, verdict):
    job = but(but(build(), "models", open_pen_inside=inside), "supply", phases=phases)
    job = but(job, "points", open_pen="device inside the charge point")
    assert verdicts("vehicles_outdoors_are_safe_if_the_pen_breaks", job) == {verdict}


@pytest.mark.parametrize(("ip", "verdict"), [("IP44", NOTE), ("IP34", FAIL), ("IP43", FAIL), ("IP65", NOTE)])
def test_an_enclosure_outdoors_keeps_out_both_wire_and_spray(ip, verdict):
    assert verdicts("enclosures_suit_the_place", but(build(), "models", ip=ip)) == {verdict}


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({"hole_depth": 40}, NOTE),
        ({"hole_depth": 39.9}, QUERY),
        ({"proud": 59.9}, NOTE),
        ({"proud": 60}, QUERY),
        ({"hole_diameter": 8}, NOTE),
        ({"hole_diameter": 7.9}, FAIL),
    ],
)
def test_sizes_of_a_set_of_fixings_may_be_equal_but_not_the_wrong_way_round(cells, verdict):
    usual = {"screw_diameter": 5, "screw_length": 60, "plug_diameter": 8, "plug_length": 40, "hole_diameter": 8}
    fixing = put(Fixing, model="EX-7", place="wall plate", count=4, **({"hole_depth": 55} | usual | cells))
    assert verdicts("fixings_of_a_set_fit_together", build(fixings=(fixing,))) == {verdict}


def test_an_instrument_is_told_thirty_days_before_it_is_due():
    job = build()
    for days, verdict in ((30, NOTE), (31, PASS), (0, NOTE), (-1, QUERY)):
        due = change(job.instruments[0], due=TESTED_ON + timedelta(days=days))
        other = job.model_copy(update={"instruments": (due, *job.instruments[1:])})
        (finding, *_) = found("instruments_are_calibrated_on_the_day_of_the_tests", other)
        assert finding.verdict is verdict, days
