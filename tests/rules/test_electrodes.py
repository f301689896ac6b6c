"""A rod by its soil, and the current that trips an RCD in time."""

import pytest
from rules.honest import build, but, found, judge, planned, three_phase_tt, verdicts

from pipeline.facts.findings import Verdict

PASS, QUERY, NOTE = Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
SOIL, CURRENT = "electrodes_read_as_their_soil_lets_expect", "rcds_that_disconnect_get_their_current"
# 100 Ω·m, 2.4 m of 15.9 mm: 40.43 Ω (BS 7430, 9.5.3)
ROD = {"rod_length": 2.4, "rod_diameter": 15.9, "soil": 100}
NINE = "Board MAIN, circuit 9"


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({}, NOT_APPLICABLE),
        (ROD, PASS),
        (ROD | {"resistance": 121.2}, PASS),
        (ROD | {"resistance": 121.4}, NOTE),
        (ROD | {"resistance": 13.5}, PASS),
        (ROD | {"resistance": 13.4}, NOTE),
        (ROD | {"soil": None}, NOT_ASSESSED),
        (ROD | {"electrode": "plate"}, NOT_APPLICABLE),
    ],
)
def test_a_rod_reads_about_as_its_soil_lets_expect(cells, verdict):
    job = but(three_phase_tt(), "electrodes", **cells)
    assert [each for _, each in judge(SOIL, job)] == [verdict]


def test_the_estimate_is_that_of_the_published_formula():
    assert found(SOIL, but(three_phase_tt(), "electrodes", **ROD))[0].calculation.result == "about 40.43 Ω"


def test_before_the_visit_the_designer_s_own_figure_is_compared():
    job = planned(but(three_phase_tt(), "electrodes", resistance=None, **ROD))
    assert verdicts(SOIL, job) == {PASS}
    assert verdicts(SOIL, but(job, "electrodes", expected=200)) == {NOTE}


@pytest.mark.parametrize(
    ("zs", "rating", "verdict"),
    [
        (45.2, 30, NOTE),
        # 230 V / 1533.3 Ω = 0.15 A = 5 × 30 mA
        (1533, 30, NOTE),
        (1534, 30, QUERY),
        (92, 500, NOTE),
        (92.1, 500, QUERY),
    ],
)
def test_an_rcd_that_disconnects_on_tt_gets_five_times_its_current(zs, rating, verdict):
    job = but(but(three_phase_tt(), "readings", zs=zs), "circuits", rcd_rating=rating)
    assert judge(CURRENT, job) == [(NINE, verdict)]


def test_without_a_loop_reading_the_electrode_stands_for_it():
    job = but(three_phase_tt(), "readings", zs=None)
    assert verdicts(CURRENT, job) == {NOTE}
    assert verdicts(CURRENT, but(job, "electrodes", resistance=None)) == {NOT_ASSESSED}
    assert verdicts(CURRENT, but(but(planned(job), "electrodes", resistance=None), "row")) == {NOT_APPLICABLE}


def test_on_tn_only_a_declared_rcd_is_asked_for_its_current():
    assert verdicts(CURRENT, build()) == set()
    declared = but(build(), "circuits", rcd_for_fault="yes")
    assert verdicts(CURRENT, declared) == {NOTE}
    assert verdicts(CURRENT, but(declared, "readings", zs=1600)) == {QUERY}
    assert verdicts(CURRENT, but(declared, "supply", voltage=None)) == {NOT_ASSESSED}
