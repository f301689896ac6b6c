"""Routes in the ground, order of connecting, d.c. detection and RCDs upstream as measured, let-through energy."""

import pytest
from rules.honest import build, but, circuit_row, found, judge, verdicts

from pipeline.facts.findings import Verdict

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
NINE, CP1, MAIN = "Board MAIN, circuit 9", "Charge point CP1", "Board MAIN"
BURIED = {"cable": "armoured", "insulation": "XLPE 90 °C", "method": "D2 direct in ground", "ambient": 20}


def buried(**cells):
    """The honest job with its cable laid in the ground."""
    return but(build(), "circuits", **(BURIED | {"burial_depth": 0.6} | cells))


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        # the depth that the tables hold for is from memory
        ({}, NOTE),
        ({"burial_depth": 0.8}, NOTE),
        ({"burial_depth": 0.81}, QUERY),
        ({"burial_depth": None}, NOT_ASSESSED),
        ({"method": "C"}, NOT_APPLICABLE),
    ],
)
def test_a_buried_route_is_no_deeper_than_the_tables_hold_for(cells, verdict):
    assert judge("buried_routes_are_as_the_tables_take_them", buried(**cells)) == [(NINE, verdict)]


@pytest.mark.parametrize(
    ("soil", "method", "factor"),
    [
        # IEC 60364-5-52, Table B.52.16, by resistivity in K·m/W; between two columns the drier one
        (None, "D2 direct in ground", "1"),
        (2.5, "D2 direct in ground", "1"),
        (3, "D2 direct in ground", "0.9"),
        (1, "D2 direct in ground", "1.5"),
        (1.2, "D2 direct in ground", "1.28"),
        (1, "D1 in duct", "1.18"),
        (3, "D1 in duct", "0.96"),
    ],
)
@pytest.mark.parametrize("by", ["uk_2018_a2", "iec"])
def test_the_soil_has_its_factor(soil, method, factor, by):
    (finding,) = found("devices_and_cables_carry_the_load", buried(soil=soil, method=method), by=by)
    shown = next(each.shown for each in finding.calculation.inputs if each.symbol == "C_s")
    assert shown.split(" ")[0] == factor
    assert soil is not None or "2.5 K·m/W" in shown


def test_soil_drier_than_any_column_is_not_assessed():
    assert verdicts("devices_and_cables_carry_the_load", buried(soil=3.1)) == {NOT_ASSESSED}


@pytest.mark.parametrize(("kept", "verdict"), [("yes", PASS), ("no", QUERY), (None, NOT_ASSESSED)])
def test_conductors_are_connected_in_their_order(kept, verdict):
    rule, job = "conductors_are_connected_in_their_order", but(build(), "points", order_kept=kept)
    assert judge(rule, job) == [(CP1, verdict)]
    assert found(rule, job)[0].when_missing == "print"


@pytest.mark.parametrize(
    ("milliampere", "verdict"),
    [(4.2, PASS), (6, PASS), (6.1, FAIL), (0, FAIL), (None, NOT_APPLICABLE), ("LIM: no adapter", NOT_APPLICABLE)],
)
def test_a_dc_detection_opens_at_6_ma_at_most(milliampere, verdict):
    job = but(build(), "points", dc_trip=milliampere)
    assert judge("dc_detection_opens_at_its_current", job) == [(CP1, verdict)]


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({}, NOT_APPLICABLE),
        ({"rcd_type": "A", "rcd_time": None}, NOT_ASSESSED),
        ({"rcd_type": "A", "rcd_time": "LIM: in use"}, NOT_ASSESSED),
        ({"rcd_type": "A", "rcd_time": 300}, PASS),
        ({"rcd_type": "A", "rcd_time": 301}, FAIL),
        ({"rcd_type": "A", "rcd_time": 0}, FAIL),
        ({"rcd_type": "A", "rcd_time": 500, "rcd_delay": "S"}, PASS),
        ({"rcd_type": "A", "rcd_time": 501, "rcd_delay": "S"}, FAIL),
        # type S holds for 130 ms (IEC 61008-1, Table 1), or it would trip before the RCD behind it
        ({"rcd_type": "A", "rcd_time": 130, "rcd_delay": "S"}, PASS),
        ({"rcd_type": "A", "rcd_time": 129, "rcd_delay": "S"}, FAIL),
        ({"rcd_type": "A", "rcd_time": 5}, PASS),
        ({"rcd_type": "A", "rcd_time": 4.9}, QUERY),
    ],
)
def test_an_rcd_before_several_circuits_has_its_own_reading(cells, verdict):
    job = but(build(), "boards", **cells)
    assert judge("rcds_upstream_are_tested", job) == [(MAIN, verdict)]
    assert found("rcds_upstream_are_tested", job)[0].when_missing == "print"


def test_the_least_time_of_a_delayed_rcd_is_printed_beside_the_longest():
    board = found("rcds_upstream_are_tested", but(build(), "boards", rcd_type="A", rcd_time=212, rcd_delay="S"))[0]
    assert board.calculation.numbers == "130 ms ≤ 212 ms ≤ 500 ms"
    assert board.calculation.limit.startswith("130 ms to 500 ms (")
    delayed = but(but(build(), "circuits", rcd_delay="S"), "readings", rcd_time=212, rcd_time_180=230)
    assert found("rcds_trip_in_time", delayed)[0].calculation.numbers == "130 ms ≤ 212 ms ≤ 500 ms"


def near_a_transformer(**cells):
    """A reduced protective conductor where neither table, bound nor class 3 is enough: 2.5 mm² at 9 kA."""
    job = build(circuits=(circuit_row(breaking_capacity=10, **cells),))
    return but(but(but(job, "boards", fault_current=9), "supply", ze=0.03, fault_current=9), "readings", zs=0.2)


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({}, QUERY),
        # k²S² = 115² × 2.5² = 82 656 A²·s
        ({"let_through": 82656, "let_through_own": "yes", "let_through_source": "Sheet 7"}, PASS),
        ({"let_through": 82657, "let_through_own": "yes", "let_through_source": "Sheet 7"}, FAIL),
        ({"let_through": 60000, "let_through_own": "yes", "let_through_source": None}, QUERY),
        ({"let_through": 60000, "let_through_own": "no", "let_through_source": "Sheet 7"}, QUERY),
        ({"let_through": 60000, "let_through_own": None, "let_through_source": "Sheet 7"}, QUERY),
    ],
)
def test_the_let_through_energy_of_its_own_maker_decides(cells, verdict):
    assert judge("protective_conductors_bear_a_fault", near_a_transformer(**cells)) == [(NINE, verdict)]
