"""Mounting, commissioning, inspection: the charge point as the installer leaves it."""

from datetime import date

import pytest
from rules.honest import build, but, change, found, inspection_row, judge, model_row, point_row, put, verdicts

from pipeline.facts.findings import Verdict, WhenMissing, holds
from pipeline.facts.rows.inspections import Inspection, InspectionRemark
from pipeline.facts.rows.models import Fixing

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
CP1 = "Charge point CP1"


def point(**cells):
    """The honest job with other cells of its point."""
    return build(points=(point_row(**cells),))


def model(**cells):
    """The honest job with other cells of its model."""
    return build(models=(model_row(**cells),))


@pytest.mark.parametrize(
    ("torque", "verdict"),
    [(2, PASS), (2.2, PASS), (1.8, PASS), (2.21, FAIL), (1.79, FAIL), (None, QUERY), ("LIM: no tool", QUERY)],
)
def test_torque_keeps_the_maker_s_tolerance(torque, verdict):
    assert judge("terminals_are_tightened_as_the_maker_says", point(torque=torque)) == [(CP1, verdict)]


@pytest.mark.parametrize("silent", ["torque", "torque_tolerance"])
def test_no_torque_is_invented_where_the_maker_is_silent(silent):
    finding = found("terminals_are_tightened_as_the_maker_says", model(**{silent: None}))[0]
    assert finding.verdict is NOT_ASSESSED
    assert not holds(finding)


def test_a_torque_without_its_tool_is_told():
    assert judge("torques_have_their_tool", point(torque_tool=None)) == [(CP1, NOTE)]
    assert judge("torques_have_their_tool", build()) == [(CP1, PASS)]


@pytest.mark.parametrize(("size", "verdict"), [(2.5, PASS), (10, PASS), (16, FAIL), (1.5, FAIL), (None, NOT_ASSESSED)])
def test_conductors_fit_the_range_of_the_terminals(size, verdict):
    assert judge("conductors_fit_the_terminals", but(build(), "circuits", live_size=size)) == [(CP1, verdict)]


@pytest.mark.parametrize(("diameter", "verdict"), [(9, PASS), (18, PASS), (18.1, FAIL), (8.9, FAIL), (None, QUERY)])
def test_the_cable_fits_its_entry(diameter, verdict):
    assert judge("cables_fit_their_entry", point(cable_diameter=diameter)) == [(CP1, verdict)]


def test_an_entry_of_which_the_maker_says_nothing_is_only_told():
    job = but(model(entry_smallest=None), "points", cable_diameter=None)
    assert judge("cables_fit_their_entry", job) == [(CP1, NOT_ASSESSED)]
    assert not holds(found("cables_fit_their_entry", job)[0])


@pytest.mark.parametrize(("height", "verdict"), [(0.75, PASS), (1.2, PASS), (1.3, QUERY), (0.7, QUERY)])
def test_the_mounting_height_is_within_the_maker_s_range(height, verdict):
    assert judge("mounting_heights_are_as_the_maker_says", point(height=height)) == [(CP1, verdict)]


def test_unfinished_mounting_fails_and_a_slant_is_told():
    rule = "mounting_work_is_done"
    assert verdicts(rule, build()) == {PASS}
    assert judge(rule, point(covers="not done")).count((CP1, FAIL)) == 1
    assert judge(rule, point(entry_sealed="not done")).count((CP1, FAIL)) == 1
    assert judge(rule, point(level="not done")).count((CP1, NOTE)) == 1
    assert judge(rule, point(strain_relief=None)).count((CP1, NOT_ASSESSED)) == 1


