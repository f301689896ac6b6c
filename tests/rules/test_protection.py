"""RCDs, open PEN, electrodes, bonding, other sources."""

import pytest
from rules.honest import (
    board_row,
    build,
    but,
    circuit_row,
    found,
    judge,
    planned,
    point_row,
    put,
    three_phase_tt,
    verdicts,
)

from pipeline.facts.findings import Verdict
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.sources import OtherSource

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
NINE, CP1 = "Board MAIN, circuit 9", "Charge point CP1"
NO_RCD = {"rcd_type": None, "rcd_rating": None, "rcd_poles": None}


# the point's own RCD --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({}, PASS),
        ({"rcd_type": "B"}, PASS),
        ({"rcd_rating": 10}, PASS),
        ({"rcd_type": "AC"}, FAIL),
        ({"rcd_rating": 30.1}, FAIL),
        ({"rcd_rating": 100}, FAIL),
        ({"rcd_poles": 1}, FAIL),
        ({"phases": 3, "rcd_poles": 2}, FAIL),
        (NO_RCD, FAIL),
        ({"rcd_type": "type not read"}, QUERY),
        ({"rcd_poles": None}, NOT_ASSESSED),
    ],
)
def test_a_point_has_its_own_rcd_of_30_ma_on_all_live_conductors(cells, verdict):
    assert judge("each_point_has_its_own_rcd", but(build(), "circuits", **cells)) == [(CP1, verdict)]


def test_an_rcd_inside_needs_a_model_that_has_one():
    rule = "each_point_has_its_own_rcd"
    inside = {"rcd_place": "inside the charge point", "rcd_type": "A", "rcd_rating": 30, "rcd_poles": 2}
    job = but(but(build(), "points", **inside), "circuits", **NO_RCD)
    assert judge(rule, job) == [(CP1, QUERY)]
    assert judge(rule, but(job, "models", rcd_inside="yes")) == [(CP1, PASS)]
    assert judge(rule, but(build(), "points", rcd_place=None)) == [(CP1, NOT_ASSESSED)]


def test_a_maker_that_asks_for_more_is_asked_about():
    rule = "each_point_has_its_own_rcd"
    assert judge(rule, but(build(), "models", upstream_rcd="B")) == [(CP1, QUERY)]
    assert judge(rule, but(build(), "models", upstream_rcd=None)) == [(CP1, PASS)]


def test_smooth_dc_needs_type_b_or_a_6_ma_device():
    rule = "dc_residual_current_is_dealt_with"
    bare = but(build(), "models", dc_detection="none")
    assert judge(rule, build()) == [(CP1, PASS)]
    assert judge(rule, bare) == [(CP1, FAIL)]
    assert judge(rule, but(bare, "circuits", rcd_type="B")) == [(CP1, PASS)]
    assert judge(rule, but(build(), "models", dc_detection=None)) == [(CP1, NOT_ASSESSED)]


def two_points(**board):
    """Two points behind one board."""
    return build(
        boards=(board_row(**board),),
        circuits=(circuit_row(), circuit_row(circuit="10")),
        points=(point_row(), point_row(point="CP2", circuit="10")),
    )


@pytest.mark.parametrize(
    ("job", "verdict"),
    [
        (build(), NOT_APPLICABLE),
        (but(build(), "boards", rcd_type="A"), PASS),
        (but(build(), "boards", rcd_type="AC"), FAIL),
        (but(build(), "boards", rcd_type="type not read"), QUERY),
        (but(but(build(), "boards", rcd_type="A"), "models", dc_detection="type B RCD"), FAIL),
        (two_points(rcd_type="A"), FAIL),
        (two_points(rcd_type="B"), PASS),
        (two_points(rcd_type="A", rcd_declaration="maker's letter 7"), QUERY),
        (build(boards=(board_row(), board_row(board="HOUSE", rcd_type="AC"))), NOTE),
    ],
)
def test_what_stands_upstream_bears_smooth_dc(job, verdict):
    assert verdicts("rcds_upstream_stand_smooth_dc", job) == {verdict}


def test_an_rcd_of_a_feeder_counts_as_upstream():
    feeder = circuit_row(circuit="1", feeds="distribution circuit", rcd_type="AC", rcd_rating=100)
    sub = board_row(board="SUB", fed_board="MAIN", fed_circuit="1")
    job = build(
        boards=(board_row(), sub), circuits=(feeder, circuit_row(board="SUB")), points=(point_row(board="SUB"),)
    )
    assert judge("rcds_upstream_stand_smooth_dc", job) == [("Board MAIN, circuit 1", FAIL)]


