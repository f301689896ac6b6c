"""Design on paper: load, device, cable, drop, loop, fault current."""

import pytest
from rules.honest import (
    board_row,
    build,
    but,
    change,
    circuit_row,
    found,
    judge,
    model_row,
    planned,
    point_row,
    put,
    three_phase_tt,
    verdicts,
)

from pipeline.facts.findings import Verdict
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.firm import Accuracy
from pipeline.facts.rows.load_management import LoadManagement

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
NINE = "Board MAIN, circuit 9"


# demand ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "verdict"),
    [(24, PASS), (58, PASS), (58.1, NOTE), (68, NOTE), (68.1, FAIL), (None, NOT_ASSESSED)],
)
def test_demand_before_and_the_point_fit_the_cut_out(before, verdict):
    # 68 A + 32 A = 100 A: on the limit; a reserve below 10 A of 100 A is told
    assert judge("demand_fits_the_cut_out", but(build(), "supply", demand_l1=before)) == [("Supply", verdict)]


def test_the_working_of_the_demand_shows_both_parts():
    calculation = found("demand_fits_the_cut_out", build())[0].calculation
    assert calculation is not None
    assert (calculation.numbers, calculation.result, calculation.limit) == (
        "24 A + 32 A",
        "56 A",
        "100 A (the cut-out)",
    )
    assert calculation.margin == pytest.approx(44)


def test_the_working_of_a_managed_demand_shows_the_limit_with_its_cell():
    scheme = put(LoadManagement, job="J1", scheme="LM1", board="MAIN", group_limit=40, fallback=6, limit_held="yes")
    second = change(circuit_row(), circuit="10")
    points = (point_row(scheme="LM1"), point_row(point="CP2", circuit="10", scheme="LM1"))
    job = build(circuits=(circuit_row(), second), points=points, schemes=(scheme,))
    calculation = found("demand_fits_the_cut_out", job)[0].calculation
    assert (calculation.symbols, calculation.numbers, calculation.result) == (
        "I = I_before + min(ΣI_B, I_limit) (L1)",
        "24 A + min(64 A, 40 A)",
        "64 A",
    )
    assert ("I_limit", "40 A", scheme.at["group_limit"]) in [
        (each.symbol, each.shown, each.place) for each in calculation.inputs
    ]
    lost = found("fallback_fits_the_supply", job)[0].calculation
    assert (lost.numbers, lost.result) == ("24 A + 12 A", "36 A")
    assert ("I_fallback", scheme.at["fallback"]) in [(each.symbol, each.place) for each in lost.inputs]


def test_a_limit_at_the_intake_is_shown_beside_the_sum():
    scheme = put(LoadManagement, job="J1", scheme="LM1", sensor_place="Tails", group_limit=50, limit_held="yes")
    job = build(points=(point_row(scheme="LM1"),), schemes=(scheme,))
    calculation = found("demand_fits_the_cut_out", job)[0].calculation
    assert (calculation.numbers, calculation.result) == ("min(24 A + 32 A, 50 A)", "50 A")
    assert scheme.at["group_limit"] in [each.place for each in calculation.inputs]


def test_a_demand_whose_method_is_blank_is_asked_about():
    assert judge("demand_before_has_a_method", but(build(), "supply", demand_by=None)) == [("Supply", QUERY)]
    assert judge("demand_before_has_a_method", build()) == [("Supply", PASS)]


@pytest.mark.parametrize(
    ("status", "before", "verdict"),
    [
        ("confirmed", 60, PASS),
        ("marked on the carrier", 48, PASS),
        ("marked on the carrier", 48.1, QUERY),
        ("unknown", 60, QUERY),
        (None, 24, NOT_ASSESSED),
    ],
)
def test_a_rating_read_on_the_carrier_needs_a_fifth_in_reserve(status, before, verdict):
    job = but(build(), "supply", cutout_status=status, demand_l1=before)
    assert judge("unsure_cut_outs_have_a_reserve", job) == [("Supply", verdict)]


