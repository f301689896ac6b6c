"""What becomes of a job follows from its findings and from the register."""

import json
from dataclasses import replace
from datetime import date

import pytest

from pipeline.editions import choose
from pipeline.facts.acceptance import Acceptance
from pipeline.facts.choices import JobState, RuleFamily
from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.job import Job
from pipeline.facts.record import input_key
from pipeline.facts.rows.jobs import JobRow
from pipeline.issue import record_bytes
from pipeline.register import Kind, Register, Wish
from pipeline.rules.answers import revision_key
from pipeline.stages.check import Judged
from pipeline.stages.decide import Decision, Status, decide_all, question_of

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
    [reserved] = register.reserve([Wish("A-1", input_key(job, EDITION.id), b"{}")], NOW, "2026-11-24")
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


def test_a_pack_made_under_something_older_is_made_anew_only_when_that_is_asked_for(register):
    made(register, judged().job)
    reason = {"A-1": "new letterhead"}
    for revisions, older, status in (
        ({}, {"0001-1"}, Status.UNCHANGED),
        (reason, set(), Status.UNCHANGED),
        (reason, {"0001-1"}, Status.TO_MAKE),
    ):
        [decision] = decide_all([judged()], register, revisions, older)
        assert decision.status is status


def test_a_number_whose_pack_could_not_be_made_is_no_pack(register):
    made(register, judged().job, finished=False)
    [decision] = decide_all([judged()], register, {})
    assert (decision.status, decision.number) == (Status.FAILED, "0001-1")
    assert "could not be made yet" in decision.trouble


def test_other_figures_than_those_reserved_wait_until_that_pack_is_made_or_its_number_void(register):
    made(register, judged().job, finished=False)
    [decision] = decide_all([judged(typed="changed")], register, {"A-1": "length corrected"})
    assert decision.status is Status.HELD
    [told] = decision.judged.findings
    assert "handover void 0001" in told.remedy


def accepted(found):
    return Acceptance(found, "0" * 16, "PEX", "Pat Example", "qualified supervisor", "Seen.", date(2026, 11, 12))


def test_an_accepted_query_lets_the_job_go_on_and_an_accepted_failure_does_not(register):
    query, failed = finding(Verdict.QUERY), finding(Verdict.FAIL)
    [decision] = decide_all([replace(judged(query), accepted=(accepted(query),))], register, {})
    assert decision.status is Status.TO_MAKE
    [decision] = decide_all([replace(judged(failed), accepted=(accepted(failed),))], register, {})
    assert decision.status is Status.HELD


def test_an_answer_asks_for_the_revision_of_changed_figures_alone(register):
    made(register, judged().job)
    asked = accepted(finding(Verdict.FAIL))
    [decision] = decide_all([replace(judged(typed="changed"), revision=asked)], register, {})
    assert (decision.status, decision.reason) == (Status.TO_MAKE, "Seen.")
    [decision] = decide_all([replace(judged(), revision=asked)], register, {})
    assert decision.status is Status.UNCHANGED


def test_a_pack_taken_back_holds_its_job_until_a_revision_is_asked_for(register):
    made(register, judged().job)
    register.give_up(register.standing("0001-1"), Kind.WITHDRAWN, NOW, "wrong board")
    [decision] = decide_all([judged()], register, {})
    assert decision.status is Status.HELD
    assert "was withdrawn" in decision.judged.findings[0].message
    [decision] = decide_all([judged()], register, {"A-1": "board corrected"})
    assert decision.status is Status.TO_MAKE


def test_what_the_check_asks_is_what_the_answer_is_looked_up_by(register):
    made(register, judged().job)
    [decision] = decide_all([judged(typed="changed")], register, {})
    of = decision.judged
    assert question_of(decision).key == revision_key(of.job, of.input_key)


def test_an_answer_about_the_week_never_enters_a_record_since_it_names_other_jobs():
    of_job = finding(Verdict.QUERY)
    of_week = replace(of_job, scope=Scope.WEEK, message="Job B-2 is at the same site.")
    both = replace(judged(of_job, of_week), accepted=(accepted(of_job), accepted(of_week)))
    content = record_bytes(Decision(both, Status.TO_MAKE), date(2026, 11, 24))
    assert [each["message"] for each in json.loads(content)["answers"]] == [of_job.message]
    assert b"B-2" not in content
