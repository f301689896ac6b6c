"""What the electrician is told to expect is what the reading will be judged by."""

import re
from datetime import date

import pytest

from pipeline.demo.week import demo_rows
from pipeline.facts.findings import Finding
from pipeline.facts.job import Job
from pipeline.facts.sheets import SHEETS
from pipeline.rules.base import Case
from pipeline.rules.conductors import cable_of
from pipeline.rules.continuity import LINE_SHARE, line_alone
from pipeline.rules.outcomes import name_of
from pipeline.rules.visit import Asked, asked_for
from pipeline.run import Options, judge
from pipeline.stages.check import Judged
from pipeline.workbook.write import write_workbook

DAY = date(2026, 11, 24)
TO_VISIT = "LN-117"


@pytest.fixture(scope="module")
def jobs(tmp_path_factory) -> dict[str, Judged]:
    """The demo week, judged, by reference."""
    folder = tmp_path_factory.mktemp("week")
    write_workbook(folder / "week.xlsx", demo_rows())
    _, judged = judge(Options(folder / "week.xlsx", folder / "out", as_of=DAY), lambda *_: None)
    return {each.job.reference: each for each in judged}


def asked(judged: Judged, job: Job | None = None) -> list[Asked]:
    assert judged.edition
    return list(asked_for(Case(job or judged.job, judged.edition, DAY)))


def cell(found: list[Asked], column: str) -> Asked:
    return next(each for each in found if each.column.startswith(column))


def limit_of(judged: Judged, rule: str, words: str = "") -> Finding:
    return next(each for each in judged.findings if each.rule == rule and each.calculation and words in each.message)


def untested(job: Job) -> Job:
    """The same job as it stood before its readings were taken."""
    return job.model_copy(update={"readings": ()})


@pytest.mark.parametrize("reference", ["LN-101", "LN-105", "LN-106", "LN-112"])
def test_each_limit_on_the_sheet_is_the_one_that_the_check_of_the_reading_names(jobs, reference):
    judged = jobs[reference]
    found = asked(judged, untested(judged.job))
    for column, rule, words in (
        ("Zs (", "measured_zs_is_within_its_limit", ""),
        ("Insulation, live to live", "insulation_resistance_is_high_enough", "live to live"),
        ("RCD time at I_Δn, 0°", "rcds_trip_in_time", "0°"),
    ):
        finding = limit_of(judged, rule, words)
        told = cell([each for each in found if each.row == finding.subject], column).limit
        figure = told.removeprefix("at most ").removeprefix("at least ")
        assert figure
        assert finding.calculation.limit.startswith(f"{figure} ("), (column, told, finding.calculation.limit)


def test_the_continuity_to_expect_is_what_the_check_works_out_for_the_cable(jobs):
    judged = jobs["LN-101"]
    finding = limit_of(judged, "r1_r2_fits_the_cable")
    expected = cell(asked(judged, untested(judged.job)), "R1+R2").expected.removesuffix(" at 20 °C")
    assert expected in str(finding.calculation.inputs)


def test_beside_armour_or_metalwork_the_least_continuity_is_a_share_of_the_line_as_in_the_check(jobs):
    judged = jobs["LN-106"]  # an armoured cable to the garage, flat cable from there
    limits = [each.limit for each in asked(judged, untested(judged.job)) if each.column.startswith("R1+R2")]
    findings = [each for each in judged.findings if each.rule == "r1_r2_fits_the_cable" and each.calculation]
    assert len(limits) == len(findings) == 2
    for limit, finding in zip(limits, findings, strict=True):
        # the check adds what the instrument may be off, and warms the cable: the sheet has the narrower floor
        assert numbers(limit)[0] >= numbers(finding.calculation.limit)[0] > 0
    beside_metal = [each for each in findings if "beside a metal path" in each.calculation.limit]
    circuit = next(each for each in judged.job.circuits if name_of(each) == beside_metal[0].subject)
    case = Case(judged.job, judged.edition, DAY)
    line = line_alone(case, cable_of(case, circuit))
    assert numbers(limits[findings.index(beside_metal[0])])[0] == pytest.approx(LINE_SHARE * line, rel=1e-3)


def numbers(limit: str) -> list[float]:
    return [float(each) for each in re.findall(r"\d+(?:\.\d+)?", limit)]


def test_on_tt_the_limit_is_that_of_the_rcd_and_not_of_the_breaker(jobs):
    judged = next(each for each in jobs.values() if each.job.supply.earthing_system == "TT" and each.job.readings)
    finding = limit_of(judged, "measured_zs_is_within_its_limit")
    found = cell(asked(judged, untested(judged.job)), "Zs (")
    assert finding.calculation.limit.startswith(f"{found.limit.removeprefix('at most ')} (")
    assert found.expected == f"about {judged.job.electrodes[0].shown('expected')} Ω"


def test_whatever_is_typed_or_missing_the_sheet_can_be_made(jobs):
    for judged in jobs.values():
        if judged.edition:
            for job in (judged.job, untested(judged.job), Job(row=judged.job.row)):
                assert asked(judged, job)


def test_the_boxes_stand_in_the_order_of_the_workbook(jobs):
    sheets = [each.title for each in SHEETS]
    columns = {each.title: [field.heading for field in each.row.fields().values()] for each in SHEETS}
    found = asked(jobs[TO_VISIT])
    assert [sheets.index(each.sheet) for each in found] == sorted(sheets.index(each.sheet) for each in found)
    for sheet, row in dict.fromkeys((each.sheet, each.row) for each in found):
        places = [columns[sheet].index(each.column) for each in found if (each.sheet, each.row) == (sheet, row)]
        assert places == sorted(set(places)), (sheet, row)


def test_every_cell_without_which_a_tested_job_is_held_is_asked_for(jobs):
    judged = jobs[TO_VISIT]
    headings = {(each.sheet, each.column) for each in asked(judged)}
    for sheet, part in (("Supplies", judged.job.supply), ("Charge points", judged.job.points[0])):
        for name, field in part.fields().items():
            if field.needed == "test" and getattr(part, name) is None:
                assert (sheet, field.heading) in headings


def test_nothing_is_suggested_for_what_the_electrician_inspects(jobs):
    inspected = [each for each in asked(jobs[TO_VISIT]) if each.sheet == "Inspections"]
    assert inspected
    assert not any(each.expected or each.limit for each in inspected)


def test_a_single_phase_job_is_not_asked_for_a_phase_sequence(jobs):
    assert not any("sequence" in each.column for each in asked(jobs[TO_VISIT]))
    assert any("sequence" in each.column for each in asked(jobs["LN-105"], untested(jobs["LN-105"].job)))
