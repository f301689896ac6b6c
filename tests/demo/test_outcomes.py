"""Every job of the demo comes out as it is meant to, and a held one for the reason it is meant to have."""

from functools import partial

import pytest
from openpyxl.utils import get_column_letter

from pipeline.demo.__main__ import write_demo
from pipeline.demo.week import EXPECTED, TODAY
from pipeline.facts.findings import holds
from pipeline.facts.sheets import BY_TITLE
from pipeline.run import Options, judge


@pytest.fixture(scope="module")
def judged(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    options = Options(write_demo(folder), folder / "outputs", as_of=TODAY)
    week, jobs = judge(options, partial(str))
    return week, {each.job.reference: each for each in jobs}


def column(sheet, attribute):
    return get_column_letter(list(BY_TITLE[sheet].row.fields()).index(attribute) + 1)


def points_at(finding, reason):
    letter = column(reason.sheet, reason.attribute)
    return finding.verdict is reason.verdict and any(
        place.sheet == reason.sheet and place.cell.rstrip("0123456789") == letter for place in finding.places
    )


def test_every_job_is_read(judged):
    week, jobs = judged
    assert set(jobs) == set(EXPECTED)
    assert [each for each in week.balance if each.not_used] == []


@pytest.mark.parametrize("job", [job for job, each in EXPECTED.items() if each.outcome != "held"])
def test_a_sound_job_is_not_held(judged, job):
    found = judged[1][job]
    assert [f"{each.rule}: {each.message}" for each in found.findings if holds(each)] == []
    assert found.edition is not None
    assert found.job.tested is (EXPECTED[job].outcome == "awaiting signature")


@pytest.mark.parametrize("job", [job for job, each in EXPECTED.items() if each.outcome == "held"])
def test_a_held_job_is_held_for_its_reasons(judged, job):
    holding = [each for each in judged[1][job].findings if holds(each)]
    missing = [reason for reason in EXPECTED[job].reasons if not any(points_at(each, reason) for each in holding)]
    assert missing == []


def test_trouble_in_one_job_stays_in_that_job(judged):
    for job, each in judged[1].items():
        for finding in each.findings:
            assert finding.job in {job, ""}
