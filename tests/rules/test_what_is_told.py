"""What a finding tells beside its verdict: the figure and the cell it was judged by, the phase, the step before."""

from datetime import timedelta

import pytest
from rules.honest import (
    TESTED_ON,
    TODAY,
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
    readings_row,
    supply_row,
    three_phase_tt,
)

from pipeline.editions import edition
from pipeline.facts.choices import ArcFaultDetection, Function
from pipeline.facts.field import Place
from pipeline.facts.findings import Verdict
from pipeline.facts.reading import Reading
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.rules import check_job
from pipeline.rules.base import Case
from pipeline.rules.bonding import UNSURE
from pipeline.rules.earth_faults import largest_fault
from pipeline.rules.instruments import band_at_the_origin
from pipeline.rules.loads import Sum, point_load, sum_of
from pipeline.rules.slips import Pair

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
NINE = "Board MAIN, circuit 9"
DAY = timedelta(days=1)


def told(rule, job):
    """The only finding of a rule."""
    (finding,) = found(rule, job)
    return finding


def shown(finding, symbol):
    """A figure of a working, without its source."""
    return [each.shown.partition(" (")[0] for each in finding.calculation.inputs if each.symbol == symbol]


def with_scheme(job, **cells):
    """The job with a scheme of load management."""
    usual = {"job": "J1", "scheme": "LM1", "group_limit": 20, "fallback": 6, "limit_held": "yes"}
    return job.model_copy(update={"schemes": (put(LoadManagement, **(usual | cells)),)})


# the site sheet first ------------------------------------------------------------------------------------------------

FIRST = "First compare with the site sheet."


@pytest.mark.parametrize(
    ("part", "cells", "rule", "compared"),
    [
        ("readings", {"zs": 3.9}, "measured_zs_is_within_its_limit", True),
        ("readings", {"rcd_time": 301}, "rcds_trip_in_time", True),
        ("supply", {"fault_current_le": 0.2}, "fault_current_to_earth_agrees_with_ze", False),
        ("circuits", {"breaking_capacity": 0.5}, "breaking_capacity_covers_the_fault_current", False),
        ("points", {"torque": 9}, "terminals_are_tightened_as_the_maker_says", False),
        ("supply", {"demand_l1": 99}, "demand_fits_the_cut_out", False),
    ],
)
def test_only_a_doubtful_reading_is_first_compared_with_the_site_sheet(part, cells, rule, compared):
    findings = check_job(but(build(), part, **cells), edition("uk_2018_a2"), TODAY)
    wrong = [each for each in findings if each.rule == rule and each.verdict in {FAIL, QUERY}]
    assert wrong
    assert {each.remedy.startswith(FIRST) for each in wrong} == {compared}
    assert not [each for each in findings if each.verdict not in {FAIL, QUERY} and each.remedy.startswith(FIRST)]


# loads ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("limit", "sheet"), [(31, "Charge points"), (32, "Models"), (33, "Models")])
def test_a_load_is_told_by_the_limit_only_where_the_limit_is_below_the_models_current(limit, sheet):
    job = but(build(), "points", current_limit=limit, limit_locked="by the maker's code")
    (figure,) = point_load(job, job.points[0]).inputs
    assert figure.place.sheet == sheet


def test_a_scheme_without_a_name_limits_no_point():
    job = with_scheme(build(), scheme=None)
    added = sum_of(job, job.points)
    assert isinstance(added, Sum)
    assert added.amperes == (32, 0, 0)
    assert [each.symbol for each in added.inputs] == ["I_B"]


@pytest.mark.parametrize("cells", [{"fallback": None}, {"scheme": "LM2"}])
def test_a_point_without_a_fallback_draws_all_it_can_when_the_signal_is_lost(cells):
    job = but(with_scheme(build(), **cells), "points", scheme="LM1")
    finding = told("fallback_fits_the_supply", job)
    assert finding.calculation.symbols == "I = I_before + ΣI_B (L1)"
    assert finding.calculation.numbers == "24 A + 32 A"