def test_an_agreed_capacity_is_a_limit_too():
    rule = "demand_fits_the_agreed_capacity"
    assert judge(rule, build()) == [("Supply", NOT_APPLICABLE)]
    assert judge(rule, but(build(), "supply", agreed_capacity=55)) == [("Supply", FAIL)]
    assert judge(rule, but(build(), "supply", agreed_capacity=80)) == [("Supply", PASS)]


def test_the_main_switch_carries_the_whole_demand():
    rule = "demand_fits_the_main_switch"
    assert judge(rule, build()) == [("Supply", PASS)]
    assert judge(rule, but(build(), "boards", main_switch_rating=40)) == [("Supply", FAIL)]
    assert judge(rule, but(build(), "boards", main_switch_rating=None)) == [("Board MAIN", NOT_ASSESSED)]


def test_a_second_board_at_the_intake_answers_for_its_points_alone():
    house = put(Board, job="J1", board="HOUSE", main_switch_rating=100)
    job = but(build(), "supply", demand_l1=60)
    job = job.model_copy(update={"boards": (change(job.boards[0], main_switch_rating=63), house)})
    assert judge("demand_fits_the_main_switch", job) == [("Board MAIN", PASS), ("Board HOUSE", PASS)]


@pytest.mark.parametrize(("rating", "verdict"), [(40, PASS), (32, PASS), (25, FAIL)])
def test_a_contactor_carries_the_device_before_it_or_its_load(rating, verdict):
    assert judge("switches_carry_what_stands_behind_them", but(build(), "circuits", switch_rating=rating)) == [
        (NINE, verdict)
    ]


def test_a_single_phase_point_on_a_three_phase_supply_loads_the_phase_of_its_way():
    supply = {"phases": 3, "demand_l1": 80, "demand_l2": 10, "demand_l3": 10}
    job = but(build(), "supply", **supply)
    on_l1 = but(but(job, "circuits", circuit="3L1"), "points", circuit="3L1")
    on_l2 = but(but(job, "circuits", circuit="3L2"), "points", circuit="3L2")
    assert judge("demand_fits_the_cut_out", on_l1) == [("Supply", FAIL)]
    assert judge("demand_fits_the_cut_out", on_l2) == [("Supply", PASS)]


def test_a_point_whose_phase_is_not_told_is_taken_on_the_phase_that_is_loaded_most():
    job = but(build(), "supply", phases=3, demand_l1=10, demand_l2=10, demand_l3=60)
    assert judge("demand_fits_the_cut_out", job) == [("Supply", NOTE)]
    # 80 A + 32 A is too much, but on another phase it would fit
    assert judge("demand_fits_the_cut_out", but(job, "supply", demand_l3=80)) == [("Supply", QUERY)]
    # and where equal phases would be too much, it fits on none
    full = but(job, "supply", demand_l1=95, demand_l2=95, demand_l3=95)
    assert judge("demand_fits_the_cut_out", full) == [("Supply", FAIL)]


# load management ------------------------------------------------------------------------------------------------------


def managed(**cells):
    """Two points on a 63 A cut-out that only a scheme makes possible."""
    usual = {"scheme": "LM1", "group_limit": 32, "fallback": 6, "sensor_checked": "yes"}
    tried = {"tested_points": 2, "limit_held": "yes", "fallback_held": "yes"}
    job = build(
        circuits=(circuit_row(), circuit_row(circuit="10")),
        points=(point_row(scheme="LM1"), point_row(point="CP2", circuit="10", scheme="LM1")),
        schemes=(put(LoadManagement, job="J1", **(usual | tried | cells)),),
    )
    return but(job, "supply", cutout_rating=63)


def test_a_tried_scheme_keeps_the_demand_below_its_limit():
    assert verdicts("demand_fits_the_cut_out", managed()) == {PASS}
    assert verdicts("load_management_keeps_its_limit", managed()) == {PASS}


@pytest.mark.parametrize("held", [None, "no"])
def test_a_scheme_that_was_not_seen_to_hold_counts_as_absent(held):
    assert verdicts("demand_fits_the_cut_out", managed(limit_held=held)) == {FAIL}


