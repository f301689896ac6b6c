"""No cell, however odd, brings a rule down; and a blank cell that was needed never leaves a job clean."""

import pytest
from rules.honest import TODAY, bays, build, change, typed
from rules.odd import full, managed, odd, spoilt

from pipeline.editions import edition
from pipeline.facts.field import Needed
from pipeline.facts.findings import holds
from pipeline.facts.job import Job
from pipeline.facts.row import Kind
from pipeline.rules import check_job, check_week

LONG = pytest.mark.long


@pytest.mark.parametrize(
    ("job", "by", "values"),
    [
        pytest.param(build(), "uk_2018_a2", odd, id="domestic, odd", marks=LONG),
        pytest.param(full(), "uk_2018_a4", odd, id="every sheet, odd", marks=LONG),
        pytest.param(full(), "iec", odd, id="every sheet, odd, IEC", marks=LONG),
    ],
)
def test_no_cell_brings_a_rule_down(job, by, values):
    broken = []
    for name, other in spoilt(job, values):
        try:
            check_job(other, edition(by), TODAY)
            check_week([other, job])
        except Exception as error:  # noqa: BLE001 - the list of all troubles reads better than the first
            broken.append(f"{name}: {error!r}")
    assert broken == []


def test_a_job_without_any_row_is_judged():
    assert check_job(Job(row=change(build().row, state="tested")), edition("uk_2018_a2"), TODAY)


def test_a_blank_that_a_calculation_needs_never_leaves_the_job_clean():
    needed = {
        "supply": ("phases", "voltage", "earthing_system", "ze", "fault_current", "cutout_rating", "demand_l1"),
        "circuits": ("live_size", "cpc_size", "length", "method", "ambient", "device_rating", "breaking_capacity"),
        "readings": ("insulation_ll", "insulation_le", "polarity", "zs", "insulation_voltage", "point_connected"),
        "points": ("current_limit", "rcd_place", "indoors", "pilot_states", "covers"),
        "models": ("rated_current", "dc_detection", "ip"),
        "row": ("work", "designer", "circuits_total", "existing_adequate", "live_tested"),
    }
    for part, attributes in needed.items():
        for attribute in attributes:
            whole = getattr(build(), part)
            row = whole[0] if isinstance(whole, tuple) else whole
            assert row.fields()[attribute].needed is not Needed.NEVER, attribute
            other = row.with_values(**{attribute: None})
            job = build().model_copy(update={part: (other,) if isinstance(whole, tuple) else other})
            held = [each for each in check_job(job, edition("uk_2018_a2"), TODAY) if holds(each)]
            assert held, f"{part}.{attribute}"


def test_twelve_bays_are_judged_in_a_blink():
    findings = check_job(bays(12), edition("uk_2018_a2"), TODAY)
    assert len({(each.rule, each.subject, each.message) for each in findings}) > 500


ODD = (0, -1, 1e-12, 1e12, float("nan"), float("inf"))


def beyond_measure(row, attribute):
    """Figures that no column lets through: nought, less than nothing, and far too small or large."""
    kind = row.kind(attribute)
    if kind is Kind.INTEGER:
        yield from (0, -1, 10**12)
    elif kind in (Kind.AMOUNT, Kind.READING):
        yield from (typed(type(row), attribute, each) for each in ODD)


@pytest.mark.parametrize(
    ("job", "by"),
    [
        pytest.param(managed(), "uk_2018_a2", id="domestic"),
        pytest.param(full(), "iec", id="every sheet, IEC", marks=LONG),
        pytest.param(bays(2), "uk_2018_a4", id="bays", marks=LONG),
    ],
)
def test_no_figure_however_odd_brings_a_rule_down_or_stays_unsaid(job, by):
    """A device of 0 A, a size of nothing, an endless cable: not assessed or judged, never raised."""
    broken = []
    for name, other in spoilt(job, beyond_measure):
        try:
            check_job(other, edition(by), TODAY)
        except Exception as error:  # noqa: BLE001 - the list of all troubles reads better than the first
            broken.append(f"{name}: {error!r}")
    assert broken == []


def test_a_device_of_0_a_holds_its_job():
    job = build()
    other = job.model_copy(update={"circuits": (change(job.circuits[0], device_rating=0),)})
    judged = check_job(other, edition("uk_2018_a2"), TODAY)
    found = [each for each in judged if each.rule.endswith("zs_is_within_its_limit")]
    assert {str(each.verdict) for each in found} == {"not assessed"}
    assert all(holds(each) and "nought" in each.message for each in found)
