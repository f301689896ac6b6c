"""What becomes of a job follows from its findings and from the register."""

from datetime import date

import pytest

from pipeline.editions import choose
from pipeline.facts.choices import JobState, RuleFamily
from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Verdict
from pipeline.facts.job import Job
from pipeline.facts.record import input_key
from pipeline.facts.rows.jobs import JobRow
from pipeline.register import Register, Wish
from pipeline.stages.check import Judged
from pipeline.stages.decide import Status, decide_all

NOW = "2026-11-24T12:00:00+00:00"
EDITION = choose(RuleFamily.UK, date(2026, 11, 3))
ROW = JobRow(
    job="A-1", state=JobState.TESTED, family=RuleFamily.UK, typed={"job": "A-1"}, at={"job": Place("Jobs", "A3")}
)


def judged(*findings, state=JobState.TESTED, edition=EDITION, typed="A-1"):
    return Judged(Job(row=ROW.with_values(state=state, typed={"job": typed})), edition, findings)


def finding(verdict):
    return Finding("rule", verdict, "A-1", "Board MAIN", "what is the case")


@pytest.fixture
def register(tmp_path):
    with Register.open(tmp_path / "register.sqlite", NOW) as opened:
        yield opened


def made(register, job, *, finished=True):
    [reserved] = register.reserve([Wish("A-1", input_key(job, EDITION.id), b"{}", {})], NOW, "2026-11-24")
    if finished:
        register.awaiting(reserved, {}, {}, NOW)


@pytest.mark.parametrize(
    ("found", "state", "status"),
    [
        ((), JobState.TESTED, Status.TO_MAKE),
        ((finding(Verdict.NOTE), finding(Verdict.PASS)), JobState.TESTED, Status.TO_MAKE),
        ((finding(Verdict.FAIL),), JobState.TESTED, Status.HELD),
        ((finding(Verdict.QUERY),), JobState.TESTED, Status.HELD),
        ((finding(Verdict.NOT_ASSESSED),), JobState.TESTED, Status.HELD),
        ((), JobState.TO_VISIT, Status.PLANNED),
        ((finding(Verdict.FAIL),), JobState.TO_VISIT, Status.HELD),
        ((), None, Status.PLANNED),
    ],
)
def test_findings_decide_first(found, state, status, register):
    [decision] = decide_all([judged(*found, state=state)], register, {})
    assert decision.status is status


def test_a_job_without_an_edition_is_held(register):
    [decision] = decide_all([judged(edition=None)], register, {})
    assert decision.status is Status.HELD


def test_a_job_that_has_its_pack_is_unchanged(register):
    made(register, judged().job)
    [decision] = decide_all([judged()], register, {})
    assert (decision.status, decision.number) == (Status.UNCHANGED, "0001-1")


def test_other_figures_than_the_packs_hold_the_job_and_say_how_to_revise(register):
    made(register, judged().job)
    [decision] = decide_all([judged(typed="changed")], register, {})
    assert decision.status is Status.HELD
    [told] = decision.judged.findings
    assert (told.rule, told.verdict) == ("job_says_what_its_pack_says", Verdict.FAIL)
    assert "0001-1" in told.message
    assert "--revise A-1" in told.remedy


def test_a_revision_that_is_asked_for_is_made(register):
    made(register, judged().job)
    [decision] = decide_all([judged(typed="changed")], register, {"A-1": "length corrected"})
    assert (decision.status, decision.reason) == (Status.TO_MAKE, "length corrected")