@pytest.mark.parametrize(("way", "numbers", "result"), [("1L2", "20 A + 32 A", "52 A"), ("1L3", "20 A + 32 A", "52 A")])
def test_the_demand_is_told_of_the_phase_that_carries_most(way, numbers, result):
    three = change(build().supply, phases=3, demand_l1=5, demand_l2=20, demand_l3=20)
    job = build(supply=three, circuits=(circuit_row(circuit=way),), points=(point_row(circuit=way),))
    (finding,) = found("demand_fits_the_cut_out", job)
    assert (finding.calculation.numbers, finding.calculation.result) == (numbers, result)


@pytest.mark.parametrize("way", ["1L1", "1L2", "1L3"])
def test_what_flows_past_a_sensor_before_the_bays_is_that_of_the_bays_alone(way):
    feeder = circuit_row(circuit="D1", feeds="distribution circuit", device_rating=125, phases=3, device_poles=4)
    job = build(
        supply=supply_row(phases=3, demand_l1=71, demand_l2=64, demand_l3=68),
        boards=(board_row(phases=3), board_row(board="BAYS", fed_board="MAIN", fed_circuit="D1", phases=3)),
        circuits=(feeder, circuit_row(board="BAYS", circuit=way)),
        points=(point_row(board="BAYS", circuit=way, scheme="LM1"),),
    )
    finding = told("limits_can_be_held_where_their_sensor_measures", with_scheme(job, board="BAYS", group_limit=32))
    assert finding.calculation.result == "6 A"
    assert finding.calculation.symbols.endswith(f"({way[1:]})")


@pytest.mark.parametrize(("rating", "verdict"), [(62.9, FAIL), (63, PASS), (None, None)])
def test_the_switch_of_a_board_farther_down_carries_its_feeder(rating, verdict):
    feeder = circuit_row(circuit="1", feeds="distribution circuit", device_rating=80)
    ways = ("2", "3")
    job = build(
        boards=(board_row(), board_row(board="SUB", fed_board="MAIN", fed_circuit="1", main_switch_rating=rating)),
        circuits=(feeder, *(circuit_row(board="SUB", circuit=way) for way in ways)),
        points=tuple(
            point_row(point=way, board="SUB", circuit=way, current_limit=31.5, limit_locked="code") for way in ways
        ),
    )
    outcome = judge("switches_carry_what_stands_behind_them", job)
    assert outcome == ([("Board SUB", verdict)] if verdict else [])


def test_a_switch_before_which_the_device_is_larger_and_behind_which_no_point_stands_carries_nothing():
    job = but(build(points=()), "circuits", switch_rating=32)
    finding = told("switches_carry_what_stands_behind_them", job)
    assert finding.verdict is PASS
    assert (finding.calculation.result, finding.calculation.margin) == ("0 A", 100)
    assert [each.symbol for each in finding.calculation.inputs] == ["I_n"]


@pytest.mark.parametrize(
    ("circuit", "model", "verdicts"),
    [(3, 3, [PASS]), (3, 1, [PASS]), (1, 3, [QUERY]), (None, 3, []), (1, None, [])],
)
def test_a_model_has_no_more_phases_than_its_circuit(circuit, model, verdicts):
    job = but(but(build(), "circuits", phases=circuit), "models", phases=model)
    assert [verdict for _, verdict in judge("circuits_have_the_phases_of_their_model", job)] == verdicts


# cables and devices --------------------------------------------------------------------------------------------------

SLOW = {"device_type": "D", "length": 60}


def test_a_fuse_that_the_far_end_does_not_blow_is_told_by_its_longest_time():
    feeder = {"device": "BS 88-2", "device_type": "gG", "cpc_size": 10, "live_size": 10, "device_rating": 63}
    cells = feeder | {"feeds": "distribution circuit", "length": 250, "ambient": 45}
    finding = told("far_end_faults_are_cleared", but(but(build(), "circuits", **cells), "supply", ze=0.1))
    assert shown(finding, "t") == ["5 s"]
    # 0.95 × 230 V / 0.78 Ω
    assert finding.expected == "at least 280.2 A"