# break times ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({"rcd_time": 24}, PASS),
        ({"rcd_time": 300}, PASS),
        ({"rcd_time": 301}, FAIL),
        ({"rcd_time": 5}, PASS),
        ({"rcd_time": 4}, QUERY),
        ({"rcd_time": 0}, FAIL),
        # IEC 61008-1, Table 1: 40 ms at five times the rated residual current
        ({"rcd_time_5": 40}, PASS),
        ({"rcd_time_5": 41}, FAIL),
    ],
)
def test_an_rcd_trips_within_its_limit_and_not_in_no_time(cells, verdict):
    assert (NINE, verdict) in judge("rcds_trip_in_time", but(build(), "readings", rcd_time_180=None, **cells))


@pytest.mark.parametrize(("time", "verdict"), [(129, FAIL), (130, PASS), (500, PASS), (501, FAIL)])
def test_a_delayed_rcd_holds_a_while(time, verdict):
    job = but(but(build(), "circuits", rcd_delay="S"), "readings", rcd_time=time, rcd_time_180=None)
    assert judge("rcds_trip_in_time", job) == [(NINE, verdict)]


def test_an_rcd_without_a_test_is_not_assessed():
    rule = "rcds_are_tested"
    assert judge(rule, build()) == [(NINE, PASS)]
    assert judge(rule, but(build(), "readings", rcd_time=None, rcd_time_180=None)) == [(NINE, NOT_ASSESSED)]
    assert judge(rule, but(build(), "readings", rcd_time="N/A", rcd_time_180=None)) == [(NINE, NOT_ASSESSED)]
    assert judge(rule, but(build(), "readings", rcd_time=None)) == [(NINE, PASS)]


def test_swapped_columns_of_rcd_times_are_asked_about():
    rule = "more_current_trips_an_rcd_sooner"
    assert verdicts(rule, but(build(), "readings", rcd_time_5=12)) == {PASS}
    assert verdicts(rule, but(build(), "readings", rcd_time=12, rcd_time_5=24)) == {QUERY}
    assert verdicts(rule, build()) == {NOT_APPLICABLE}


@pytest.mark.parametrize(
    ("button", "verdict"), [("works", PASS), ("failed", FAIL), ("not tested", QUERY), (None, NOT_ASSESSED)]
)
def test_the_button_of_an_rcd_works(button, verdict):
    assert judge("buttons_of_rcds_work", but(build(), "readings", rcd_button=button)) == [(NINE, verdict)]


# isolation ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("phases", "poles", "system", "verdict"),
    [
        (1, 2, "TN-C-S", PASS),
        (1, 1, "TN-C-S", QUERY),
        (3, 4, "TT", PASS),
        (3, 3, "TT", QUERY),
        (3, 3, "TN-S", NOTE),
        (3, 2, "TN-S", QUERY),
        (1, None, "TN-S", NOT_ASSESSED),
    ],
)
def test_the_main_switch_breaks_the_neutral(phases, poles, system, verdict):
    job = but(but(build(), "boards", phases=phases, main_switch_poles=poles), "supply", earthing_system=system)
    assert judge("main_switches_break_the_neutral", job) == [("Board MAIN", verdict)]


# open PEN -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({}, PASS),
        ({"open_pen": None}, FAIL),
        ({"open_pen": "not needed"}, FAIL),
        ({"open_pen": None, "vehicle_outdoors": None}, FAIL),
        ({"open_pen": None, "vehicle_outdoors": "no"}, NOT_APPLICABLE),
        ({"open_pen_evidence": None}, QUERY),
        ({"open_pen_phases": None}, NOT_ASSESSED),
        ({"open_pen": "device inside the charge point"}, FAIL),
        ({"open_pen": "earth electrode with calculation"}, FAIL),
        ({"open_pen": "balanced three-phase calculation"}, FAIL),
        ({"open_pen": "TT island"}, FAIL),
    ],
)
def test_a_vehicle_outdoors_on_tn_c_s_needs_a_measure_that_works(cells, verdict):
    assert judge("vehicles_outdoors_are_safe_if_the_pen_breaks", but(build(), "points", **cells)) == [(CP1, verdict)]


def test_measures_that_work_pass():
    rule = "vehicles_outdoors_are_safe_if_the_pen_breaks"
    inside = but(build(), "points", open_pen="device inside the charge point", open_pen_evidence=None)
    assert verdicts(rule, but(inside, "models", open_pen_inside="single-phase")) == {PASS}
    island = but(but(build(), "points", open_pen="TT island"), "circuits", earthing_system="TT")
    assert verdicts(rule, island) == {PASS}
    rod = (put(Electrode, job="J1", electrode="rod", resistance=2.0),)
    electrode = but(build(electrodes=rod), "points", open_pen="earth electrode with calculation")
    assert verdicts(rule, electrode) == {PASS}
    assert verdicts(rule, but(electrode, "points", open_pen_evidence=None)) == {QUERY}


