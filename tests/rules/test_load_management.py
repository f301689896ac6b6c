"""Where a sensor measures, and whether it can hold its limit there."""

import pytest
from rules.honest import (
    board_row,
    build,
    but,
    circuit_row,
    found,
    judge,
    model_row,
    planned,
    point_row,
    put,
    supply_row,
)

from pipeline.facts.findings import Verdict
from pipeline.facts.rows.load_management import LoadManagement

FAIL, PASS, QUERY, NOT_ASSESSED = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOT_ASSESSED
RULE = "limits_can_be_held_where_their_sensor_measures"
FEEDER = "Board MAIN, circuit D1"
TRIED = {"sensor_checked": "yes", "limit_held": "yes", "fallback_held": "yes"}
THREE = {"phases": 3, "device_poles": 4}


def car_park(bays=12, **scheme):
    """Three-phase bays of 32 A behind a board of their own; the rest of the site takes 71 A of 200 A."""
    usual = {"job": "J1", "scheme": "LM1", "board": "BAYS", "group_limit": 100, "fallback": 6}
    feeder = circuit_row(circuit="D1", feeds="distribution circuit", device_rating=125, **THREE)
    ways = [str(number) for number in range(1, bays + 1)]
    return build(
        supply=supply_row(phases=3, cutout_rating=200, demand_l1=71, demand_l2=64, demand_l3=68),
        boards=(
            board_row(phases=3, main_switch_rating=250),
            board_row(board="BAYS", fed_board="MAIN", fed_circuit="D1", phases=3, main_switch_rating=160),
        ),
        circuits=(feeder, *(circuit_row(board="BAYS", circuit=way, **THREE) for way in ways)),
        models=(model_row(phases=3, rated_power=22),),
        points=tuple(point_row(point=f"CP{way}", board="BAYS", circuit=way, scheme="LM1") for way in ways),
        schemes=(put(LoadManagement, **(usual | TRIED | {"tested_points": bays} | scheme)),),
    )


def verdict(job, rule=RULE):
    (each,) = found(rule, job)
    return each.verdict


def test_a_sensor_on_the_cable_to_the_bays_holds_a_limit_of_the_bays_alone():
    # twelve vehicles turned down to the 6 A below which no pilot goes: 72 A (IEC 61851-1, Annex A)
    (each,) = found(RULE, car_park())
    assert each.verdict is PASS
    assert (each.calculation.numbers, each.calculation.result) == ("12 × 6 A", "72 A")
    assert verdict(car_park(group_limit=72)) is PASS
    assert verdict(car_park(group_limit=71.9)) is QUERY


@pytest.mark.parametrize("board", [None, "MAIN"])
def test_a_sensor_on_the_tails_sees_the_rest_of_the_site_and_cannot_hold_a_limit_of_the_bays(board):
    # 71 A of the site and 72 A of the bays flow through it, whatever the scheme asks of the vehicles
    (each,) = found(RULE, car_park(board=board, sensor_place="Tails"))
    assert each.verdict is QUERY
    assert each.calculation.numbers == "71 A + 12 × 6 A"
    assert each.found == "143 A with each point at 6 A"
    assert each.expected == "at most 100 A"
    assert verdict(car_park(board=board, sensor_place="Tails", group_limit=143)) is PASS


def test_a_site_that_fills_the_limit_alone_leaves_nothing_to_hold():
    assert verdict(car_park(bays=2, board=None, sensor_place="Tails", group_limit=83)) is PASS
    assert verdict(car_park(bays=2, board=None, sensor_place="Tails", group_limit=70)) is QUERY


def test_a_limit_of_the_whole_site_equals_at_most_what_the_supply_can_carry():
    assert verdict(car_park(board=None, sensor_place="Tails", group_limit=200)) is PASS
    (each,) = found(RULE, car_park(board=None, sensor_place="Tails", group_limit=201))
    assert (each.verdict, each.expected) == (QUERY, "at most 200 A (the cut-out)")
    agreed = but(car_park(board=None, sensor_place="Tails", group_limit=180), "supply", agreed_capacity=160)
    assert found(RULE, agreed)[0].expected == "at most 160 A (the agreed capacity)"


