"""Readings of a ring final circuit."""

import pytest
from rules.honest import build, but, found, judge

from pipeline.facts.findings import Verdict

PASS, QUERY, NOT_ASSESSED = Verdict.PASS, Verdict.QUERY, Verdict.NOT_ASSESSED
NINE, RULE = "Board MAIN, circuit 9", "readings_of_a_ring_agree"
# 2.5/1.5 mm²: 50 m of line 0.37 Ω, protective conductor 0.37 × 2.5 / 1.5 = 0.62 Ω, a quarter of both 0.2475 Ω
SOUND = {"ring_r1": 0.37, "ring_rn": 0.37, "ring_r2": 0.62, "r1_r2": 0.25}


def ring(**cells):
    """A circuit of 2.5/1.5 mm² with readings of a ring."""
    job = but(build(), "circuits", live_size=2.5, cpc_size=1.5)
    return but(job, "readings", **(SOUND | cells))


def test_a_circuit_without_a_ring_has_nothing_to_agree():
    assert judge(RULE, build()) == [("Job", Verdict.NOT_APPLICABLE)]


def test_a_sound_ring_agrees_in_all_three_relations():
    assert judge(RULE, ring()) == [(NINE, PASS)] * 3
    assert judge(RULE, ring(r1_r2=None)) == [(NINE, PASS)] * 2


@pytest.mark.parametrize(
    ("cells", "verdicts"),
    [
        # 20 % of 0.37 Ω is 0.074 Ω
        ({"ring_rn": 0.444}, [PASS, PASS, PASS]),
        # of ends that do not agree, no quarter says anything more
        ({"ring_rn": 0.45}, [QUERY, PASS]),
        ({"ring_r2": 0.37}, [PASS, QUERY]),
        # 0.2475 Ω ± 0.05 Ω
        ({"r1_r2": 0.2974}, [PASS, PASS, PASS]),
        ({"r1_r2": 0.30}, [PASS, PASS, QUERY]),
        ({"r1_r2": 0.99}, [PASS, PASS, QUERY]),
        ({"ring_rn": None}, [NOT_ASSESSED]),
        ({"ring_r2": "LIM: no access"}, [NOT_ASSESSED]),
    ],
)
def test_a_ring_whose_readings_disagree_is_asked_about(cells, verdicts):
    assert [verdict for _, verdict in judge(RULE, ring(**cells))] == verdicts


def test_the_working_of_a_ring_shows_the_quarter():
    calculation = found(RULE, ring())[2].calculation
    assert calculation.numbers == "(0.37 Ω + 0.62 Ω) / 4 = 0.2475 Ω"


@pytest.mark.parametrize(
    ("reading", "verdict"),
    # (7.41 + 12.1) mΩ/m × 50 m / 4 = 0.2439 Ω at 20 °C, 0.98 of it at 15 °C: 0.6 × 0.239 − 0.01 up to 1.25 × 0.239
    [(0.25, PASS), (0.298, PASS), (0.30, QUERY), (0.134, PASS), (0.133, QUERY), (0.98, QUERY)],
)
def test_the_r1_r2_of_a_ring_is_that_of_a_quarter_of_its_length(reading, verdict):
    job = but(ring(r1_r2=reading), "circuits", length=50)
    assert judge("r1_r2_fits_the_cable", job) == [(NINE, verdict)]
    (each,) = found("r1_r2_fits_the_cable", job)
    assert each.calculation.symbols.endswith("; L of a ring / 4")
    assert "12.5 m" in each.calculation.numbers


def test_the_same_length_without_a_ring_reads_four_times_as_much():
    job = but(ring(ring_r1=None, ring_rn=None, ring_r2=None, r1_r2=0.98), "circuits", length=50)
    assert judge("r1_r2_fits_the_cable", job) == [(NINE, PASS)]