@pytest.mark.parametrize(("rating", "verdict"), [(41, NOTE), (42, QUERY)])
def test_overload_protection_settles_a_far_end_in_the_ground_only_with_the_factor_for_burial(rating, verdict):
    # 46 A in a duct, 0.9 × 46 A = 41.4 A with the factor
    ground = {"cable": "armoured", "insulation": "XLPE 90 °C", "method": "D1 in duct", "ambient": 20, "soil": 2.5}
    job = but(build(), "circuits", **SLOW, **ground, device_rating=rating)
    assert judge("far_end_faults_are_cleared", job) == [(NINE, verdict)]


def test_a_core_of_the_cable_is_no_separate_protective_conductor():
    rule = "separate_conductors_are_not_too_thin"
    assert found(rule, build()) == []
    assert found(rule, but(build(), "circuits", cpc="separate conductor", cpc_size=None)) == []


def test_the_reserve_of_a_continuity_is_told_to_its_upper_end():
    # 0.15 Ω up to 0.198 Ω
    finding = told("r1_r2_fits_the_cable", build())
    upper = float(finding.calculation.limit.partition(" to ")[2].partition(" ")[0])
    assert finding.calculation.margin == pytest.approx(100 * (1 - 0.15 / upper), rel=0.01)


def test_a_protective_conductor_alone_beside_metal_may_read_next_to_nothing():
    """A share of the line is the floor of line and protective conductor together, not of the latter."""
    job = but(but(build(), "circuits", parallel_path="yes"), "readings", r1_r2=None, r2=0.01)
    (finding,) = [each for each in found("r1_r2_fits_the_cable", job) if each.calculation]
    assert finding.verdict is PASS
    assert finding.calculation.limit.startswith("0 Ω to ")


# the electrode -------------------------------------------------------------------------------------------------------


def test_before_the_visit_the_designers_estimate_stands_for_the_electrode():
    job = but(planned(three_phase_tt()), "electrodes", expected=80, resistance=None)
    (finding,) = found("tt_circuits_have_an_rcd_that_suits_the_electrode", job)
    assert [each.symbol for each in finding.calculation.inputs] == ["R_A", "I_Δn", "U_L"]
    assert shown(finding, "R_A") == ["80 Ω"]


@pytest.mark.parametrize(
    ("cells", "tested", "numbers"),
    [
        ({"expected": 80, "resistance": 40}, False, "80 Ω"),
        ({"expected": 80, "resistance": 40}, True, "40.0 Ω"),
        ({"expected": None, "resistance": 40}, False, "40.0 Ω"),
    ],
)
def test_the_fault_through_an_electrode_is_worked_out_by_estimate_until_it_is_measured(cells, tested, numbers):
    job = three_phase_tt() if tested else planned(three_phase_tt())
    job = but(but(job, "electrodes", **cells), "readings", zs=None) if tested else but(job, "electrodes", **cells)
    fault = largest_fault(Case(job, edition("uk_2018_a2"), TODAY), job.circuits[0])
    assert [each.shown for each in fault.figures if each.symbol == "R_A"] == [numbers]


# instruments, intake, inspection -------------------------------------------------------------------------------------


def test_a_calibration_covers_the_first_day_of_the_tests_too():
    job = but(build(), "row", dead_tested=TESTED_ON - DAY)
    job = job.model_copy(update={"instruments": tuple(change(each, calibrated=TESTED_ON) for each in job.instruments)})
    assert ("Instrument T1", QUERY) in judge("instruments_are_calibrated_on_the_day_of_the_tests", job)


def test_where_nobody_names_an_instrument_no_band_is_made_up():
    job = but(build(readings=()), "supply", instrument=None)
    reading = job.supply.ze
    assert isinstance(reading, Reading)
    assert band_at_the_origin(Case(job, edition("uk_2018_a2"), TODAY), reading, "Ω", Function.LOOP) == 0


