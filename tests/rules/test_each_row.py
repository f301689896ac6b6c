"""Each row of what is checked, at four places: where it holds, on its limit, beyond it, and with its input blank.

A row without a figure has no limit to sit on. What a row needs beyond that is in the tests of its own room.
"""

from datetime import date
from pathlib import Path

import pytest
from rules.honest import build, but, change, judge, put, three_phase_tt

from pipeline.facts.choices import DcTest
from pipeline.facts.findings import Verdict
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.rules import RULES

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
GAP, NONE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE

TT = but(three_phase_tt(), "circuits", rcd_rating=500)
THREE = but(build(), "supply", phases=3, fault_current=2.0, voltage_l2=235, voltage_l3=236)
BACK = but(build(), "models", returns_power="yes")
SHARED = but(build(), "boards", rcd_type="A")
SCHEME = put(
    LoadManagement,
    job="J1",
    scheme="LM1",
    group_limit=20,
    fallback=6,
    sensor_checked="yes",
    tested_points=1,
    limit_held="yes",
    fallback_held="yes",
)
MANAGED = but(build(schemes=(SCHEME,)), "points", scheme="LM1")
TESTER = build().instruments[0]


def instrument(**cells):
    """The honest job with other dates of its tester."""
    return build(instruments=(change(TESTER, **cells), build().instruments[1]))


def cell(part, attribute, *values, of=None):
    """The four jobs of a row that one cell decides; `...` where the honest job stands, None for a blank."""
    job = of or build()
    return [None if each is SKIP else job if each is ... else but(job, part, **{attribute: each}) for each in values]


