"""How far the phases of a supply stand apart."""

import pytest
from rules.honest import build, but, circuit_row, found, judge, point_row

from pipeline.facts.findings import Verdict

RULE = "phases_are_loaded_alike"
PASS, NOTE, NOT_ASSESSED = Verdict.PASS, Verdict.NOTE, Verdict.NOT_ASSESSED


def three_phases(*ways, **before):
    """Single-phase points of 32 A on these ways of a three-phase supply."""
    job = build(
        circuits=tuple(circuit_row(circuit=way) for way in ways),
        points=tuple(point_row(point=f"CP{way}", circuit=way) for way in ways),
    )
    return but(job, "supply", **({"phases": 3, "demand_l1": 20, "demand_l2": 20, "demand_l3": 20} | before))


@pytest.mark.parametrize(
    ("before", "verdict"),
    # 52 A on L1 and 20 A on L3: as much apart as one point of 7.4 kW
    [({}, PASS), ({"demand_l3": 19.9}, NOTE), ({"demand_l1": 0}, PASS), ({"demand_l2": None}, NOT_ASSESSED)],
)
def test_phases_one_single_phase_point_apart_are_alike_and_more_is_told(before, verdict):
    assert judge(RULE, three_phases("1L1", **before)) == [("Supply", verdict)]


def test_points_that_take_turns_on_the_phases_load_them_alike():
    (turns,), (heap,) = found(RULE, three_phases("1L1", "2L2", "3L3")), found(RULE, three_phases("1L1", "2L1", "3L1"))
    assert (turns.verdict, turns.calculation.result) == (PASS, "0 A")
    assert (heap.verdict, heap.calculation.numbers) == (NOTE, "116 A − 20 A; L1: 116 A; L2: 20 A; L3: 20 A")
    assert heap.message == "The phases are not loaded alike."


def test_where_no_way_tells_its_phase_that_is_said():
    (each,) = found(RULE, three_phases("1", "2"))
    assert each.verdict is NOTE
    assert "are not told and were taken as evenly loaded" in each.message


def test_one_phase_has_nothing_to_be_alike_and_a_blank_holds_no_job():
    assert judge(RULE, build()) == [("Supply", Verdict.NOT_APPLICABLE)]
    assert found(RULE, three_phases("1L1", demand_l2=None))[0].when_missing == "print"