def test_a_limit_of_the_supply_held_at_the_intake_makes_a_small_supply_sound():
    # a house on 60 A, 40 A of it taken before: 72 A without the scheme
    house = but(but(build(), "supply", cutout_rating=60, demand_l1=40), "points", scheme="LM1")
    cells = {"job": "J1", "scheme": "LM1", "sensor_place": "Tails", "group_limit": 60, "fallback": 6, **TRIED}
    managed = house.model_copy(update={"schemes": (put(LoadManagement, **cells),)})
    assert verdict(managed) is PASS
    assert judge("demand_fits_the_cut_out", managed) == [("Supply", Verdict.NOTE)]
    assert judge("demand_fits_the_cut_out", house) == [("Supply", FAIL)]


def test_the_limit_of_bays_beside_the_rest_of_the_site_must_fit_the_supply():
    # 71 A + 100 A = 171 A on each cut-out
    job = car_park()
    assert judge("demand_fits_the_cut_out", job) == [("Supply", PASS)]
    assert judge("demand_fits_the_cut_out", but(job, "supply", cutout_rating=171)) == [("Supply", Verdict.NOTE)]
    assert judge("demand_fits_the_cut_out", but(job, "supply", cutout_rating=170)) == [("Supply", FAIL)]


def test_a_limit_on_a_board_at_the_intake_is_counted_beside_the_rest_of_the_site():
    # whether such a sensor is on the tails or on a cable that leaves the board, the larger demand is judged
    calculation = found("demand_fits_the_cut_out", car_park(board="MAIN", sensor_place="Tails"))[0].calculation
    assert calculation.result == "171 A"


def test_a_point_that_does_not_pass_the_sensor_is_asked_about():
    job = car_park(bays=2)
    stray = point_row(point="CP9", board="MAIN", circuit="9", scheme="LM1")
    away = job.model_copy(update={"circuits": (*job.circuits, circuit_row(**THREE)), "points": (*job.points, stray)})
    (each,) = found(RULE, away)
    assert each.verdict is QUERY
    assert each.message.startswith("The sensor does not see CP9,")


def test_a_limit_is_not_assessed_without_its_figure_its_board_or_what_the_site_took_before():
    assert verdict(car_park(group_limit=None)) is NOT_ASSESSED
    assert verdict(car_park(board="NOWHERE")) is NOT_ASSESSED
    assert verdict(but(car_park(board=None, sensor_place="Tails"), "supply", demand_l2=None)) is NOT_ASSESSED
    assert verdict(but(car_park(), "supply", demand_l2=None)) is PASS


def test_a_limit_is_judged_before_the_visit_as_well():
    assert verdict(planned(car_park(board=None, sensor_place="Tails"))) is QUERY


def test_what_points_fall_back_to_fits_the_lowest_of_all_ratings():
    # 71 A + 12 × 6 A = 143 A
    rule, job = "fallback_fits_the_supply", car_park()
    assert judge(rule, job) == [("Supply", PASS), (FEEDER, PASS)]
    assert judge(rule, but(job, "supply", agreed_capacity=143))[0] == ("Supply", PASS)
    assert judge(rule, but(job, "supply", agreed_capacity=142))[0] == ("Supply", FAIL)
    each = found(rule, but(job, "boards", main_switch_rating=142))[0]
    assert (each.verdict, each.calculation.limit) == (FAIL, "142 A (the main switch of board MAIN)")


@pytest.mark.parametrize(("rating", "verdict"), [(72, PASS), (71, FAIL)])
def test_what_points_fall_back_to_fits_the_circuit_that_feeds_their_board(rating, verdict):
    assert judge("fallback_fits_the_supply", but(car_park(), "circuits", device_rating=rating))[1] == (FEEDER, verdict)
