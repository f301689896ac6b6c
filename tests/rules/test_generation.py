"""Generation adds on the load side."""

import pytest
from rules.honest import build, but, judge, put, verdicts

from pipeline.facts.findings import Verdict
from pipeline.facts.rows.sources import OtherSource

PASS, QUERY, NOTE = Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
BOARD, CABLE = "boards_carry_supply_and_generation", "cables_carry_supply_and_generation"
NINE = "Board MAIN, circuit 9"


def solar(cutout=80, **cells):
    """Solar generation at the board of the honest job, whose main switch is rated 100 A."""
    usual = {"source": "solar", "rating": 3.68, "phases": 1, "board": "MAIN"}
    job = build(sources=(put(OtherSource, **(usual | cells)),))
    return but(job, "supply", cutout_rating=cutout)


@pytest.mark.parametrize(
    ("cutout", "cells", "verdict"),
    [
        # 3.68 kW / 230 V = 16 A
        (80, {}, PASS),
        (84, {}, PASS),
        (84.1, {}, NOTE),
        (100, {}, NOTE),
        (80, {"rating": None}, NOT_ASSESSED),
        (None, {}, NOT_ASSESSED),
    ],
)
def test_a_board_carries_its_supply_and_its_generation(cutout, cells, verdict):
    assert [each for _, each in judge(BOARD, solar(cutout, **cells))] == [verdict]


def test_a_board_whose_demand_may_reach_the_sum_is_asked_about():
    assert verdicts(BOARD, but(solar(100), "supply", demand_l1=90)) == {QUERY}
    assert verdicts(BOARD, build()) == {NOT_APPLICABLE}


@pytest.mark.parametrize(
    ("rating", "size", "verdict"),
    # 10 mm² method C carries 64 A: 32 A + 32 A
    [(32, 10, PASS), (40, 10, NOTE), (None, 10, NOT_ASSESSED)],
)
def test_a_cable_that_returns_power_carries_both_or_serves_the_point_alone(rating, size, verdict):
    job = but(but(build(), "models", returns_power="yes"), "circuits", device_rating=rating, live_size=size)
    assert judge(CABLE, job) == [(NINE, verdict)]
    assert verdicts(CABLE, build()) == {NOT_APPLICABLE}


def test_a_vehicle_that_returns_power_is_a_source_with_a_notice():
    rule = "two_sources_are_announced"
    job = but(build(), "models", returns_power="yes")
    assert judge(rule, job) == [("Charge point CP1", QUERY)]
    vehicle = put(OtherSource, source="vehicle", board="MAIN", notices_fitted="yes", isolator_place="Consumer unit")
    assert judge(rule, job.model_copy(update={"sources": (vehicle,)})) == [("Source vehicle", PASS)]
