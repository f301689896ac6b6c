"""Two figures that cannot be true together: which, by how much, and what may have been typed wrong."""

import pytest
from rules.honest import bays, build, but, change, found

from pipeline.facts.findings import Verdict
from pipeline.rules.slips import Pair, advice, copied

CONTINUITY, SUM = "r1_r2_fits_the_cable", "zs_agrees_with_its_parts"


def asked(rule, job):
    """The one query of a rule."""
    queries = [each for each in found(rule, job) if each.verdict is Verdict.QUERY]
    assert len(queries) == 1
    return queries[0]


@pytest.mark.parametrize(
    ("entered", "slip"),
    [
        (146, "typed in thousandths of the unit"),
        (1.46, "point moved by one place"),
        (0.015, "point moved by one place"),
        (14.6, "point moved by two places"),
    ],
)
def test_a_factor_tells_the_slip(entered, slip):
    told = list(Pair("R1+R2", entered, "by the cable", 0.146, "Ω").slips())
    assert any(slip in each for each in told), told


def test_a_length_that_would_fit_is_named():
    told = list(Pair("R1+R2", 0.43, "by the cable", 0.146, "Ω", length=14).slips())
    assert told == ["a wrong length (41.23 m would fit, 14 m is entered)"]


def test_both_figures_and_their_difference_are_told():
    assert Pair("Zs", 0.6, "by its parts", 0.4, "Ω").said == "Zs 0.6 Ω, by its parts 0.4 Ω: 50 % higher"
    assert Pair("Zs", 0.2, "by its parts", 0.4, "Ω").said == "Zs 0.2 Ω, by its parts 0.4 Ω: 50 % lower"
    assert Pair("Zs", 0.4, "by its parts", 0.0, "Ω").said == "Zs 0.4 Ω, by its parts 0 Ω"
    assert list(Pair("Zs", 0.4, "by its parts", 0.0, "Ω").slips()) == []


def test_a_figure_of_the_row_above_is_recognised():
    job = bays(12)
    rows = (*job.readings[:10], change(job.readings[10], r1_r2=job.readings[9].shown("r1_r2")), *job.readings[11:])
    job = job.model_copy(update={"readings": rows})
    assert list(copied(job, rows[10], "r1_r2")) == ["copied from the row above"]
    assert list(copied(job, rows[9], "r1_r2")) == []
    assert list(copied(job, rows[0], "r1_r2")) == []


def test_a_figure_copied_from_a_much_longer_circuit_is_asked_about_with_its_origin():
    job = bays(12)
    turned = (job.readings[11], change(job.readings[0], r1_r2=job.readings[11].shown("r1_r2")))
    finding = asked(CONTINUITY, job.model_copy(update={"readings": turned, "circuits": job.circuits[::11]}))
    assert "copied from the row above" in finding.remedy


def test_the_same_figure_in_two_columns_is_recognised():
    job = but(build(), "readings", r1_r2=0.39)
    assert list(copied(job, job.readings[0], "r1_r2")) == ["the same figure as Zs"]


def test_a_low_r1_r2_may_have_a_parallel_earth_path():
    finding = asked(CONTINUITY, but(build(), "readings", r1_r2=0.06))
    assert "parallel earth path" in finding.remedy
    assert finding.found.endswith("% lower")


def test_a_high_zs_names_its_parts_and_the_difference():
    finding = asked(SUM, but(build(), "readings", zs=0.6))
    assert finding.found == "Zs 0.6 Ω, by its parts 0.39 Ω: 53.85 % higher"
    assert "loose joint" in finding.remedy


def test_an_unlikely_fault_current_is_set_against_ze():
    finding = asked("fault_current_agrees_with_ze", but(build(), "supply", fault_current=9.6))
    assert finding.found == "fault current 9.6 kA, by Ze 0.9583 kA: 901.7 % higher"
    assert "point moved by one place" in finding.remedy


def test_where_no_slip_is_likely_the_advice_stands_alone():
    assert advice(iter(()), "Measure again.") == "Measure again."
    assert advice(iter(("a", "a", "b")), "Measure again.") == "Likely: a; b. Measure again."
