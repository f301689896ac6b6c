"""What an admin reads at the end of a run: each cause once, the gravest first, where and how to mend it."""

from dataclasses import replace
from datetime import date

import pytest

from pipeline.facts.choices import JobState
from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.job import Job, SheetBalance, Week
from pipeline.facts.rows.jobs import JobRow
from pipeline.report import balance_lines, corrections, holding, summary_rows, totals
from pipeline.rules import RING
from pipeline.run import Report
from pipeline.stages.check import Judged
from pipeline.stages.decide import Decision, Status

CELL = Place("Readings", "L5")


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
    assert "Noted, nothing to do:" in text
    assert "Readings L5" in text


def test_findings_on_the_workbook_are_told_before_the_jobs():
    stray = Finding(
        "rows_belong_to_a_job", Verdict.FAIL, "", "Readings", "Row 9 names no job.", (Place("Readings", "A9"),)
    )
    text = corrections(report(found(Verdict.FAIL, CELL), of_week=(stray,)))
    assert text.index("Row 9 names no job.") < text.index("Job A-1")


def test_the_summary_counts_what_holds_a_job():
    rows = summary_rows(report(found(Verdict.FAIL, CELL), found(Verdict.QUERY)))
    assert rows == [("A-1", "held: 1 × fail, 1 × query", "0001-1", "correct the cells listed below")]


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
    assert "FAIL  Defaults C33" in text
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
    assert "see Supplies A3." in corrections(report(missing, of_week=(lost,)))


def test_no_sentence_ends_twice():
    text = corrections(report(replace(found(Verdict.FAIL, CELL), found="no.", expected="yes.")))
    assert ".." not in text
    assert "Found: no. Expected: yes." in text