def test_a_loop_of_many_ohms_lets_next_to_nothing_flow():
    # 0.8 × 236 V / 45 Ω is 4 A, less than the display of the fault current can show
    job = but(build(), "supply", ze=45, fault_current_le=0.01)
    finding = told("fault_current_to_earth_agrees_with_ze", job)
    assert finding.verdict is PASS
    assert "from 0 kA to " in finding.calculation.limit


def test_where_nothing_calls_for_an_aspect_that_is_told_and_where_something_does_only_that():
    rule = "not_applicable_does_not_contradict_the_job"
    plain = but(build(), "points", open_pen=None)
    assert judge(rule, plain) == [("Inspection", NOT_APPLICABLE)]
    assert [verdict for _, verdict in judge(rule, build())] == [PASS]


def test_a_charge_above_a_limit_in_force_is_told_by_the_cell_of_that_limit():
    for lower, cell in ((16, "temporary_limit"), (32, "current_limit"), (40, "current_limit")):
        job = but(build(), "points", temporary_limit=lower, charge_power=11)
        assert told("charges_were_made", job).places[-1] == job.points[0].at[cell]


# records -------------------------------------------------------------------------------------------------------------


def test_a_row_entered_twice_is_shown_at_the_cell_that_should_tell_the_rows_apart():
    job = build(circuits=(circuit_row(), put(Circuit, 4, **PLAIN)))
    (finding,) = found("rows_are_entered_once", job)
    column = circuit_row().at["circuit"].cell.rstrip("0123456789")
    assert finding.places == (Place("Circuits", f"{column}3"), Place("Circuits", f"{column}4"))


PLAIN = {"job": "J1", "board": "MAIN", "circuit": "9"}


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({"job": "J1", "board": "MAIN", "circuit": "9"}, PASS),
        ({"job": "J1", "zs": "0.39"}, FAIL),
        # filled by a default of the firm
        ({"job": "J1", "instrument": "T1"}, PASS),
    ],
)
def test_a_named_row_without_a_reading_is_no_test_result(cells, verdict):
    row = readings_row()
    default = row.at | {"instrument": Place("Defaults", "B3")}
    job = planned(build()).model_copy(update={"readings": (row.with_values(typed=cells, at=default),)})
    assert [each for _, each in judge("jobs_to_visit_have_no_test_results", job)] == [verdict]


# what many figures have in common -------------------------------------------------------------------------------------


def test_a_remedy_goes_on_after_the_site_sheet_with_a_small_letter():
    findings = check_job(but(build(), "readings", zs=3.9), edition("uk_2018_a2"), TODAY)
    (finding,) = [each for each in findings if each.rule == "measured_zs_is_within_its_limit"]
    assert finding.remedy.startswith(f"{FIRST} If it is right, for the electrician: look for a loose")


def test_phases_are_told_by_their_own_numbers():
    three = change(build().supply, phases=3, demand_l1=10, demand_l2=20, demand_l3=60)
    job = build(supply=three, circuits=(circuit_row(circuit="1L1"),), points=(point_row(circuit="1L1"),))
    finding = told("phases_are_loaded_alike", job)
    assert finding.found == "L1: 42 A; L2: 20 A; L3: 60 A"
    assert [each.symbol for each in finding.calculation.inputs][:3] == [f"I_before (L{each})" for each in (1, 2, 3)]


def test_of_phases_loaded_alike_a_blank_one_counts_as_nought():
    three = change(build().supply, phases=3, demand_l1=0, demand_l2=0, demand_l3=None)
    job = build(supply=three)
    assert sum_of(job, job.points).amperes == (32, 0, 0)


@pytest.mark.parametrize(("rating", "verdict"), [(31, FAIL), (32, PASS)])
def test_a_switch_of_several_at_the_intake_carries_the_phase_of_its_points_that_is_loaded_most(rating, verdict):
    job = build(boards=(board_row(main_switch_rating=rating), board_row(board="HOUSE")))
    assert ("Board MAIN", verdict) in judge("demand_fits_the_main_switch", job)


