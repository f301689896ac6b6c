"""Where one day, one millimetre, one pole or one row decides: the last step on each side of a verdict."""

from datetime import timedelta

import pytest
from rules.honest import (
    TESTED_ON,
    board_row,
    build,
    but,
    change,
    circuit_row,
    found,
    judge,
    point_row,
    put,
    readings_row,
    three_phase_tt,
    verdicts,
)

from pipeline.editions import edition
from pipeline.facts.findings import Verdict
from pipeline.facts.rows.models import Fixing
from pipeline.facts.rows.sources import OtherSource
from pipeline.rules.base import Case
from pipeline.rules.loads import circuit_phases, sum_of
from pipeline.rules.slips import Pair

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED = Verdict.NOT_ASSESSED
DAY = timedelta(days=1)


def car_park(*phases):
    """A single-phase point on each of these phases, behind a board with a three-phase feeder."""
    three = {"cable": "armoured", "insulation": "XLPE 90 °C", "phases": 3, "live_size": 16, "device_rating": 63}
    feeder = circuit_row(circuit="1", feeds="distribution circuit", length=20, **three)
    return build(
        supply=change(build().supply, phases=3, demand_l2=20, demand_l3=20),
        boards=(board_row(phases=3), board_row(board="SUB", fed_board="MAIN", fed_circuit="1", phases=3)),
        circuits=(feeder, *(circuit_row(board="SUB", circuit=f"1L{each}") for each in phases)),
        points=tuple(point_row(point=f"CP{each}", board="SUB", circuit=f"1L{each}") for each in phases),
    )


def first(rows, **cells):
    """Rows with other cells in the first one."""
    return (change(rows[0], **cells), *rows[1:])


@pytest.mark.parametrize(("day", "verdict"), [(TESTED_ON, QUERY), (TESTED_ON - DAY, QUERY), (TESTED_ON + DAY, PASS)])
def test_an_inspection_on_the_day_of_the_tests_is_no_next_one_whatever_the_reason(day, verdict):
    job = but(build(), "row", next_inspection=day, next_reason="the landlord wants it so")
    assert verdicts("next_inspection_is_within_custom", job) == {verdict}


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({"calibrated": TESTED_ON}, PASS),
        ({"calibrated": TESTED_ON + DAY}, QUERY),
        ({"due": TESTED_ON}, NOTE),
        ({"due": TESTED_ON - DAY}, QUERY),
        # due before it was made: one of the dates is typed wrongly
        ({"calibrated": TESTED_ON, "due": TESTED_ON - DAY}, QUERY),
        ({"calibrated": TESTED_ON, "due": TESTED_ON}, QUERY),
    ],
)
def test_a_calibration_counts_from_its_own_day_to_the_day_on_which_it_is_due(cells, verdict):
    job = build()
    job = job.model_copy(update={"instruments": first(job.instruments, **cells)})
    assert ("Instrument T1", verdict) in judge("instruments_are_calibrated_on_the_day_of_the_tests", job)


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({"valid_from": TESTED_ON}, PASS),
        ({"valid_from": TESTED_ON + DAY}, FAIL),
        ({"valid_to": TESTED_ON}, PASS),
        ({"valid_to": TESTED_ON - DAY}, FAIL),
    ],
)
def test_an_authorisation_counts_on_its_first_day_and_on_its_last(cells, verdict):
    job = build(people=first(build().people, **cells))
    told = [each for each in found("people_are_authorised_on_the_day", job) if "testing" in each.message]
    assert [each.verdict for each in told] == [verdict]


# IEC 61008-1, Table 1: 300 ms at I_Δn, in either half-wave
@pytest.mark.parametrize("half_wave", ["rcd_time", "rcd_time_180"])
@pytest.mark.parametrize(("milliseconds", "verdict"), [(300, PASS), (301, FAIL), (4.9, QUERY), (5, PASS), (0, FAIL)])
def test_each_half_wave_has_the_same_limit(half_wave, milliseconds, verdict):
    job = but(build(), "readings", **({"rcd_time": None, "rcd_time_180": None} | {half_wave: milliseconds}))
    (finding,) = found("rcds_trip_in_time", job)
    assert finding.verdict is verdict
    assert finding.calculation.symbols == "t ≤ t_max"


@pytest.mark.parametrize(
    ("milliseconds", "remedy"), [(0, "Test, and enter"), (301, "Test again; if it is so, replace")]
)
def test_no_rcd_is_replaced_for_a_time_that_was_never_measured(milliseconds, remedy):
    (finding,) = found("rcds_trip_in_time", but(build(), "readings", rcd_time=milliseconds, rcd_time_180=None))
    assert finding.remedy.startswith(remedy)


@pytest.mark.parametrize(("milliseconds", "verdict"), [(0, FAIL), (4.9, QUERY), (5, PASS), (300, PASS), (301, FAIL)])
def test_an_rcd_before_several_circuits_has_the_limit_of_every_other(milliseconds, verdict):
    shared = but(build(), "boards", rcd_type="A", rcd_rating=30, rcd_delay="none", rcd_time=milliseconds)
    assert verdicts("rcds_upstream_are_tested", shared) == {verdict}