def test_a_scheme_with_a_broken_fallback_fails_and_one_tried_with_too_few_points_is_asked_about():
    rule = "load_management_keeps_its_limit"
    assert verdicts(rule, managed(fallback_held="no")) == {FAIL}
    # one point of 32 A does not exceed a limit of 32 A, two do
    assert verdicts(rule, managed(tested_points=1)) == {QUERY}
    assert verdicts(rule, managed(tested_points=None)) == {NOT_ASSESSED}
    assert verdicts(rule, planned(managed())) == {NOTE}


def test_what_points_fall_back_to_fits_the_supply():
    assert verdicts("fallback_fits_the_supply", managed()) == {PASS}
    assert verdicts("fallback_fits_the_supply", managed(fallback=32)) == {FAIL}
    assert verdicts("fallback_fits_the_supply", build()) == {NOT_APPLICABLE}


# I_B ≤ I_n ≤ I_z ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        # 6 mm² twin and earth, method C: 47 A (BS 7671 Table 4D5)
        ({}, PASS),
        ({"device_rating": 32}, NOTE),
        ({"device_rating": 50}, FAIL),
        ({"device_rating": 25}, FAIL),
        ({"live_size": 4}, FAIL),
        # at 40 °C 0.87 × 47 A = 40.89 A: hardly a reserve
        ({"ambient": 40}, NOTE),
        ({"ambient": 45}, FAIL),
        # two bunched: 0.8 × 47 A = 37.6 A
        ({"grouped": 2, "grouping": "bunched or enclosed"}, FAIL),
        ({"grouped": 2, "grouping": None}, NOT_ASSESSED),
        ({"length": None}, NOT_ASSESSED),
        ({"live_size": 7}, NOT_ASSESSED),
    ],
)
def test_device_and_cable_carry_a_32_a_point(cells, verdict):
    assert judge("devices_and_cables_carry_the_load", but(build(), "circuits", **cells)) == [(NINE, verdict)]


def test_each_factor_of_the_capacity_is_shown():
    calculation = found("devices_and_cables_carry_the_load", but(build(), "circuits", ambient=35))[0].calculation
    assert calculation is not None
    assert [each.symbol for each in calculation.inputs] == ["I_B", "I_n", "I_t", "C_a", "C_g", "C_i", "C_c", "C_s"]
    assert "47 A × 0.94 × 1 × 1 × 1" in calculation.numbers
    assert calculation.limit.startswith("44.18 A")


def test_terminals_rated_70_degrees_bring_a_90_degree_cable_down():
    armoured = {"cable": "armoured", "insulation": "XLPE 90 °C", "cpc": "core and armour", "cpc_size": 6}
    # 6 mm² two-core method C: 62 A at 90 °C, 49 A at 70 °C (BS 7671 Tables 4E4A, 4D4A)
    hot = but(but(build(), "circuits", **armoured, terminal_rating=90), "models", terminal_rating=90)
    assert found("devices_and_cables_carry_the_load", hot)[0].calculation.limit.startswith("62 A")
    assert found("devices_and_cables_carry_the_load", but(hot, "models", terminal_rating=70))[
        0
    ].calculation.limit.startswith("49 A")


def test_a_buried_cable_that_only_the_unsure_factor_fails_is_asked_about():
    armoured = {"cable": "armoured", "insulation": "XLPE 90 °C", "cpc": "core and armour", "cpc_size": 6}
    # 6 mm² two-core in the ground: 53 A, with C_c 47.7 A (BS 7671 Table 4E4A; factor from memory)
    buried = armoured | {"method": "D2 direct in ground", "ambient": 20, "terminal_rating": 90, "device_rating": 50}
    job = but(but(build(), "circuits", **buried), "models", terminal_rating=90)
    finding = found("devices_and_cables_carry_the_load", job)[0]
    assert finding.verdict is QUERY
    assert "47.7 A" in finding.found
    assert "53 A" in finding.found


def test_a_locked_limit_is_the_load():
    job = but(build(), "circuits", device_rating=16)
    assert verdicts("devices_and_cables_carry_the_load", but(job, "points", current_limit=16)) == {FAIL}
    locked = but(job, "points", current_limit=16, limit_locked="Installer PIN")
    assert verdicts("devices_and_cables_carry_the_load", locked) == {NOTE}