def test_other_fixings_are_explained():
    rule = "points_are_fixed_as_the_maker_says"
    assert judge(rule, build()) == [(CP1, PASS)]
    assert judge(rule, point(fixings="no")) == [(CP1, QUERY)]
    assert judge(rule, point(fixings="no", fixings_other="resin anchors, hollow brick")) == [(CP1, NOTE)]


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        # which screw spreads a plug is from memory
        ({}, NOTE),
        ({"screw_diameter": None}, PASS),
        ({"screw_diameter": 8}, QUERY),
        ({"hole_diameter": 6}, FAIL),
        ({"hole_diameter": 8.1}, QUERY),
        ({"hole_diameter": None}, NOTE),
        ({"proud": 10, "screw_length": 60}, NOTE),
        ({"proud": 60, "screw_length": 60}, QUERY),
        ({"hole_depth": 30}, QUERY),
        ({"plug_diameter": None}, PASS),
    ],
)
def test_screw_plug_and_hole_fit_together(cells, verdict):
    usual = {"screw_diameter": 5, "plug_diameter": 8, "plug_length": 40, "hole_diameter": 8, "hole_depth": 55}
    fixing = put(Fixing, model="EX-7", place="wall plate", count=4, **(usual | cells))
    assert verdicts("fixings_of_a_set_fit_together", build(fixings=(fixing,))) == {verdict}


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [({"reaches": "no"}, FAIL), ({"trip_hazard": "yes"}, FAIL), ({"trip_hazard": None}, NOT_ASSESSED), ({}, PASS)],
)
def test_a_cable_that_trips_people_fails(cells, verdict):
    assert verdict in verdicts("vehicles_are_reached_without_a_trip_hazard", point(**cells))


@pytest.mark.parametrize(
    ("ip", "place", "verdict"),
    [
        # the least code outdoors is from memory
        ("IP44", "outdoors", NOTE),
        ("IP54", "outdoors", NOTE),
        ("IP43", "outdoors", FAIL),
        ("IPX4", "outdoors", QUERY),
        ("weatherproof", "outdoors", QUERY),
        ("IP20", "indoors", PASS),
        (None, "outdoors", NOT_ASSESSED),
        ("IP54", None, NOT_ASSESSED),
    ],
)
def test_an_enclosure_outdoors_is_ip44_or_better(ip, place, verdict):
    job = but(model(ip=ip), "points", indoors=place)
    assert judge("enclosures_suit_the_place", job) == [(CP1, verdict)]


# commissioning --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("limit", "verdict"), [(6, PASS), (32, PASS), (33, FAIL), (5, FAIL), (None, NOT_ASSESSED)])
def test_the_limit_is_one_that_the_model_has(limit, verdict):
    assert judge("current_limits_are_within_the_model", point(current_limit=limit)) == [(CP1, verdict)]


def test_a_lower_limit_for_now_says_until_when():
    rule = "temporary_limits_are_explained"
    assert judge(rule, build()) == [(CP1, NOT_APPLICABLE)]
    assert judge(rule, point(temporary_limit=10)) == [(CP1, QUERY)]
    assert judge(rule, point(temporary_limit=10, temporary_reason="until the supply is upgraded")) == [(CP1, NOTE)]


@pytest.mark.parametrize(
    ("states", "verdict"),
    [("A, B, C in turn", PASS), ("a state failed", FAIL), ("not tested", QUERY), (None, NOT_ASSESSED)],
)
def test_the_pilot_passed_through_its_states(states, verdict):
    assert judge("pilot_states_were_passed_through", point(pilot_states=states)) == [(CP1, verdict)]


@pytest.mark.parametrize(
    ("duty", "verdict"),
    # IEC 61851-1 Annex A: 0.6 A per per cent; limit 32 A + 1 A
    [(53.3, PASS), (55, PASS), (55.1, FAIL), (None, NOTE), ("N/A", NOTE), (5, NOT_ASSESSED), (99, NOT_ASSESSED)],
)
def test_the_duty_cycle_allows_no_more_than_the_limit(duty, verdict):
    assert judge("pilots_show_the_limit", point(duty_cycle=duty)) == [(CP1, verdict)]


@pytest.mark.parametrize(("ohm", "verdict"), [(220, PASS), (680, PASS), (70, QUERY), (3000, QUERY)])
def test_the_plug_of_a_cable_is_coded(ohm, verdict):
    assert judge("plugs_of_cables_are_coded", point(proximity=ohm)) == [(CP1, verdict)]