# IEC 61008-1, Table 1: of type S 130 ms to 500 ms
@pytest.mark.parametrize(("milliseconds", "verdict"), [(130, PASS), (129, FAIL), (500, PASS), (501, FAIL)])
def test_a_delayed_rcd_trips_neither_too_early_nor_too_late(milliseconds, verdict):
    job = but(but(build(), "circuits", rcd_delay="S"), "readings", rcd_time=milliseconds, rcd_time_180=None)
    (finding,) = found("rcds_trip_in_time", job)
    assert finding.verdict is verdict
    assert finding.calculation.symbols == "t_min ≤ t ≤ t_max"


@pytest.mark.parametrize("cells", [("LIM: no access", "LIM: no access"), (None, "LIM: no access")])
def test_what_stands_instead_of_a_break_time_is_told(cells):
    job = but(build(), "readings", rcd_time=cells[0], rcd_time_180=cells[1])
    (finding,) = found("rcds_are_tested", job)
    assert finding.verdict is NOT_ASSESSED
    assert finding.found.startswith("LIM")


@pytest.mark.parametrize(("phases", "poles", "verdict"), [(3, 4, PASS), (3, 3, FAIL), (1, 2, PASS), (1, 1, FAIL)])
def test_a_point_s_rcd_breaks_every_live_conductor(phases, poles, verdict):
    job = but(three_phase_tt() if phases == 3 else build(), "circuits", rcd_poles=poles)
    assert verdicts("each_point_has_its_own_rcd", job) == {verdict}


# common practice: which screw spreads which plug
@pytest.mark.parametrize(
    ("plug", "thin", "thick"), [(5, 3, 4), (6, 4, 5), (8, 4.5, 6), (10, 6, 8), (12, 8, 10)], ids=lambda each: f"{each}"
)
def test_a_plug_is_spread_by_screws_from_a_thinnest_to_a_thickest(plug, thin, thick):
    for screw, verdict in ((thin, NOTE), (thick, NOTE), (thin - 0.1, QUERY), (thick + 0.1, QUERY)):
        fixing = put(Fixing, model="EX-7", place="wall plate", screw_diameter=screw, plug_diameter=plug)
        assert verdicts("fixings_of_a_set_fit_together", build(fixings=(fixing,))) == {verdict}, screw


@pytest.mark.parametrize(
    ("place", "cells", "verdict"),
    [
        ("wall plate", {}, NOTE),
        ("wall plate", {"count": 5}, QUERY),
        ("wall plate", {"screw_diameter": 5.5}, QUERY),
        ("post", {"count": 5}, NOTE),
    ],
)
def test_two_rows_for_one_place_of_a_model_have_the_same_sizes(place, cells, verdict):
    usual = {"model": "EX-7", "count": 4, "screw_diameter": 5, "plug_diameter": 8}
    one = put(Fixing, place="wall plate", **usual)
    other = put(Fixing, place=place, **(usual | cells))
    assert verdicts("fixings_of_a_set_fit_together", build(fixings=(one, other))) == {verdict}


@pytest.mark.parametrize("factor", [1000, 100, 10, 0.1, 0.01, 0.001])
def test_a_moved_point_is_recognised_within_three_tenths_and_not_beyond(factor):
    """Common practice: a figure off by about a power of ten was typed in another unit or with its point moved."""

    def said(share):
        return list(Pair("R1+R2", 0.2 * factor * share, "by the cable", 0.2, "Ω").slips())

    assert [len(said(share)) for share in (0.71, 1.29)] == [1, 1]
    assert [len(said(share)) for share in (0.69, 1.31)] == [0, 0]


def test_a_point_on_three_phases_loads_each_of_them_alike():
    job = three_phase_tt()
    assert sum_of(job, job.points).amperes == (32.0, 32.0, 32.0)


# 11 kW over three phases of 230 V: 15.9 A; 3.68 kW on one: 16 A
@pytest.mark.parametrize(("kilowatts", "phases", "amperes"), [(11, 3, "115.9 A"), (3.68, 1, "116 A")])
def test_a_source_brings_its_power_over_its_phases(kilowatts, phases, amperes):
    source = put(OtherSource, job="J1", source="solar", rating=kilowatts, phases=phases, board="MAIN")
    (finding,) = found("boards_carry_supply_and_generation", build(sources=(source,)))
    assert finding.calculation.result == amperes


def test_a_cable_whose_capacity_no_table_gives_is_told_elsewhere():
    returning = but(but(build(), "models", returns_power="yes"), "circuits", method="D1 in duct")
    assert verdicts("cables_carry_supply_and_generation", returning) == {Verdict.NOT_APPLICABLE}