def test_devices_at_their_full_rating_side_by_side_are_asked_about_once():
    rule = "devices_side_by_side_have_a_reserve"
    two = build(
        circuits=(circuit_row(device_rating=32), circuit_row(circuit="10", device_rating=32)),
        points=(point_row(), point_row(point="CP2", circuit="10")),
    )
    assert judge(rule, two) == [("Board MAIN", QUERY)]
    assert judge(rule, but(two, "circuits", device_rating=40)) == [("Board MAIN", PASS)]


@pytest.mark.parametrize(
    ("power", "phases", "current", "verdict"),
    [(7.4, 1, 32, PASS), (22, 3, 32, PASS), (7, 1, 32, PASS), (6.9, 1, 32, QUERY), (None, 1, 32, NOT_APPLICABLE)],
)
def test_name_plate_power_agrees_with_the_rated_current(power, phases, current, verdict):
    job = build(models=(model_row(rated_power=power, phases=phases, rated_current=current),))
    assert judge("power_and_current_of_a_model_agree", job) == [("Model EX-7", verdict)]


def test_a_three_phase_model_on_a_single_phase_circuit_is_asked_about():
    rule = "circuits_have_the_phases_of_their_model"
    assert verdicts(rule, but(build(), "models", phases=3)) == {QUERY}
    assert verdicts(rule, build()) == {PASS}


# voltage drop ---------------------------------------------------------------------------------------------------------


def test_the_drop_of_a_published_example_is_reproduced():
    # 32 A, 25 m, 6 mm² twin and earth: 7.3 × 32 × 25 / 1000 = 5.84 V = 2.54 % of 230 V
    finding = found("voltage_drop_is_within_its_limit", but(build(), "circuits", length=25))[0]
    assert finding.verdict is PASS
    assert "5.84 V" in finding.calculation.numbers
    assert finding.calculation.result == "2.539 %"


@pytest.mark.parametrize(
    ("length", "verdict"),
    [(14, PASS), (49.22, PASS), (49.24, QUERY), (78.7, QUERY), (78.8, FAIL), (None, NOT_ASSESSED)],
)
def test_the_drop_is_asked_about_above_five_per_cent_and_fails_above_eight(length, verdict):
    job = but(build(), "circuits", length=length)
    assert [each for _, each in judge("voltage_drop_is_within_its_limit", job)] == [verdict]


def test_drops_are_summed_from_the_origin():
    feeder = circuit_row(circuit="1", feeds="distribution circuit", length=45, device_rating=63, live_size=6)
    sub = board_row(board="SUB", fed_board="MAIN", fed_circuit="1")
    own = circuit_row(board="SUB", length=10)
    job = build(boards=(board_row(), sub), circuits=(feeder, own), points=(point_row(board="SUB"),))
    total = found("voltage_drop_is_within_its_limit", job)[0]
    assert total.verdict is QUERY
    # 7.3 mV/A/m × 32 A × (45 m + 10 m) = 12.848 V = 5.586 % of 230 V
    assert total.calculation.result == "5.586 %"


def test_one_phase_of_a_three_phase_point_is_judged_too():
    job = but(three_phase_tt(), "circuits", length=85)
    assert verdicts("voltage_drop_is_within_its_limit", job) == {PASS}
    assert verdicts("one_phase_alone_drops_no_more", job) == {QUERY}
    assert verdicts("one_phase_alone_drops_no_more", build()) == set()


def test_a_voltage_sensing_device_is_told_where_a_low_supply_may_open_it():
    rule = "vehicles_keep_their_voltage"
    # 216.2 V less 7.3 × 32 × 40 / 1000 = 9.344 V leaves 206.86 V
    (low,) = found(rule, but(build(), "circuits", length=40))
    assert low.message.startswith("On a low public supply the device against an open PEN may open")
    # the lowest public voltage is from memory, so that what keeps above is told as such
    (kept,) = found(rule, but(build(), "circuits", length=39))
    assert (kept.verdict, kept.message.endswith("Figure from memory.")) == (NOTE, True)
    assert low.verdict is NOTE


