"""What an admin reads at the end of a run: each cause once, the gravest first, where and how to mend it."""

from dataclasses import replace
from datetime import date

import pytest

from pipeline.facts.acceptance import Acceptance
from pipeline.facts.choices import JobState
from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.job import Job, SheetBalance, Week
from pipeline.facts.rows.jobs import JobRow
from pipeline.report import answers, balance_lines, corrections, count_of_answers, notices, summary_rows, totals
from pipeline.rules import RING
from pipeline.run import Report
from pipeline.stages.check import Judged
from pipeline.stages.decide import Decision, Status
from pipeline.telling import groups, holding, questions
from pipeline.workbook.corrections.cells import where

CELL, TODAY = Place("Readings", "L5"), date(2026, 11, 24)


def found(verdict, *places, rule="zs_is_within_its_limit", scope=Scope.JOB):
    return Finding(
        rule, verdict, "A-1", "Board MAIN, circuit 9", "Zs is above its limit.", places, "1.62 Ω", "at most 1.37 Ω",
        "Ask the electrician.", "BS 7671, 411.4.4", scope,
    )  # fmt: skip


def report(*findings, status=Status.HELD, of_week=(), balance=()):
    job = Job(row=JobRow(job="A-1", state=JobState.TESTED))
    week = Week(
        source="week.xlsx", sha256="0", as_of=date(2026, 11, 24), jobs=(job,), findings=of_week, balance=balance
    )
    return Report(week, (Decision(Judged(job, None, findings), status, number="0001-1"),))


def test_a_correction_says_where_what_expected_and_how_to_mend():
    text = corrections(report(found(Verdict.FAIL, CELL)))
    for part in ("Job A-1", "FAIL  Readings L5", "1.62 Ω", "at most 1.37 Ω", "Ask the electrician.", "BS 7671"):
        assert part in text


def test_what_a_blank_cell_made_impossible_is_not_told_twice():
    blank = found(Verdict.FAIL, CELL, rule="cell_is_filled")
    echo = found(Verdict.NOT_ASSESSED, CELL)
    other = found(Verdict.NOT_ASSESSED, Place("Readings", "M5"))
    [decision] = report(echo, other, blank).decisions
    assert holding(decision) == [blank, other]


def test_a_missing_row_is_not_told_again_by_each_check_that_lacks_it():
    missing = found(Verdict.FAIL, Place("Jobs", "A3"), rule="single_rows_are_there")
    echoes = [found(Verdict.NOT_ASSESSED, rule=f"rule_{n}") for n in range(3)]
    [decision] = report(*echoes, missing).decisions
    assert holding(decision) == [missing]
    assert holding(report(*echoes).decisions[0]) == echoes


def test_a_dangerous_job_leads_the_list_and_says_whom_to_ring():
    text = f"{RING} The upstream RCD is of type AC."
    danger = replace(found(Verdict.FAIL, CELL), message=text)
    row = JobRow(job="A-1", state=JobState.TESTED, at={"job": Place("Jobs", "A12")})
    week = report(danger).week
    made = Report(week, (Decision(Judged(Job(row=row), None, (danger,)), Status.HELD),), check_value="0000")
    [(*_, step)] = summary_rows(made)
    assert step == "ring the electrician today; print held/jobs-row-12/do-not-use.pdf"


def test_the_gravest_stands_first():
    text = corrections(report(found(Verdict.QUERY, Place("Circuits", "B4")), found(Verdict.FAIL, CELL)))
    assert text.index("FAIL  Readings L5") < text.index("QUERY  Circuits B4")


def test_passes_and_notes_of_rules_are_left_to_the_record():
    text = corrections(report(found(Verdict.PASS), found(Verdict.NOTE), status=Status.AWAITING))
    assert "Nothing to correct." in text
    assert "Zs" not in text


def test_a_note_on_a_cell_is_said_though_the_job_goes_on():
    text = corrections(report(found(Verdict.NOTE, CELL, scope=Scope.CELL), status=Status.AWAITING))
    assert "noted; holds nothing" in text
    assert "Readings L5" in text