@pytest.mark.parametrize(
    ("test", "offered", "verdict"),
    [
        ("passed", "yes", PASS),
        ("failed", "yes", FAIL),
        (None, "yes", NOT_ASSESSED),
        ("no test offered by the model", "no", PASS),
        ("no test offered by the model", "yes", QUERY),
        ("no test offered by the model", None, QUERY),
    ],
)
def test_dc_detection_is_tested_where_a_test_is_offered(test, offered, verdict):
    assert judge("dc_detection_works", but(model(dc_testable=offered), "points", dc_test=test)) == [(CP1, verdict)]


def test_a_failed_data_link_is_told_and_a_failed_lock_fails():
    rule = "functions_of_the_point_work"
    assert verdicts(rule, build()) == {PASS}
    assert NOTE in verdicts(rule, point(link_test="failed"))
    assert FAIL in verdicts(rule, point(socket_lock="failed"))
    assert FAIL in verdicts(rule, point(emergency_stop="failed"))


@pytest.mark.parametrize(
    ("power", "verdict"),
    # 1.1 × 230 V × 32 A = 8.096 kW
    [(7.1, PASS), (8.0, PASS), (8.2, QUERY), (None, NOT_ASSESSED), ("LIM: no vehicle", NOT_ASSESSED)],
)
def test_a_charge_was_made_with_a_power_that_is_possible(power, verdict):
    assert judge("charges_were_made", point(charge_power=power)) == [(CP1, verdict)]


@pytest.mark.parametrize(
    ("cells", "good"),
    [
        ({}, True),
        ({"random_delay": 1800}, True),
        ({"random_delay": 1801}, False),
        ({"random_delay": 0}, False),
        ({"random_delay": None}, False),
        ({"default_hours": "no"}, False),
    ],
)
def test_a_private_point_in_great_britain_has_its_schedule(cells, good):
    """1800 s are from memory, so that what is good is a note too."""
    (finding,) = found("private_points_have_their_schedule", point(**cells))
    assert (finding.verdict, finding.message.endswith("Figure from memory.")) == (NOTE, good)


@pytest.mark.parametrize("cells", [{"charging": "public"}, {"nation": "Northern Ireland"}])
def test_other_points_need_no_schedule(cells):
    job = but(build(), "row", **cells)
    assert judge("private_points_have_their_schedule", job) == [(CP1, NOT_APPLICABLE)]


# inspection -----------------------------------------------------------------------------------------------------------


def inspected(aspect, outcome, remark=""):
    """The honest job with another outcome of one aspect, and perhaps a remark on it."""
    title = Inspection.fields()[aspect].title
    remarks = (put(InspectionRemark, job="J1", aspect=title, remark=remark),) if remark else ()
    return build(inspection=inspection_row(**{aspect: outcome}), remarks=remarks)


def verdict_on(rule, aspect, job):
    title = Inspection.fields()[aspect].title
    return [verdict for subject, verdict in judge(rule, job) if subject == title]


@pytest.mark.parametrize(
    ("aspect", "outcome", "remark", "verdict"),
    [
        ("connections", "pass", "", PASS),
        ("connections", "not satisfactory", "terminal loose", FAIL),
        ("intake", "not satisfactory", "cracked cut-out", QUERY),
        ("connections", "LIM", "sealed", NOTE),
        ("connections", "LIM", "", QUERY),
        ("connections", "N/A", "", NOTE),
        ("connections", "N/A", "nothing was connected", NOT_APPLICABLE),
        ("buried", "N/A", "", NOT_APPLICABLE),
        ("connections", None, "", NOT_ASSESSED),
    ],
)
def test_an_aspect_weighs_by_its_outcome_and_whose_work_it_is(aspect, outcome, remark, verdict):
    job = inspected(aspect, outcome, remark)
    assert verdict_on("inspected_aspects_are_satisfactory", aspect, job) == [verdict]


