"""More last steps on each side of a verdict: bands of readings, counts of dates and rows, what a working shows."""

from datetime import date

import pytest
from rules.honest import (
    TODAY,
    bays,
    build,
    but,
    change,
    circuit_row,
    electrode_row,
    found,
    judge,
    planned,
    point_row,
    put,
    readings_row,
    three_phase_tt,
    verdicts,
)

from pipeline.facts.choices import Function, LoopMethod
from pipeline.facts.findings import Verdict
from pipeline.facts.rows.firm import Accuracy
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.rules import check_week
from pipeline.rules.loads import sum_of
from pipeline.rules.twins import without_twins

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED = Verdict.NOT_ASSESSED
LATER = date(2026, 9, 15)


def told(rule, job):
    """The only finding of a rule."""
    (finding,) = found(rule, job)
    return finding


# common practice: a loop and its parts agree within 0.1 Ω or a fifth, with a no-trip test within 0.3 Ω or three tenths
@pytest.mark.parametrize(
    ("method", "own", "last", "beyond"),
    [
        (LoopMethod.HIGH_CURRENT, 0.15, 0.48, 0.50),
        (LoopMethod.HIGH_CURRENT, 0.76, 1.19, 1.21),
        (LoopMethod.NO_TRIP, 0.15, 0.68, 0.70),
        (LoopMethod.NO_TRIP, 1.76, 2.59, 2.61),
    ],
)
def test_a_loop_agrees_with_its_parts_as_far_as_its_method_is_exact(method, own, last, beyond):
    job = build(instruments=tuple(change(each, loop_method=method) for each in build().instruments))
    for ohms, verdict in ((last, PASS), (beyond, QUERY)):
        assert verdicts("zs_agrees_with_its_parts", but(job, "readings", r1_r2=own, zs=ohms)) == {verdict}, ohms


def exact(job, function, **cells):
    """The job with one accuracy stated for its tester."""
    return job.model_copy(update={"accuracies": (put(Accuracy, instrument="T1", function=function, **cells),)})


@pytest.mark.parametrize(("milliseconds", "verdict"), [(298, PASS), (299, QUERY)])
def test_digits_alone_reach_as_far_as_their_steps(milliseconds, verdict):
    """Two digits of 1 ms: 298 + 2 just keeps 300 ms."""
    job = but(build(), "readings", rcd_time=milliseconds, rcd_time_180=None)
    assert verdicts("rcds_trip_in_time", exact(job, Function.RCD, digits=2, last_place="1 ms")) == {verdict}


@pytest.mark.parametrize(("ohms", "verdict"), [(0.848, NOTE), (0.849, QUERY)])
def test_a_share_alone_reaches_as_far_as_the_reading_is_large(ohms, verdict):
    """3 % of 0.848 Ω: 0.8734 Ω, below 80 % of 1.0925 Ω; of 0.849 Ω 0.8745 Ω, above it."""
    job = exact(but(build(), "readings", zs=ohms, r1_r2=0.6), Function.LOOP, percent=3)
    assert verdicts("measured_zs_is_within_its_limit", job) == {verdict}


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        ({"percent": 3}, True),
        ({"digits": 2, "last_place": "1 ms"}, True),
        ({"digits": 2}, False),
        ({"last_place": "1 ms"}, False),
        ({}, False),
    ],
)
def test_digits_without_their_step_state_no_accuracy(cells, says):
    (finding,) = [
        each
        for each in found("instruments_state_their_accuracy", exact(build(), Function.RCD, **cells))
        if each.subject == "Instrument T1"
    ]
    assert (str(Function.RCD) not in finding.found) is says


def test_an_instrument_is_used_at_the_intake_only_for_what_was_measured_there():
    told_of = but(build(readings=()), "supply", ze_by="by enquiry", fault_current_by="by enquiry")
    assert "Instrument T1" not in dict(judge("instruments_state_their_accuracy", told_of))
    assert "Instrument T1" in dict(judge("instruments_state_their_accuracy", build(readings=())))


# common practice: three dates that are all to come have one cause, a year or a month typed wrong
@pytest.mark.parametrize(
    ("cells", "number"),
    [
        (("surveyed",), 1),
        (("surveyed", "designed"), 2),
        (("surveyed", "designed", "worked"), 1),
        (("surveyed", "designed", "worked", "energised"), 1),
    ],
)
def test_three_dates_to_come_are_told_as_one(cells, number):
    job = but(build(), "row", **dict.fromkeys(cells, LATER))
    findings = found("days_are_not_to_come", job)
    assert [each.verdict for each in findings] == [FAIL] * number
    assert verdicts("days_are_not_to_come", but(build(), "row", surveyed=TODAY)) == {PASS}