def test_findings_on_the_workbook_are_told_before_the_jobs():
    stray = Finding(
        "rows_belong_to_a_job", Verdict.FAIL, "", "Readings", "Row 9 names no job.", (Place("Readings", "A9"),)
    )
    text = corrections(report(found(Verdict.FAIL, CELL), of_week=(stray,)))
    assert text.index("Row 9 names no job.") < text.index("Job A-1")


def test_the_summary_counts_what_holds_a_job():
    rows = summary_rows(report(found(Verdict.FAIL, CELL), found(Verdict.QUERY)))
    assert rows == [("A-1", "held: 1 × fail, 1 × query", "0001-1", "correct the cells marked in the copy")]


@pytest.mark.parametrize("status", list(Status))
def test_every_outcome_has_a_next_step(status):
    [(_, outcome, _, step)] = summary_rows(report(status=status))
    assert outcome
    assert step
    assert totals(report(status=status)) == f"1 job: 1 {status}"


def test_every_filled_row_is_accounted_for():
    rows = SheetBalance(sheet="Readings", filled=6, of_jobs={"A-1": 3, "": 1})
    people = SheetBalance(sheet="People", filled=3, used=2, not_used=1)
    assert balance_lines(report(balance=(rows, people))) == [
        "Readings: 6 filled = 3 held, 1 of no job, 2 not used: they name no job of the week",
        "People: 3 filled = 2 used, 1 not used",
    ]


def test_sheets_on_which_nothing_is_typed_share_one_line():
    bare = (SheetBalance(sheet="Photos", filled=0), SheetBalance(sheet="Answers", filled=0))
    assert balance_lines(report(balance=bare)) == ["nothing typed: Photos, Answers"]


def test_what_a_default_does_to_several_jobs_is_told_once():
    place = Place("Defaults", "C33")
    decisions = []
    for name in ("A-1", "A-2"):
        job = Job(row=JobRow(job=name, state=JobState.TESTED))
        decisions.append(Decision(Judged(job, None, (replace(found(Verdict.FAIL, place), job=name),)), Status.HELD))
    text = corrections(replace(report(), decisions=tuple(decisions)))
    assert text.count("Zs is above its limit.") == 1
    assert "FAIL  Defaults C33, set for all jobs" in text
    assert "Held by what is told of the whole workbook alone: A-1, A-2." in text


def test_an_unusual_figure_is_settled_before_what_is_reckoned_with_it():
    unusual = found(Verdict.QUERY, Place("Circuits", "O3"), rule="number_is_usual", scope=Scope.CELL)
    follows = found(Verdict.FAIL, Place("Models", "G3"), Place("Circuits", "O3"))
    text = corrections(report(follows, unusual))
    assert text.index("QUERY  Circuits O3") < text.index("FAIL  Models G3")
    assert "First settle Circuits O3, which is unusual. Ask the electrician." in text


def test_a_missing_row_is_looked_for_among_those_of_an_unknown_job():
    lost = Finding(
        "row_belongs_to_a_job", Verdict.FAIL, "", "Supplies", "Did you mean 'A-1'?", (Place("Supplies", "A3"),)
    )
    missing = replace(
        found(Verdict.FAIL, Place("Jobs", "A3"), rule="single_rows_are_there"), expected="one row on the sheet Supplies"
    )
    text = corrections(report(missing, of_week=(lost,)))
    assert "Held by what is told of the whole workbook alone: A-1." in text
    assert missing.message not in text
    other = replace(missing, expected="one row on the sheet Inspections")
    assert "see the whole workbook: Supplies A3" not in corrections(report(other, of_week=(lost,)))
    guess = replace(lost, message="Did you mean 'A-1' or 'A-2'?")
    assert missing.message in corrections(report(missing, of_week=(guess,)))


