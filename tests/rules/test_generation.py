"""Generation adds on the load side."""

import pytest
from rules.honest import build, but, found, judge, point_row, put, verdicts

from pipeline.facts.findings import Verdict
from pipeline.facts.rows.sources import OtherSource

PASS, QUERY = Verdict.PASS, Verdict.QUERY
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
        (84.1, {}, QUERY),
        (100, {}, QUERY),
        (80, {"rating": None}, NOT_ASSESSED),
        (None, {}, NOT_ASSESSED),
    ],
)
def test_a_board_carries_its_supply_and_its_generation(cutout, cells, verdict):
    assert [each for _, each in judge(BOARD, solar(cutout, **cells))] == [verdict]


def test_a_board_of_which_the_demand_alone_stays_below_its_rating_is_asked_about_all_the_same():
    # the fuse upstream lets 100 A in and the roof sends 16 A from the other side: nothing would open at 116 A
    (low,), (high,) = found(BOARD, solar(100)), found(BOARD, but(solar(100), "supply", demand_l1=90))
    assert low.message.endswith("though the demand as assessed stays below it.")
    assert high.message.endswith("are more than the board's rating.")
    assert {low.verdict, high.verdict} == {QUERY}
    assert verdicts(BOARD, build()) == {NOT_APPLICABLE}


def returning(**cells):
    """The honest point sending power back, on 10 mm² of 64 A (method C)."""
    return but(but(build(), "models", returns_power="yes"), "circuits", **({"live_size": 10} | cells))


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [({"device_rating": 64}, PASS), ({"device_rating": 64.1}, QUERY), ({"device_rating": None}, NOT_ASSESSED)],
)
def test_the_cable_of_a_point_alone_carries_what_it_takes_or_gives(cells, verdict):
    assert judge(CABLE, returning(**cells)) == [(NINE, verdict)]
    assert verdicts(CABLE, build()) == {NOT_APPLICABLE}


def test_a_point_that_sends_back_more_than_its_cable_carries_is_asked_about():
    # 6 mm² method C carries 47 A, whatever the device
    assert verdicts(CABLE, but(returning(live_size=6, device_rating=40), "models", rated_current=47)) == {PASS}
    (each,) = found(CABLE, but(returning(live_size=6, device_rating=40), "models", rated_current=48))
    assert (each.verdict, each.calculation.numbers) == (QUERY, "max(40 A, 48 A) ≤ 47 A")


def test_a_cable_that_serves_two_points_carries_the_device_and_what_one_sends_back():
    two = returning(device_rating=32)
    two = two.model_copy(update={"points": (*two.points, point_row(point="CP2"))})
    assert verdicts(CABLE, two) == {PASS}
    assert verdicts(CABLE, but(two, "circuits", device_rating=32.1)) == {QUERY}


def test_a_vehicle_that_returns_power_is_a_source_with_a_notice():
    rule = "two_sources_are_announced"
    job = but(build(), "models", returns_power="yes")
    assert judge(rule, job) == [("Charge point CP1", QUERY)]
    vehicle = put(OtherSource, source="vehicle", board="MAIN", notices_fitted="yes", isolator_place="Consumer unit")
    assert judge(rule, job.model_copy(update={"sources": (vehicle,)})) == [("Source vehicle", PASS)]