# predicted loop and far end -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        # 0.95 × 230 V / (5 × 40 A) = 1.0925 Ω less Ze 0.24 Ω leaves 0.8525 Ω: 67.7 m of 12.588 mΩ/m
        ({"length": 67.7}, PASS),
        ({"length": 67.8}, FAIL),
        ({"length": 67.8, "rcd_for_fault": "yes"}, QUERY),
        ({"length": 67.8, "rcd_for_fault": "yes", "rcd_rating": None}, FAIL),
        ({"device_type": None}, NOT_ASSESSED),
        ({"device": "BS 1361"}, NOT_ASSESSED),
    ],
)
def test_the_designed_loop_lets_a_b40_trip(cells, verdict):
    assert judge("predicted_zs_is_within_its_limit", but(build(), "circuits", **cells)) == [(NINE, verdict)]


def test_a_declared_maximum_of_ze_is_a_note():
    job = planned(but(build(), "supply", ze=0.35, ze_by="by enquiry"))
    assert verdicts("predicted_zs_is_within_its_limit", job) == {NOTE}


def test_a_loop_on_tt_is_no_matter_of_the_overcurrent_device():
    assert verdicts("predicted_zs_is_within_its_limit", three_phase_tt()) == {NOT_APPLICABLE}
    assert "50 V / 30 mA" in found("measured_zs_is_within_its_limit", three_phase_tt())[0].calculation.numbers


def test_a_short_circuit_at_the_far_end_trips_the_device():
    # the 0.1 s in which a breaker trips at once are carried over
    rule = "far_end_faults_are_cleared"
    assert verdicts(rule, build()) == {NOTE}
    assert verdicts(rule, three_phase_tt()) == {NOTE}


def test_what_protects_against_overload_settles_a_far_end_that_is_not_cleared_at_once():
    rule, slow = "far_end_faults_are_cleared", {"device_type": "D", "length": 60}
    (finding,) = found(rule, but(build(), "circuits", **slow))
    assert (finding.verdict, finding.reference) == (NOTE, "BS 7671, 435.1")
    assert "protected against overload by the same device" in finding.message
    # 6 mm² clipped direct carries 47 A; a device of 50 A does not protect it against overload
    assert verdicts(rule, but(build(), "circuits", **slow, device_rating=47)) == {NOTE}
    assert verdicts(rule, but(build(), "circuits", **slow, device_rating=50)) == {QUERY}
    # breaking capacity 6 kA
    assert verdicts(rule, but(but(build(), "circuits", **slow), "boards", fault_current=6)) == {NOTE}
    assert verdicts(rule, but(but(build(), "circuits", **slow), "boards", fault_current=6.1)) == {QUERY}
    assert verdicts(rule, but(build(), "circuits", **slow, breaking_capacity=None)) == {QUERY}


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        # BS 88-2, 63 A, 5 s: 0.95 × 230 V / 0.78 Ω = 280 A; √(280² × 5) / 115 = 5.4 mm²
        ({"device_rating": 63, "live_size": 10, "length": 20}, NOTE),
        # warm, the cable carries less than 63 A, so that overload protection does not settle it
        ({"device_rating": 63, "live_size": 10, "length": 250, "ambient": 45}, QUERY),
        # 125 A: 683 A, for 5 s 13.3 mm²
        ({"device_rating": 125, "live_size": 10, "length": 5}, QUERY),
        ({"device_rating": 125, "live_size": 16, "length": 5}, NOTE),
        ({"device_rating": 64, "live_size": 10, "length": 20, "ambient": 45}, NOT_ASSESSED),
    ],
)
def test_a_fuse_is_judged_by_the_times_it_is_tabulated_for(cells, verdict):
    feeder = {"device": "BS 88-2", "device_type": "gG", "cpc_size": 10, "feeds": "distribution circuit"}
    job = but(but(build(), "circuits", **(feeder | cells)), "supply", ze=0.1)
    assert judge("far_end_faults_are_cleared", job) == [(NINE, verdict)]