def test_a_name_that_no_list_has_is_told_once_for_all_jobs_that_use_it():
    def unlisted(job, cell):
        told = found(Verdict.FAIL, Place("Readings", cell), rule="reference_is_listed", scope=Scope.CELL)
        return replace(
            told, job=job, message="'T9' is not on the sheet 'Instruments'. The same in 2 cells.", found="T9"
        )

    decisions = []
    for name, cell in (("A-1", "Y3"), ("A-2", "Y4")):
        job = Job(row=JobRow(job=name, state=JobState.TESTED))
        own = replace(found(Verdict.QUERY, Place("Readings", cell.replace("Y", "L"))), job=name)
        decisions.append(Decision(Judged(job, None, (unlisted(name, cell), own)), Status.HELD))
    text = corrections(replace(report(), decisions=tuple(decisions)))
    assert text.count("'T9'") == 1
    assert (
        "FAIL  Readings Y3:Y4\n  'T9' is not on the sheet 'Instruments'. The same in 2 cells of 2 jobs: A-1, A-2."
        in text
    )
    assert "Job A-1 · held: 1 × fail, 1 × query · see the whole workbook: Readings Y3" in text


def test_a_job_held_by_queries_alone_is_sent_to_the_answers_too():
    [(*_, step)] = summary_rows(report(found(Verdict.QUERY, CELL)))
    assert step == "correct the cells, or have the queries accepted on the sheet Answers of the copy"
    [(*_, step)] = summary_rows(report(found(Verdict.QUERY, CELL, rule="choice_is_in_the_list", scope=Scope.CELL)))
    assert step == "correct the cells marked in the copy"


def test_a_cell_that_could_not_be_read_is_no_question():
    unread = found(Verdict.QUERY, CELL, rule="choice_is_in_the_list", scope=Scope.CELL)
    odd = found(Verdict.QUERY, Place("Readings", "M5"))
    assert [each.what for each in questions(report(unread, odd))] == [f"{odd.subject}: {odd.message}"]


def test_an_answer_that_was_taken_is_confirmed_with_person_and_reason_and_one_that_was_not_with_its_fault():
    query = found(Verdict.QUERY, CELL)
    fault = replace(found(Verdict.FAIL, Place("Answers", "D4"), rule="answers_are_complete"), subject="Answer")
    given = Acceptance(query, "0" * 16, "PEX", "Pat Example", "qualified supervisor", "Measured twice.", TODAY)
    job = Job(row=JobRow(job="A-1", state=JobState.TESTED))
    taken = replace(report(), decisions=(Decision(Judged(job, None, (query, fault), (given,)), Status.HELD),))
    line = (
        "Accepted for job A-1 by Pat Example (qualified supervisor, 24 Nov 2026): "
        "Readings L5: Zs is above its limit. Reason: Measured twice."
    )
    assert answers(taken) == [line, "Not accepted: Answers D4: Zs is above its limit. Ask the electrician."]
    assert line in corrections(taken)
    assert count_of_answers(taken) == ["Answers: 1 accepted, 1 not accepted: see Answers D4."]
    assert count_of_answers(report()) == []


def test_each_notice_that_was_made_is_named_with_its_path(tmp_path):
    danger = replace(found(Verdict.FAIL, CELL), message=f"{RING} Zs is too large.")
    row = JobRow(job="A-1", state=JobState.TESTED, at={"job": Place("Jobs", "A12")})
    made = Report(report().week, (Decision(Judged(Job(row=row), None, (danger,)), Status.HELD),), check_value="0000")
    assert notices(made, tmp_path) == []
    paper = tmp_path / "jobs-row-12" / "do-not-use.pdf"
    paper.parent.mkdir()
    paper.write_bytes(b"")
    assert notices(made, tmp_path) == [f"Print and fix at the point, job A-1: {paper}"]


def test_the_copy_and_the_text_list_the_same():
    several = report(found(Verdict.FAIL, CELL), found(Verdict.NOTE, Place("Readings", "M6"), scope=Scope.CELL))
    text = corrections(several)
    for group in groups(several):
        assert group.title in text
        assert all(where(each) in text and each.message in text for each in group.findings)


def test_no_sentence_ends_twice():
    text = corrections(report(replace(found(Verdict.FAIL, CELL), found="no.", expected="yes.")))
    assert ".." not in text
    assert "Found: no. Expected: yes." in text