def test_at_a_new_installation_the_intake_is_new_work():
    job = but(inspected("intake", "not satisfactory", "cracked cut-out"), "row", work="new installation")
    assert verdict_on("inspected_aspects_are_satisfactory", "intake", job) == [FAIL]


def test_remarks_contradict_neither_a_pass_nor_the_list_of_aspects():
    rule = "remarks_and_outcomes_agree"
    assert judge(rule, build()) == [("Inspection", PASS)]
    assert verdicts(rule, inspected("connections", "pass", "terminal loose")) == {FAIL}
    assert verdicts(rule, inspected("connections", "not satisfactory")) == {FAIL}
    assert verdicts(rule, inspected("connections", "not satisfactory", "terminal loose")) == {PASS}
    stray = (put(InspectionRemark, job="J1", aspect="The weather", remark="rain"),)
    assert verdicts(rule, build(remarks=stray)) == {FAIL}


def test_not_applicable_cannot_answer_for_what_is_there():
    rule = "not_applicable_does_not_contradict_the_job"
    buried = but(build(), "circuits", method="D2 direct in ground")
    assert verdict_on(rule, "buried", buried) == [QUERY]
    seen = buried.model_copy(update={"inspection": change(buried.inspection, buried="pass")})
    assert verdict_on(rule, "buried", seen) == [PASS]
    assert verdict_on(rule, "open_pen", inspected("open_pen", "N/A")) == [QUERY]


@pytest.mark.parametrize("aspect", ["other_sources", "load_management", "open_pen", "surge"])
def test_nothing_can_be_seen_in_order_that_is_not_there(aspect):
    rule = "passes_do_not_contradict_the_job"
    outcomes = dict.fromkeys(("other_sources", "load_management", "open_pen", "surge"), "N/A")
    bare = but(but(build(), "points", open_pen="not needed"), "supply", surge="omitted after risk assessment")
    assert verdicts(rule, but(bare, "inspection", **outcomes)) == {PASS}
    assert verdict_on(rule, aspect, but(bare, "inspection", **outcomes | {aspect: "pass"})) == [QUERY]


def test_what_is_there_may_be_seen_in_order():
    rule = "passes_do_not_contradict_the_job"
    assert verdicts(rule, build()) == {PASS}
    assert build().inspection.open_pen == "pass"


@pytest.mark.parametrize(
    ("state", "verdict"),
    [("adequate", PASS), ("improved with this work", PASS), ("inadequate", FAIL), (None, NOT_ASSESSED)],
)
def test_a_new_circuit_relies_on_the_earthing_that_is_there(state, verdict):
    job = but(build(), "row", existing_adequate=state)
    assert judge("existing_earthing_is_adequate", job) == [("Existing installation", verdict)]


def test_a_danger_that_nobody_told_the_client_is_asked_about():
    rule = "defects_are_told_to_the_client"
    danger = but(build(), "row", defects="bare wires in the loft", defects_danger="yes")
    assert verdicts(rule, build()) == {PASS}
    assert verdicts(rule, danger) == {QUERY}
    assert verdicts(rule, but(danger, "row", defects_told=date(2026, 9, 10))) == {NOTE}
    assert verdicts(rule, but(danger, "row", defects_danger="no")) == {NOTE}


def test_what_a_maker_does_not_say_never_holds_a_job():
    silent = model(height_lowest=None, entry_largest=None, torque=None, terminal_largest=None)
    for rule in (
        "mounting_heights_are_as_the_maker_says",
        "cables_fit_their_entry",
        "terminals_are_tightened_as_the_maker_says",
        "conductors_fit_the_terminals",
    ):
        assert [each.when_missing for each in found(rule, silent)] == [WhenMissing.PRINT], rule


def test_a_lower_limit_in_force_bounds_the_charge_as_well():
    lower = point(temporary_limit=10, charge_power=7.2)
    assert judge("charges_were_made", lower) == [(CP1, QUERY)]
    assert judge("charges_were_made", point(temporary_limit=10, charge_power=2.3)) == [(CP1, PASS)]