def test_the_volts_at_the_vehicle_are_those_of_the_supply_less_the_drop():
    """BS 7671, Table 4D5: 7.3 mV/A/m × 32 A × 40 m = 9.344 V, of 230 V and of the lowest supply, 216.2 V."""
    (finding,) = found("vehicles_keep_their_voltage", but(build(), "circuits", length=40))
    assert finding.calculation.numbers == "230 V − 9.344 V = 220.7 V; 216.2 V − 9.344 V = 206.9 V"


# common practice: a figure that was worked out agrees with its parts to the rounding of its last digit
@pytest.mark.parametrize(("ohms", "verdict"), [(0.3948, PASS), (0.3952, FAIL), (0.3852, PASS), (0.3848, FAIL)])
def test_a_calculated_loop_is_the_sum_of_its_parts_to_its_last_digit(ohms, verdict):
    job = but(build(), "readings", zs=ohms, zs_source="calculated")
    assert verdicts("zs_agrees_with_its_parts", job) == {verdict}


@pytest.mark.parametrize(("ways", "phases"), [((1, 2, 3), 3), ((1,), 1), ((1, 2), 1)])
def test_a_feeder_is_loaded_on_three_phases_only_where_each_of_them_serves_a_point(ways, phases):
    job = car_park(*ways)
    assert circuit_phases(job, job.circuits[0]) == phases


def test_a_separate_device_for_no_phase_is_no_measure():
    assert verdicts("vehicles_outdoors_are_safe_if_the_pen_breaks", but(build(), "points", open_pen_phases=0)) == {FAIL}


@pytest.mark.parametrize(
    ("fed_from", "in_a_circle"),
    [((None, "A", "B"), 0), ((None, "A", "C"), 1), (("C", "A", "B"), 3), ((None, "A", "D"), 0)],
)
def test_boards_that_feed_each_other_are_found_however_long_the_circle(fed_from, in_a_circle):
    boards = tuple(board_row(board=name, fed_board=fed) for name, fed in zip("ABC", fed_from, strict=True))
    told = judge("boards_are_fed_from_the_intake", build(boards=boards))
    assert [verdict for _, verdict in told].count(FAIL) == in_a_circle


def test_a_single_phase_way_behind_a_three_phase_feeder_is_judged_alone_on_its_phase():
    assert len(judge("one_phase_alone_drops_no_more", car_park(1, 2, 3))) == 3


@pytest.mark.parametrize(("device", "factor"), [("BS 3036", "0.725 × "), ("BS EN 61009", "")])
def test_a_working_shows_the_share_of_a_semi_enclosed_fuse_and_no_idle_one(device, factor):
    job = but(build(), "circuits", device=device, device_type="gG" if factor else "B", device_rating=32)
    (finding,) = found("devices_and_cables_carry_the_load", job)
    assert finding.calculation.symbols.startswith(f"I_B ≤ I_n ≤ {factor}I_z")


def test_an_upstream_rcd_before_a_point_of_an_unknown_model_is_not_judged():
    """Whether 6 mA of smooth d.c. can pass the point is the model's business."""
    job = but(but(build(models=()), "boards", rcd_type="A"), "circuits", rcd_type="A")
    assert verdicts("rcds_upstream_stand_smooth_dc", job) == {NOT_ASSESSED}


@pytest.mark.parametrize(("delay", "verdict"), [("none", QUERY), (None, QUERY), ("S", PASS)])
def test_an_rcd_of_the_feeder_counts_as_one_upstream(delay, verdict):
    feeder = circuit_row(circuit="1", feeds="distribution circuit", rcd_delay=delay, rcd_rating=100)
    sub = board_row(board="SUB", fed_board="MAIN", fed_circuit="1")
    job = build(
        boards=(board_row(), sub),
        circuits=(feeder, circuit_row(board="SUB")),
        points=(point_row(board="SUB"),),
    )
    assert dict(judge("rcds_in_series_have_a_delay", job))["Board SUB, circuit 9"] is verdict


def test_a_case_works_a_figure_out_once():
    case, asked = Case(build(), edition("uk_2018_a2"), TESTED_ON), []
    assert [case.once(("loop", 1), lambda: asked.append(1) or "worked out") for _ in range(3)] == ["worked out"] * 3
    assert asked == [1]


@pytest.mark.parametrize(("ohms", "verdict"), [(0.79, PASS), (0.39, QUERY), (1.2, QUERY)])
def test_the_loop_behind_a_feeder_is_the_sum_of_all_its_parts(ohms, verdict):
    """0.24 Ω at the intake, 0.4 Ω of the feeder and 0.15 Ω of the circuit's own."""
    feeder = circuit_row(circuit="1", feeds="distribution circuit")
    readings = (readings_row(circuit="1", r1_r2=0.4, zs=0.64), readings_row(board="SUB", zs=ohms))
    job = build(
        boards=(board_row(), board_row(board="SUB", fed_board="MAIN", fed_circuit="1")),
        circuits=(feeder, circuit_row(board="SUB")),
        readings=readings,
        points=(point_row(board="SUB"),),
    )
    assert dict(judge("zs_agrees_with_its_parts", job)) == {
        "Board MAIN, circuit 1": PASS,
        "Board SUB, circuit 9": verdict,
    }
