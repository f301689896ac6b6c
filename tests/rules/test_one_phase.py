"""The drop at a point while single-phase vehicles load one phase of a three-phase path alone."""

from rules.honest import board_row, build, but, circuit_row, found, model_row, point_row, put, supply_row, verdicts

from pipeline.facts.findings import Verdict
from pipeline.facts.rows.load_management import LoadManagement

FAIL, PASS, QUERY, NOT_ASSESSED = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOT_ASSESSED


def car_park(*ways, feeder=50, scheme=()):
    """Three-phase points behind a three-phase feeder of 62 m, 50 mm² armoured: 1.0 mV/A/m with two cores loaded."""
    three = {"cable": "armoured", "insulation": "XLPE 90 °C", "terminal_rating": 90, "phases": 3}
    long = three | {"live_size": feeder, "length": 62, "device_rating": 125, "feeds": "distribution circuit"}
    final = three | {"live_size": 10, "cpc_size": 10, "board": "SUB", "length": 30}
    managed = {"scheme": "LM1"} if scheme else {}
    return build(
        supply=supply_row(phases=3, demand_l2=20, demand_l3=20),
        schemes=tuple(scheme),
        boards=(board_row(phases=3), board_row(board="SUB", fed_board="MAIN", fed_circuit="1", phases=3)),
        circuits=(circuit_row(circuit="1", **long), *(circuit_row(circuit=way, **final) for way in ways)),
        models=(model_row(phases=3, rated_power=22),),
        points=tuple(point_row(point=f"CP{way}", board="SUB", circuit=way, **managed) for way in ways),
    )


def scheme_row(**values):
    usual = {"job": "J1", "scheme": "LM1", "group_limit": 100, "fallback": 6, "limit_held": "yes"}
    return put(LoadManagement, **(usual | values))


def alone(job):
    finding = found("one_phase_alone_drops_no_more", job)[0]
    return finding.verdict, finding.calculation.result


def test_single_phase_vehicles_may_all_load_the_same_phase_of_a_feeder():
    # 8 % is the most that any supply may drop: 1.0 × 32 n × 62 / 1000 V and 4.7 × 32 × 30 / 1000 V = 4.512 V, of 230 V
    assert alone(car_park("1", "2", "3")) == (PASS, "4.55 %")
    assert alone(car_park("1", "2", "3", "4")) == (QUERY, "5.412 %")
    assert alone(car_park(*map(str, range(1, 8)))) == (QUERY, "8 %")
    assert alone(car_park(*map(str, range(1, 9)))) == (FAIL, "8.863 %")


def test_a_declared_rotation_of_phases_is_used():
    assert alone(car_park("1L1", "2L2", "3L3", "4L1")) == (PASS, "3.687 %")
    assert alone(car_park("1L1", "2L2", "3L3", "4")) == (PASS, "3.687 %")


def test_a_group_limit_holds_what_one_phase_carries_alone():
    # 1.0 × 100 × 62 / 1000 V = 6.2 V, and 4.512 V
    job = car_park(*map(str, range(1, 8)), scheme=[scheme_row()])
    assert alone(job) == (PASS, "4.657 %")
    inputs = found("one_phase_alone_drops_no_more", job)[0].calculation.inputs
    assert [(each.shown, str(each.place)) for each in inputs if each.symbol == "I_limit"] == [
        ("100 A", str(job.schemes[0].at["group_limit"]))
    ]
    assert alone(car_park(*map(str, range(1, 8)), scheme=[scheme_row(group_limit=120)]))[0] is QUERY
    assert alone(car_park(*map(str, range(1, 8)), scheme=[scheme_row(limit_held="no")])) == (QUERY, "8 %")


def test_a_drop_on_one_phase_is_not_assessed_without_the_length_of_the_feeder():
    job = but(car_park("1", "2"), "circuits", length=None)
    assert verdicts("one_phase_alone_drops_no_more", job) == {NOT_ASSESSED}