@pytest.mark.parametrize(("torque", "verdict"), [(2.2, PASS), (2.201, None), (1.8, PASS), (1.799, None)])
def test_a_terminal_is_tightened_within_a_tenth_of_the_makers_torque(torque, verdict):
    outcome = judge("terminals_are_tightened_as_the_maker_says", but(build(), "points", torque=torque))
    assert (outcome[0][1] is PASS) is (verdict is PASS)


@pytest.mark.parametrize(("delay", "symbols"), [("none", "t ≤ t_max"), ("S", "t_min ≤ t ≤ t_max")])
def test_only_an_rcd_that_waits_is_held_against_a_least_time(delay, symbols):
    cells = {"rcd_type": "A", "rcd_rating": 300, "rcd_delay": delay, "rcd_time": 200}
    assert told("rcds_upstream_are_tested", but(build(), "boards", **cells)).calculation.symbols == symbols


@pytest.mark.parametrize(("by", "verdict"), [("P. Example, 1 Sep", NOTE), (None, QUERY)])
def test_who_omitted_arc_fault_detection_is_told(by, verdict):
    finding = told(
        "arc_fault_detection_is_decided", but(build(), "supply", arc_fault=ArcFaultDetection.OMITTED, arc_fault_by=by)
    )
    assert (finding.verdict, finding.found) == (verdict, by or "nobody named")


@pytest.mark.parametrize(("neutral", "cell"), [(35, "neutral_size"), (None, "tails_size")])
def test_a_bonding_conductor_is_told_by_the_neutral_or_else_by_the_tails(neutral, cell):
    job = but(build(), "supply", neutral_size=neutral)
    (size,) = [each for each in told("main_bonding_has_its_size", job).calculation.inputs if each.symbol == "S_N"]
    assert size.place == job.supply.at[cell]


@pytest.mark.parametrize("word", UNSURE)
def test_one_word_of_doubt_about_what_must_be_bonded_is_asked_about(word):
    assert judge("main_bonding_has_its_size", but(build(), "supply", bonding_to=f"water, {word}")) == [
        ("Supply", QUERY)
    ]


def test_a_loop_as_small_as_half_its_last_place_bounds_no_fault_current():
    finding = told("fault_current_to_earth_agrees_with_ze", but(build(), "supply", ze=0.005))
    assert finding.calculation.limit.endswith("to any (common practice)")


def test_a_reading_of_nought_tells_no_length():
    assert list(Pair("R1+R2", 0, "by the cable", 0.146, "Ω", length=14).slips()) == []


@pytest.mark.parametrize(
    ("connections", "time"), [(("socket-outlet", "tethered cable"), "0.2 s"), (("tethered cable",) * 2, "1 s")]
)
def test_one_socket_outlet_on_a_circuit_of_40_a_shortens_the_time_to_disconnect_it(connections, time):
    # IEC 60364-4-41, 411.3.2.2: final circuits up to 63 A with a socket-outlet, up to 32 A without
    models = tuple(model_row(model=f"M{number}", connection=each, phases=3) for number, each in enumerate(connections))
    points = tuple(point_row(point=each.model, model=each.model) for each in models)
    job = three_phase_tt().model_copy(update={"models": models, "points": points})
    (finding,) = found("measured_zs_is_within_its_limit", job)
    assert shown(finding, "t_max") == [time]


@pytest.mark.parametrize(
    ("device", "rating", "why"),
    [("BS 88-2", 80, "two fuses closer than"), ("BS EN 61009", 100, "both are rated the same")],
)
def test_why_two_devices_may_open_together_is_told_by_what_they_are(device, rating, why):
    kind = {"device": device, "device_type": "gG" if device == "BS 88-2" else "B", "device_rating": rating}
    (finding,) = found("devices_nearest_the_fault_open_first", but(build(), "circuits", **kind))
    assert why in finding.found