SKIP = object()
# what is checked, the rule, the jobs where it holds, on the limit, beyond it and lacking an input, and the verdicts
ROWS = [
    # design
    # 68 A + 32 A = 100 A
    (
        "demand",
        "demand_fits_the_cut_out",
        cell("supply", "demand_l1", ..., 68, 68.1, None),
        (PASS, NOTE, FAIL, GAP),
    ),
    (
        "demand, agreed capacity",
        "demand_fits_the_agreed_capacity",
        cell("supply", "agreed_capacity", 80, 56, 55.9, None),
        (PASS, NOTE, FAIL, NONE),
    ),
    (
        "demand, main switch",
        "demand_fits_the_main_switch",
        cell("boards", "main_switch_rating", ..., 56, 55.9, None),
        (PASS, NOTE, FAIL, GAP),
    ),
    (
        "unsure cut-out",
        "unsure_cut_outs_have_a_reserve",
        cell("supply", "demand_l1", ..., 48, 48.1, None, of=but(build(), "supply", cutout_status="unknown")),
        (PASS, PASS, QUERY, GAP),
    ),
    (
        "switches",
        "switches_carry_what_stands_behind_them",
        cell("circuits", "switch_rating", 40, 32, 31.9, SKIP),
        (PASS, PASS, FAIL, None),
    ),
    (
        "load",
        "current_limits_are_within_the_model",
        cell("points", "current_limit", 16, 32, 32.1, None),
        (PASS, PASS, FAIL, GAP),
    ),
    # 1.05 × 32 A × 230 V = 7.728 kW
    (
        "name-plate power",
        "power_and_current_of_a_model_agree",
        cell("models", "rated_power", ..., 7.728, 7.73, None),
        (PASS, PASS, QUERY, NONE),
    ),
    # 6 mm² flat twin, method C: 47 A
    (
        "load, device and cable",
        "devices_and_cables_carry_the_load",
        cell("circuits", "device_rating", ..., 47, 47.1, None),
        (PASS, NOTE, FAIL, GAP),
    ),
    # 7.3 mV/A/m × 32 A × L = 11.5 V
    (
        "voltage drop",
        "voltage_drop_is_within_its_limit",
        cell("circuits", "length", ..., 49.229, 49.23, None),
        (PASS, PASS, QUERY, GAP),
    ),
    # 1.0925 Ω less the hot cable of 0.17623 Ω
    (
        "loop impedance, predicted",
        "predicted_zs_is_within_its_limit",
        cell("supply", "ze", ..., 0.9162, 0.9163, None),
        (PASS, PASS, FAIL, GAP),
    ),
    # 0.95 × 230 V / (0.24 Ω + 7.392 mΩ/m × L) = 200 A; too warm to be protected against overload by 40 A
    (
        "fault at the far end",
        "far_end_faults_are_cleared",
        cell("circuits", "length", ..., 115.32, 115.34, None, of=but(build(), "circuits", ambient=45)),
        (NOTE, NOTE, QUERY, GAP),
    ),
    # 230 V / 1533 Ω = 0.15003 A
    (
        "disconnection by an RCD",
        "rcds_that_disconnect_get_their_current",
        cell("readings", "zs", ..., 1533, 1534, None, of=three_phase_tt()),
        (NOTE, NOTE, QUERY, NOTE),
    ),
    # k²S² = 82 656 A²·s
    (
        "protective conductor",
        "protective_conductors_bear_a_fault",
        cell(
            "circuits",
            "let_through",
            60000,
            82656,
            82657,
            None,
            of=but(
                but(
                    but(build(), "circuits", breaking_capacity=10, let_through_own="yes", let_through_source="Sheet 7"),
                    "boards",
                    fault_current=9,
                ),
                "supply",
                ze=0.03,
            ),
        ),
        (PASS, PASS, FAIL, QUERY),
    ),
    (
        "breaking capacity",
        "breaking_capacity_covers_the_fault_current",
        cell("boards", "fault_current", ..., 6, 6.01, SKIP),
        (PASS, NOTE, FAIL, None),
    ),
    (
        "breaking capacity, blank",
        "breaking_capacity_covers_the_fault_current",
        cell("circuits", "breaking_capacity", ..., 1.02, 1.01, None),
        (PASS, NOTE, FAIL, GAP),
    ),
    (
        "selectivity",
        "devices_nearest_the_fault_open_first",
        cell("circuits", "device_rating", ..., 100, 101, None),
        (NOTE, NOTE, QUERY, GAP),
    ),
    (
        "residual current protection of a point",
        "each_point_has_its_own_rcd",
        cell("circuits", "rcd_rating", 10, 30, 30.1, None),
        (PASS, PASS, FAIL, GAP),
    ),
    (
        "residual current protection upstream",
        "rcds_upstream_stand_smooth_dc",
        cell("boards", "rcd_type", "B", "A", "AC", "type not read", of=SHARED),
        (PASS, PASS, FAIL, QUERY),
    ),
    (
        "supply through a PEN conductor",
        "vehicles_outdoors_are_safe_if_the_pen_breaks",
        cell("points", "open_pen_phases", 3, 1, SKIP, None),
        (PASS, PASS, None, GAP),
    ),
    (
        "supply through a PEN conductor, no measure",
        "vehicles_outdoors_are_safe_if_the_pen_breaks",
        cell("points", "open_pen", ..., SKIP, "not needed", None),
        (PASS, None, FAIL, FAIL),
    ),
    # 50 V / 500 mA
    (
        "TT",
        "tt_circuits_have_an_rcd_that_suits_the_electrode",
        cell("electrodes", "resistance", ..., 100, 100.1, None, of=TT),
        (PASS, PASS, FAIL, GAP),
    ),
    (
        "an electrode that looks like TN",
        "electrodes_read_like_one",
        cell("electrodes", "resistance", ..., 0.81, 0.8, None, of=TT),
        (NOTE, NOTE, QUERY, GAP),
    ),
    (
        "earthing conductor",
        "earthing_conductor_has_its_size",
        cell("supply", "earthing_conductor", 25, 16, 15.9, None),
        (PASS, PASS, FAIL, GAP),
    ),
    (
        "bonding",
        "main_bonding_has_its_size",
        cell("supply", "bonding_size", 16, 10, 9.9, None),
        (PASS, PASS, FAIL, GAP),
    ),
    (
        "power back to the grid",
        "devices_suit_both_directions",
        cell("circuits", "directions", "both directions", SKIP, "one direction", None, of=BACK),
        (PASS, None, FAIL, QUERY),
    ),
    (
        "terminals",
        "conductors_fit_the_terminals",
        cell("circuits", "live_size", ..., 10, 16, None),
        (PASS, PASS, FAIL, GAP),
    ),
    (
        "entries",
        "cables_fit_their_entry",
        cell("points", "cable_diameter", ..., 18, 18.1, None),
        (PASS, PASS, FAIL, QUERY),
    ),
    (
        "entries, maker silent",
        "cables_fit_their_entry",
        cell("models", "entry_largest", ..., 13, 12.9, None),
        (PASS, PASS, FAIL, GAP),
    ),
    (
        "environment",
        "enclosures_suit_the_place",
        cell("models", "ip", "IP54", "IP44", "IP43", None),
        (NOTE, NOTE, FAIL, GAP),
    ),
    (
        "isolation and switching",
        "main_switches_break_the_neutral",
        cell("boards", "main_switch_poles", 4, 2, 1, None),
        (PASS, PASS, QUERY, GAP),
    ),
    (
        "reach",
        "vehicles_are_reached_without_a_trip_hazard",
        cell("points", "reaches", ..., SKIP, "no", None),
        (PASS, None, FAIL, GAP),
    ),
    # 28 A + 32 A = 60 A
    (
        "network operator",
        "network_operators_are_told_or_asked",
        cell("supply", "demand_l1", ..., 28, 28.1, SKIP),
        (NOTE, NOTE, QUERY, None),
    ),
    (
        "building control",
        "building_control_is_told",
        cell("row", "nation", ..., SKIP, SKIP, None),
        (NOTE, None, None, GAP),
    ),
    # readings
    # (7.41 + 3.08) mΩ/m × 14 m × 0.98 + 0.05 Ω = 0.1939 Ω
    (
        "continuity",
        "r1_r2_fits_the_cable",
        cell("readings", "r1_r2", ..., 0.1939, 0.194, None),
        (PASS, PASS, QUERY, GAP),
    ),
    (
        "insulation resistance",
        "insulation_resistance_is_high_enough",
        cell("readings", "insulation_le", ..., 1, 0.99, None),
        (PASS, QUERY, FAIL, GAP),
    ),
    (
        "polarity",
        "polarity_is_confirmed",
        cell("readings", "polarity", ..., SKIP, "wrong", None),
        (PASS, None, FAIL, GAP),
    ),
    (
        "phase sequence",
        "phase_sequence_is_confirmed",
        cell("readings", "sequence", ..., SKIP, "wrong", None, of=three_phase_tt()),
        (PASS, None, FAIL, GAP),
    ),
    # 0.8 × 1.0925 Ω = 0.874 Ω
    (
        "Zs on TN, cold",
        "measured_zs_is_within_its_limit",
        cell("readings", "zs", ..., 0.874, 0.8741, None),
        (NOTE, NOTE, QUERY, GAP),
    ),
    (
        "Zs on TN",
        "measured_zs_is_within_its_limit",
        cell("readings", "zs", ..., 1.0925, 1.0926, None),
        (NOTE, QUERY, FAIL, GAP),
    ),
    # 0.24 Ω + 0.15 Ω + 0.1 Ω
    (
        "Zs against its parts",
        "zs_agrees_with_its_parts",
        cell("readings", "zs", ..., 0.49, 0.491, SKIP),
        (PASS, PASS, QUERY, None),
    ),
    # 0.8 × 230 V / 0.245 Ω − 0.005 kA
    (
        "fault current against Ze",
        "fault_current_agrees_with_ze",
        cell("supply", "fault_current", ..., 0.7461, 0.746, None),
        (PASS, PASS, QUERY, GAP),
    ),
    (
        "fault currents of three phases",
        "three_phase_fault_currents_agree",
        cell("supply", "fault_current_3ph", 3.6, 4.4, 4.41, SKIP, of=THREE),
        (PASS, PASS, QUERY, None),
    ),
    (
        "RCD",
        "rcds_trip_in_time",
        cell("readings", "rcd_time", ..., 300, 301, SKIP, of=but(build(), "readings", rcd_time_180=None)),
        (PASS, PASS, FAIL, None),
    ),
    (
        "RCD, tested at all",
        "rcds_are_tested",
        cell("readings", "rcd_time", ..., SKIP, "N/A", None, of=but(build(), "readings", rcd_time_180=None)),
        (PASS, None, GAP, GAP),
    ),
    (
        "supply voltage",
        "supply_voltage_is_within_its_band",
        cell("supply", "voltage_l1", ..., 253, 253.1, None),
        (NOTE, NOTE, QUERY, GAP),
    ),
    # 0.6 A/% × 55 % = 33 A
    ("pilot", "pilots_show_the_limit", cell("points", "duty_cycle", ..., 55, 55.1, None), (PASS, PASS, FAIL, NOTE)),
    (
        "torque",
        "terminals_are_tightened_as_the_maker_says",
        cell("points", "torque", ..., 2.2, 2.21, None),
        (PASS, PASS, FAIL, QUERY),
    ),
    (
        "torque, maker silent",
        "terminals_are_tightened_as_the_maker_says",
        cell("models", "torque", ..., 1.8182, 1.8, None),
        (PASS, PASS, FAIL, GAP),
    ),
    (
        "mounting height",
        "mounting_heights_are_as_the_maker_says",
        cell("points", "height", ..., 1.2, 1.21, None),
        (PASS, PASS, QUERY, GAP),
    ),
    (
        "d.c. detection",
        "dc_detection_works",
        cell("points", "dc_test", ..., SKIP, DcTest.FAILED, None),
        (PASS, None, FAIL, GAP),
    ),
    # one point of 32 A is more than 20 A
    (
        "load management",
        "load_management_keeps_its_limit",
        cell("schemes", "tested_points", 2, 1, 0, None, of=MANAGED),
        (PASS, PASS, QUERY, GAP),
    ),
    (
        "load management, broken",
        "load_management_keeps_its_limit",
        cell("schemes", "limit_held", ..., SKIP, "no", None, of=MANAGED),
        (PASS, None, FAIL, GAP),
    ),
    (
        "data link",
        "functions_of_the_point_work",
        cell("points", "link_test", ..., SKIP, "failed", SKIP),
        (PASS, None, NOTE, None),
    ),
    (
        "inspection aspect",
        "inspected_aspects_are_satisfactory",
        cell("inspection", "access", ..., SKIP, "not satisfactory", None),
        (PASS, None, FAIL, GAP),
    ),
    (
        "existing defects",
        "existing_earthing_is_adequate",
        cell("row", "existing_adequate", ..., SKIP, "inadequate", None),
        (PASS, None, FAIL, GAP),
    ),
    (
        "limitation",
        "limitations_are_permissible",
        cell("readings", "zs", ..., SKIP, "LIM: locked", SKIP),
        (PASS, None, FAIL, None),
    ),
    (
        "people",
        "people_are_authorised_on_the_day",
        cell(
            "people",
            "valid_to",
            ...,
            date(2026, 9, 14),
            date(2026, 9, 9),
            None,
        ),
        (PASS, PASS, FAIL, GAP),
    ),
    (
        "people's roles",
        "people_hold_the_role_they_sign",
        cell("people", "roles", ..., SKIP, frozenset(), None),
        (PASS, None, FAIL, GAP),
    ),
    (
        "dates",
        "dates_follow_the_order_of_the_work",
        cell("row", "designed", ..., date(2026, 9, 10), date(2026, 9, 11), SKIP),
        (PASS, PASS, FAIL, None),
    ),
    (
        "dates of issue",
        "packs_are_issued_soon_after_the_tests",
        cell("row", "live_tested", ..., date(2026, 6, 14), date(2026, 6, 13), None),
        (PASS, PASS, QUERY, GAP),
    ),
    (
        "instruments",
        "instruments_are_calibrated_on_the_day_of_the_tests",
        [
            instrument(),
            instrument(due=date(2026, 10, 11)),
            instrument(due=date(2026, 9, 9)),
            instrument(due=None),
        ],
        (PASS, PASS, QUERY, GAP),
    ),
    (
        "instruments, due in 30 days",
        "instruments_are_calibrated_on_the_day_of_the_tests",
        [instrument(), instrument(due=date(2026, 10, 10)), None, instrument(calibrated=None)],
        (PASS, NOTE, None, FAIL),
    ),
]
PLACES = ("holds", "on its limit", "beyond it", "lacking an input")
CASES = [
    pytest.param(rule, job, verdict, id=f"{row}: {place}")
    for row, rule, jobs, expected in ROWS
    for place, job, verdict in zip(PLACES, jobs, expected, strict=True)
    if job is not None
]


@pytest.mark.parametrize(("rule", "job", "verdict"), CASES)
def test_each_row_has_its_verdict_at_each_of_its_places(rule, job, verdict):
    found = [each for _, each in judge(rule, job)]
    order = [FAIL, QUERY, GAP, NOTE, PASS, NONE]
    assert min(found, key=order.index) is verdict


def test_no_row_is_named_twice_and_each_is_tried_beyond_its_limit_or_without_its_input():
    names = [row for row, *_ in ROWS]
    assert len(names) == len(set(names))
    assert {row for row, _, jobs, _ in ROWS if jobs[2] is None and jobs[3] is None} == set()


def test_every_rule_is_named_by_a_test_of_its_own_room():
    texts = "\n".join(path.read_text("utf-8") for path in Path(__file__).parent.glob("test_*.py"))
    assert [name for name in RULES if name not in texts] == []