def test_a_measure_on_a_confirmed_tn_s_is_named_though_none_is_needed():
    job = but(build(), "supply", earthing_system="TN-S", tn_s_confirmed="yes")
    (finding,) = found("vehicles_outdoors_are_safe_if_the_pen_breaks", job)
    assert finding.verdict is PASS
    assert "no measure is needed; there is one all the same: separate device" in finding.message


def test_a_device_has_as_many_phases_as_the_supply():
    rule = "vehicles_outdoors_are_safe_if_the_pen_breaks"
    three = but(build(), "supply", phases=3)
    assert verdicts(rule, three) == {FAIL}
    assert verdicts(rule, but(three, "points", open_pen_phases=3)) == {PASS}
    assert verdicts(rule, but(three, "points", open_pen="balanced three-phase calculation")) == {PASS}


@pytest.mark.parametrize(
    ("supply", "verdict"),
    [
        ({"earthing_system": "TT"}, NOT_APPLICABLE),
        ({"earthing_system": "TN-S", "tn_s_confirmed": "yes"}, NOT_APPLICABLE),
        ({"earthing_system": "TN-S"}, NOTE),
        ({"earthing_system": "TN-C-S"}, FAIL),
        ({"earthing_system": None}, NOT_ASSESSED),
    ],
)
def test_the_supply_decides_whether_a_pen_can_break(supply, verdict):
    job = but(but(build(), "points", open_pen=None), "supply", **supply)
    assert judge("vehicles_outdoors_are_safe_if_the_pen_breaks", job) == [(CP1, verdict)]


def test_the_international_family_only_tells():
    job = but(but(build(), "points", open_pen=None), "row", family="iec")
    assert verdicts("vehicles_outdoors_are_safe_if_the_pen_breaks", job, by="iec") == {NOTE}


# TT -------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ohm", "rating", "verdict"),
    [
        (44.5, 30, PASS),
        (100, 500, PASS),
        (100.1, 500, FAIL),
        (1666, 30, PASS),
        (1667, 30, FAIL),
        (None, 30, NOT_ASSESSED),
    ],
)
def test_electrode_and_rcd_keep_the_touch_voltage(ohm, rating, verdict):
    # BS 7671 Table 41.5: 50 V / I_Δn; 50 V / 30 mA = 1666.7 Ω, printed there as 1667
    job = but(but(three_phase_tt(), "electrodes", resistance=ohm), "circuits", rcd_rating=rating)
    assert judge("tt_circuits_have_an_rcd_that_suits_the_electrode", job) == [(NINE, verdict)]


def test_tt_without_an_rcd_fails_and_without_an_electrode_is_not_assessed():
    rule = "tt_circuits_have_an_rcd_that_suits_the_electrode"
    bare = but(three_phase_tt(), "circuits", **NO_RCD)
    assert judge(rule, bare) == [(NINE, FAIL)]
    assert judge(rule, but(bare, "boards", rcd_type="A", rcd_rating=100)) == [(NINE, PASS)]
    assert judge(rule, three_phase_tt().model_copy(update={"electrodes": ()})) == [(NINE, NOT_ASSESSED)]
    assert judge(rule, build()) == []


def test_an_estimate_before_the_visit_is_a_note():
    job = planned(but(three_phase_tt(), "electrodes", resistance=None, expected=80))
    assert judge("tt_circuits_have_an_rcd_that_suits_the_electrode", job) == [(NINE, NOTE)]


@pytest.mark.parametrize(("ohm", "verdict"), [(0.8, QUERY), (0.81, NOTE), (200, NOTE), (200.1, NOTE)])
def test_an_electrode_reads_like_one(ohm, verdict):
    finding = found("electrodes_read_like_one", but(three_phase_tt(), "electrodes", resistance=ohm))[0]
    assert finding.verdict is verdict
    assert ("stable" in finding.message) is (ohm > 200)


def test_a_loop_below_its_electrode_is_told():
    rule = "zs_on_tt_contains_the_electrode"
    assert judge(rule, three_phase_tt()) == [(NINE, PASS)]
    assert judge(rule, but(three_phase_tt(), "readings", zs=20)) == [(NINE, NOTE)]


def island(**cells):
    """A TT island on a TN-C-S supply."""
    usual = {"electrode": "rod", "resistance": 60, "supply_earth_stops": "Gland at the board", "separation": 2.5}
    job = build(electrodes=(put(Electrode, job="J1", **(usual | {"armour_isolated": "yes"} | cells)),))
    armoured = {"cable": "armoured", "insulation": "XLPE 90 °C", "cpc": "armour", "cpc_size": 30}
    return but(but(job, "circuits", earthing_system="TT", **armoured), "points", open_pen="TT island")