# breaking capacity ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fault", "board", "verdict"),
    [
        (1.02, {}, PASS),
        (5.4, {}, PASS),
        (5.41, {}, NOTE),
        (6.0, {}, NOTE),
        (6.01, {}, FAIL),
        (6.01, {"conditional_rating": 16, "conditional_source": "maker's data sheet"}, PASS),
        (6.01, {"conditional_rating": 16}, FAIL),
        (16.1, {"conditional_rating": 16, "conditional_source": "maker's data sheet"}, FAIL),
        (6.01, {"conditional_rating": 16, "conditional_source": "data sheet", "mixed_makes": "yes"}, QUERY),
        # whether all devices are of the board's make is not known: nothing to declare a rating for
        (6.01, {"conditional_rating": 16, "conditional_source": "data sheet", "mixed_makes": None}, NOT_ASSESSED),
        ("LIM: no access", {}, PASS),
    ],
)
def test_a_6_ka_device_breaks_the_fault_current(fault, board, verdict):
    # without a reading at the board the figure at the intake, 1.02 kA, stands for it
    job = but(build(), "boards", fault_current=fault, **board)
    assert judge("breaking_capacity_covers_the_fault_current", job) == [(NINE, verdict)]


def test_a_fault_to_earth_may_be_the_larger_one_of_a_single_phase_supply():
    rule = "breaking_capacity_covers_the_fault_current"
    job = but(but(build(), "boards", fault_current=None), "supply", fault_current=5.3, fault_current_le=6.1)
    (each,) = found(rule, job)
    assert (each.verdict, each.calculation.result) == (FAIL, "6.1 kA")
    assert verdicts(rule, but(job, "supply", fault_current_le="N/A")) == {PASS}


def test_the_three_phase_current_is_twice_the_single_phase_one_unless_better_known():
    rule = "breaking_capacity_covers_the_fault_current"
    job = but(but(build(), "boards", fault_current=None), "supply", phases=3, fault_current=3.1)
    assert verdicts(rule, job) == {FAIL}
    assert "2 × line to neutral" in found(rule, job)[0].found
    assert verdicts(rule, but(job, "supply", fault_current_ll=5.0)) == {NOTE}
    assert verdicts(rule, but(job, "supply", fault_current_3ph=5.2)) == {PASS}
    assert verdicts(rule, but(job, "supply", fault_current=None)) == {NOT_ASSESSED}


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({}, PASS),
        # 0.8 × 230 V / 0.245 Ω − 0.005 kA = 0.746 kA; 1.25 × 236 V / 0.235 Ω + 0.005 kA = 1.26 kA: rounded readings
        ({"fault_current": 0.75}, PASS),
        ({"fault_current": 0.74}, QUERY),
        ({"fault_current": 1.26}, PASS),
        ({"fault_current": 1.27}, QUERY),
        ({"fault_current": 1.27, "earthing_system": "TN-S"}, PASS),
        ({"fault_current": 6, "earthing_system": "TT"}, NOT_APPLICABLE),
        ({"fault_current": 16, "fault_current_by": "by enquiry"}, NOT_APPLICABLE),
        ({"ze": None}, NOT_ASSESSED),
    ],
)
def test_fault_current_and_ze_agree(cells, verdict):
    assert judge("fault_current_agrees_with_ze", but(build(), "supply", **cells)) == [("Supply", verdict)]


def test_a_fault_current_and_ze_agree_within_what_their_instruments_resolve():
    """Ze 0.05 Ω read with ± 3 % and three digits of 0.01 Ω may be 0.0815 Ω: 3.66 kA and 2.3 kA fit both."""
    job = but(build(), "supply", ze=0.05, fault_current=2.3)
    rows = tuple(
        put(Accuracy, instrument="T1", function=function, percent=3, digits=3, last_place=step)
        for function, step in (("loop impedance", "0.01 Ω"), ("prospective fault current", "0.01 kA"))
    )
    stated = job.model_copy(update={"accuracies": rows})
    rule = "fault_current_agrees_with_ze"
    assert verdicts(rule, job) == {QUERY}
    assert verdicts(rule, stated) == {PASS}
    assert verdicts(rule, but(stated, "supply", fault_current=2.1)) == {QUERY}