@pytest.mark.parametrize(("reference", "said"), [("AB-12", "AB-12"), (None, "without a reference")])
def test_a_consent_is_told_with_its_reference(reference, said):
    asked = but(build(), "supply", looped="yes", operator_consent="given", consent_reference=reference)
    told_of = [each for each in found("network_operators_are_told_or_asked", asked) if "agreed" in each.message]
    assert [each.message.endswith(f"{said}.") for each in told_of] == [True]


@pytest.mark.parametrize(
    ("own", "source", "verdict", "said"),
    [
        ("yes", "Data sheet 7", NOTE, "Data sheet 7"),
        ("yes", None, QUERY, "no source named"),
        ("no", "Data sheet 7", QUERY, "Data sheet 7"),
    ],
)
def test_a_let_through_energy_counts_with_the_source_of_its_own_maker(own, source, verdict, said):
    """1 mm² bears 115² = 13,225 A²s (IEC 60364-4-43, 434.5.2): class 3 may let more through, this device does not."""
    cells = {"cpc_size": 1, "let_through": 12_000, "let_through_own": own, "let_through_source": source}
    finding = told("protective_conductors_bear_a_fault", but(build(), "circuits", **cells))
    assert finding.verdict in (verdict, PASS if verdict is NOTE else verdict)
    assert said in finding.calculation.numbers + finding.found
    assert ("own maker." in finding.message) is (verdict is QUERY)


# the far end on TT: 230 V / 1.5 kA at the origin, then the copper there and back
def test_on_tt_the_neutral_loop_begins_with_what_the_fault_current_tells():
    finding = told("far_end_faults_are_cleared", but(three_phase_tt(), "supply", fault_current=1.15))
    origin = next(each.shown for each in finding.calculation.inputs if each.symbol == "Z_LN")
    # 230 V / 1150 A = 0.2 Ω; 2 × 1.83 mΩ/m × 30 m × 1.28 = 0.1405 Ω
    assert origin.startswith("0.3405 Ω")


@pytest.mark.parametrize(
    ("lower", "usual", "kilowatts", "verdict"),
    [(16, 32, 4.04, PASS), (16, 32, 4.06, QUERY), (None, 32, 8.0, PASS), (32, 32, 8.0, PASS), (None, 16, 4.06, QUERY)],
)
def test_a_charge_is_held_against_the_lower_limit_while_it_is_in_force(lower, usual, kilowatts, verdict):
    """230 V × 16 A = 3.68 kW, a tenth more for the voltage of the day: 4.048 kW."""
    job = but(build(), "points", temporary_limit=lower, current_limit=usual, charge_power=kilowatts)
    assert verdicts("charges_were_made", job) == {verdict}


def test_a_row_that_stands_twice_is_judged_once():
    job = build(circuits=(circuit_row(), circuit_row(length=20)), readings=(readings_row(), readings_row(zs=0.4)))
    single = without_twins(job)
    assert [len(each) for each in (single.circuits, single.readings)] == [1, 1]
    thrice = build(points=(point_row(), point_row(), point_row()))
    assert len(without_twins(thrice).points) == 1
    assert without_twins(build()) == build()


# the maker's own 6 mA device trips at 6 mA at most and not at nothing (IEC 62955)
@pytest.mark.parametrize(("milliamperes", "verdict"), [(0, FAIL), (0.9, PASS), (6, PASS), (6.1, FAIL)])
def test_a_dc_detection_trips_at_some_current_up_to_six(milliamperes, verdict):
    job = but(build(), "points", dc_trip=milliamperes)
    assert verdicts("dc_detection_opens_at_its_current", job) == {verdict}


@pytest.mark.parametrize(("limit", "locked", "amperes"), [(31, "yes", 31), (32, "yes", 32), (16, None, 32)])
def test_a_locked_limit_counts_and_an_open_one_does_not(limit, locked, amperes):
    job = but(build(), "points", current_limit=limit, limit_locked=locked and "a switch inside")
    assert max(sum_of(job, job.points).amperes) == amperes