def test_the_armour_of_an_island_ends_before_it():
    rule = "tt_islands_are_islands"
    assert judge(rule, island()) == [(NINE, PASS)]
    assert judge(rule, island(armour_isolated="no")) == [(NINE, FAIL)]
    assert judge(rule, island(supply_earth_stops=None)) == [(NINE, NOT_ASSESSED)]
    assert judge(rule, three_phase_tt()) == []


# earthing and bonding -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [({}, PASS), ({"earthing_conductor": 10}, FAIL), ({"tails_size": 50}, FAIL), ({"tails_size": None}, NOT_ASSESSED)],
)
def test_the_earthing_conductor_follows_the_tails(cells, verdict):
    # BS 7671 Table 54.7: 16 mm² for tails over 16 and up to 35 mm²
    assert judge("earthing_conductor_has_its_size", but(build(), "supply", **cells)) == [("Supply", verdict)]


def test_a_thin_earthing_conductor_on_tt_is_asked_about():
    job = but(three_phase_tt(), "supply", earthing_conductor=10)
    assert judge("earthing_conductor_has_its_size", job) == [("Supply", QUERY)]
    assert judge("earthing_conductor_has_its_size", three_phase_tt()) == [("Supply", NOTE)]


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({}, PASS),
        # BS 7671 Table 54.8: 10 mm² up to a neutral of 35 mm², 16 mm² up to 50 mm²
        ({"bonding_size": 6}, FAIL),
        ({"neutral_size": 50}, FAIL),
        ({"neutral_size": None}, PASS),
        ({"bonding_size": 6, "earthing_system": "TN-S", "earthing_conductor": 10}, PASS),
        ({"bonding_to": "none present", "bonding_size": None}, NOT_APPLICABLE),
        ({"bonding_size": None}, NOT_ASSESSED),
        ({"bonding_material": "steel"}, QUERY),
    ],
)
def test_main_bonding_follows_the_neutral_or_the_earthing_conductor(cells, verdict):
    assert judge("main_bonding_has_its_size", but(build(), "supply", **cells)) == [("Supply", verdict)]


def test_a_high_resistance_of_the_bonding_is_told():
    rule, told = "main_bonding_is_continuous", "higher than that of a short copper conductor"
    for ohm, high in ((0.04, False), (0.05, False), (0.06, True)):
        (finding,) = found(rule, but(build(), "supply", bonding_continuity=ohm))
        assert (finding.verdict, told in finding.message) == (NOTE, high)
    assert verdicts(rule, but(build(), "supply", bonding_continuity="LIM: behind tiles")) == {NOT_ASSESSED}
    assert verdicts(rule, but(build(), "supply", bonding_continuity="N/A")) == {NOT_APPLICABLE}
    assert verdicts("main_bonding_is_continuous", but(build(), "supply", bonding_continuity=None)) == {NOT_APPLICABLE}


# other sources --------------------------------------------------------------------------------------------------------


def solar(**cells):
    """The honest job with a solar generator at the same board."""
    usual = {
        "job": "J1",
        "source": "solar",
        "rating": 3.6,
        "phases": 1,
        "board": "MAIN",
        "consent": "given",
        "island_mode": "no",
        "isolator_place": "Loft",
        "notices_fitted": "yes",
    }
    return build(sources=(put(OtherSource, **(usual | cells)),))


def test_a_source_without_a_notice_is_asked_about():
    assert judge("two_sources_are_announced", solar()) == [("Source solar", PASS)]
    assert judge("two_sources_are_announced", solar(notices_fitted="no")) == [("Source solar", QUERY)]
    assert judge("two_sources_are_announced", solar(isolator_place=None)) == [("Source solar", NOT_ASSESSED)]
    assert judge("two_sources_are_announced", build()) == [("Job", NOT_APPLICABLE)]


def test_a_source_and_a_point_do_not_share_an_rcd():
    rule = "sources_do_not_share_an_rcd_with_a_point"
    assert judge(rule, solar()) == [("Source solar", PASS)]
    assert judge(rule, but(solar(), "boards", rcd_type="A")) == [("Source solar", QUERY)]


@pytest.mark.parametrize(("directions", "verdict"), [("both directions", PASS), ("one direction", FAIL), (None, QUERY)])
def test_a_point_that_returns_power_needs_a_device_for_both_directions(directions, verdict):
    job = but(but(build(), "models", returns_power="yes"), "circuits", directions=directions)
    assert judge("devices_suit_both_directions", job) == [(NINE, verdict)]
    assert judge("devices_suit_both_directions", build()) == [("Job", NOT_APPLICABLE)]


def test_an_open_consent_and_running_without_the_grid_are_told():
    assert verdicts("sources_have_their_consent", solar()) == {PASS}
    assert verdicts("sources_have_their_consent", solar(consent="applied for")) == {NOTE}
    assert verdicts("sources_have_their_consent", solar(island_mode="yes")) == {NOTE}
