"""Cutting a point off: poles, place, label."""

import pytest
from rules.honest import build, but, judge, three_phase_tt

from pipeline.facts.findings import Verdict

PASS, QUERY, NOTE = Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
NINE, CP1 = "Board MAIN, circuit 9", "Charge point CP1"


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({}, PASS),
        ({"device_poles": 1}, PASS),
        ({"device_poles": 1, "rcd_poles": None}, QUERY),
        ({"device_poles": None}, NOT_ASSESSED),
        ({"phases": 3, "device_poles": 3, "rcd_poles": None}, NOTE),
        ({"phases": 3, "device_poles": 3, "rcd_poles": 4}, PASS),
        ({"phases": 3, "device_poles": 2, "rcd_poles": None}, QUERY),
    ],
)
def test_a_circuit_is_cut_off_with_its_neutral(cells, verdict):
    assert judge("circuits_of_points_can_be_cut_off", but(build(), "circuits", **cells)) == [(NINE, verdict)]


def test_on_tt_three_poles_leave_the_neutral_connected():
    job = but(three_phase_tt(), "circuits", device_poles=3, rcd_poles=None)
    assert judge("circuits_of_points_can_be_cut_off", job) == [(NINE, QUERY)]


def test_an_rcd_inside_the_point_does_not_cut_off_its_circuit():
    job = but(but(build(), "circuits", device_poles=1), "points", rcd_place="inside the charge point")
    assert judge("circuits_of_points_can_be_cut_off", job) == [(NINE, QUERY)]


def test_where_to_switch_off_is_told_and_was_seen():
    rule = "switches_of_points_are_reachable_and_marked"
    assert judge(rule, build()) == [(CP1, PASS)]
    assert judge(rule, but(build(), "points", isolator_place=None)) == [(CP1, NOT_ASSESSED)]
    assert judge(rule, but(build(), "inspection", access="not satisfactory")) == [(CP1, NOT_APPLICABLE)]