@pytest.mark.parametrize(
    ("live", "cpc", "cells", "verdict"),
    [
        (6, 2.5, {}, NOTE),
        (16, 6, {}, NOTE),
        (16, 2.5, {}, QUERY),
        (2.5, 2.5, {}, QUERY),
        (25, 10, {}, QUERY),
        (16, 2.5, {"cable": "armoured"}, NOT_APPLICABLE),
        (16, 2.5, {"cpc": "separate conductor"}, NOT_APPLICABLE),
        (None, 2.5, {}, NOT_APPLICABLE),
    ],
)
def test_a_flat_cable_is_one_that_is_made(live, cpc, cells, verdict):
    """BS 6004, second-hand: 1/1, 1.5/1, 2.5/1.5, 4/1.5, 6/2.5, 10/4, 16/6 mm²."""
    job = but(build(), "circuits", live_size=live, cpc_size=cpc, **cells)
    assert judge("flat_cables_are_ones_that_are_made", job) == [(NINE, verdict)]
    assert judge("flat_cables_are_ones_that_are_made", job, by="iec") == [(NINE, NOT_APPLICABLE)]


@pytest.mark.parametrize(("value", "verdict"), [(1.4, PASS), (1.2, QUERY), (2.2, PASS), (2.3, QUERY)])
def test_fault_currents_of_three_phases_stand_in_known_ratios(value, verdict):
    job = but(build(), "supply", fault_current=1.0, fault_current_3ph=value)
    assert judge("three_phase_fault_currents_agree", job) == [("Supply", verdict)]


# protective conductor and selectivity ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({"cpc_size": 6}, PASS),
        ({"cpc_size": 2.5}, NOTE),
        # √21600 A²s / 115 = 1.278 mm² by let-through energy
        ({"cpc_size": 1.5}, NOTE),
        ({"cpc_size": 1}, QUERY),
        ({"cpc_size": 2.5, "device": "BS 88-3"}, NOT_ASSESSED),
        ({"cpc_size": None}, NOT_ASSESSED),
    ],
)
def test_a_protective_conductor_bears_a_fault_by_table_or_by_a_bound(cells, verdict):
    assert judge("protective_conductors_bear_a_fault", but(build(), "circuits", **cells)) == [(NINE, verdict)]


def test_a_reduced_conductor_on_tt_is_judged_by_the_rcd():
    job = but(three_phase_tt(), "circuits", cpc="core of the cable", cpc_size=2.5)
    assert verdicts("protective_conductors_bear_a_fault", job) == {NOTE}


@pytest.mark.parametrize(("size", "verdict"), [(4, PASS), (2.5, NOTE), (1.5, FAIL)])
def test_a_separate_protective_conductor_has_a_mechanical_minimum(size, verdict):
    job = but(build(), "circuits", cpc="separate conductor", cpc_size=size)
    assert judge("separate_conductors_are_not_too_thin", job) == [(NINE, verdict)]


def test_circuits_on_a_tray_are_said_to_be_taken_as_a_single_layer():
    job = but(build(), "circuits", grouped=3, grouping="perforated tray", method="E", cable="multicore sheathed")
    told = [each.shown for each in found("devices_and_cables_carry_the_load", job)[0].calculation.inputs]
    assert "3 circuits, perforated tray, taken as a single layer, touching: confirm" in told


def test_inverted_ratings_are_asked_about_and_breakers_in_series_are_told():
    rule = "devices_nearest_the_fault_open_first"
    # a breaker behind a fuse: no ratio tells, only the makers' figures
    assert verdicts(rule, build()) == {NOTE}
    assert verdicts(rule, but(build(), "supply", cutout_rating=32)) == {QUERY}
    assert verdicts(rule, but(build(), "circuits", device="BS 88-3", device_rating=80)) == {NOTE}
    assert verdicts(rule, but(build(), "circuits", device="BS 88-3", device_rating=62.5)) == {PASS}


def test_rcds_in_series_without_delay_are_asked_about():
    rule = "rcds_in_series_have_a_delay"
    assert judge(rule, build()) == [(NINE, PASS)]
    assert judge(rule, but(build(), "boards", rcd_type="B", rcd_rating=100)) == [(NINE, QUERY)]
    assert judge(rule, but(build(), "boards", rcd_type="B", rcd_rating=100, rcd_delay="S")) == [(NINE, PASS)]
