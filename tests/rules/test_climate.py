"""Temperatures and knocks, against what the model's maker states."""

import pytest
from rules.honest import build, but, found, judge

from pipeline.facts.findings import Verdict, holds

NOTE, QUERY, NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOTE, Verdict.QUERY, Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
CP1 = "Charge point CP1"


@pytest.mark.parametrize(
    ("place", "coldest", "hottest", "verdict"),
    [
        ("outdoors", -25, 40, NOTE),
        ("outdoors", -30, 50, NOTE),
        ("outdoors", -24.9, 40, QUERY),
        ("outdoors", -25, 39.9, QUERY),
        ("indoors", -5, 40, NOTE),
        ("indoors", 0, 40, QUERY),
        ("outdoors", None, 40, NOT_ASSESSED),
    ],
)
def test_a_model_bears_the_temperatures_of_its_place(place, coldest, hottest, verdict):
    job = but(but(build(), "models", coldest=coldest, hottest=hottest), "points", indoors=place)
    assert judge("points_bear_the_temperatures_of_their_place", job) == [(CP1, verdict)]


def test_a_maker_that_is_silent_on_the_climate_does_not_hold_the_job():
    finding = found("points_bear_the_temperatures_of_their_place", but(build(), "models", coldest=None))[0]
    assert not holds(finding)


@pytest.mark.parametrize(
    ("ik", "row", "verdict"),
    [
        ("IK07", {"premises": "commercial"}, NOTE),
        ("IK10", {"charging": "public"}, NOTE),
        ("IK06", {"premises": "commercial"}, QUERY),
        ("strong", {"premises": "public"}, QUERY),
        (None, {"premises": "commercial"}, NOT_ASSESSED),
        ("IK02", {}, NOT_APPLICABLE),
    ],
)
def test_a_point_where_vehicles_move_bears_knocks(ik, row, verdict):
    job = but(but(build(), "models", ik=ik), "row", **row)
    assert judge("points_bear_knocks_where_vehicles_move", job) == [(CP1, verdict)]