def test_a_planned_electrode_is_judged_by_what_is_expected_of_it():
    rule = "tt_circuits_have_an_rcd_that_suits_the_electrode"
    limit = but(three_phase_tt(), "circuits", rcd_rating=500)
    for ohms, verdict in ((100, NOTE), (101, FAIL)):
        job = limit.model_copy(update={"electrodes": (electrode_row(resistance=None, expected=ohms),)})
        assert verdicts(rule, planned(job)) == {verdict}
        assert verdicts(rule, job) == {NOT_ASSESSED}


@pytest.mark.parametrize(("phases", "verdict"), [(3, PASS), (1, FAIL)])
def test_a_device_inside_for_three_phases_suits_a_three_phase_supply(phases, verdict):
    inside = {1: "single-phase", 3: "three-phase"}[phases]
    job = but(but(build(), "models", open_pen_inside=inside), "points", open_pen="device inside the charge point")
    job = but(job, "supply", phases=3, voltage_l2=235, voltage_l3=235)
    assert verdict in verdicts("vehicles_outdoors_are_safe_if_the_pen_breaks", job)


def test_tests_of_load_management_count_the_points_that_were_tried():
    scheme = {"job": "J1", "scheme": "LM1", "group_limit": 20, "fallback": 6, "limit_held": "yes"}
    for tried, verdict in ((1, PASS), (0, QUERY)):
        row = put(LoadManagement, **scheme, tested_points=tried, fallback_held="yes", sensor_checked="yes")
        job = but(build(schemes=(row,)), "points", scheme="LM1")
        assert verdict in verdicts("load_management_keeps_its_limit", job)


# resistances side by side: two of 100 MΩ give 50 MΩ; below half of that something else was connected (common practice)
@pytest.mark.parametrize(("megohms", "verdict"), [(25, PASS), (24.9, QUERY)])
def test_a_board_reads_at_least_half_of_what_its_circuits_give_together(megohms, verdict):
    two = (circuit_row(), circuit_row(circuit="10"))
    rows = tuple(readings_row(circuit=each.circuit, insulation_le=100) for each in two)
    job = but(build(circuits=two, readings=rows), "row", work="new installation")
    finding = told("board_and_circuits_agree_on_insulation", but(job, "boards", insulation=megohms))
    assert finding.verdict is verdict
    assert finding.expected == ("about 50 MΩ" if verdict is QUERY else "")


@pytest.mark.parametrize(("device", "when"), [("BS EN 61009", "at once"), ("BS 88-2", "within 0.4 s")])
def test_a_breaker_trips_at_once_and_a_fuse_within_its_time(device, when):
    kind = {"device": device, "device_type": "gG" if device == "BS 88-2" else "B", "device_rating": 32}
    assert when in told("far_end_faults_are_cleared", but(build(), "circuits", **kind)).message


@pytest.mark.parametrize(("figures", "verdict"), [(12, FAIL), (11, QUERY), (8, QUERY)])
def test_a_dozen_figures_of_another_job_are_no_chance(figures, verdict):
    """Three rows of four readings are twelve; with other readings in one of them eleven, with a whole row eight."""
    job = bays(3)
    other = but(job, "row", job="J2", site="J2 Road", live_tested=date(2026, 9, 11), tester="J2")
    cells = {12: {}, 11: {"zs": 0.31}, 8: {"zs": 0.31, "r1_r2": 0.21, "rcd_time": 33, "rcd_time_180": 28}}[figures]
    other = but(other, "readings", **cells)
    found_of = [each for each in check_week([job, other]) if each.rule == "blocks_are_not_copied_between_jobs"]
    assert {each.verdict for each in found_of} == {verdict}


def test_an_installation_judged_adequate_without_a_bonding_reading_is_told():
    finding = told("existing_earthing_is_adequate", but(build(), "supply", bonding_continuity="LIM: no access"))
    assert finding.verdict is NOTE
    assert finding.found.startswith("LIM")
    assert len(finding.places) == 2


def test_what_points_fall_back_to_is_told_as_such():
    scheme = put(LoadManagement, job="J1", scheme="LM1", group_limit=20, fallback=6, limit_held="yes")
    finding = told("fallback_fits_the_supply", but(build(schemes=(scheme,)), "points", scheme="LM1"))
    assert finding.calculation.symbols == "I = I_before + Σmin(I_B, I_fallback) (L1)"
    assert finding.calculation.numbers == "24 A + 6 A"
