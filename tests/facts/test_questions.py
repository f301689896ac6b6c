"""A question's key is bound to rule, job, subject and the figures as typed, and to nothing else."""

from dataclasses import replace

import pytest

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Verdict
from pipeline.facts.job import Job
from pipeline.facts.questions import LONGEST, key_of, question_on
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.readings import CircuitReadings

QUERY = Finding("zs_is_low", Verdict.QUERY, "A-1", "Board CU, circuit 7", "Zs is odd.", (Place("Readings", "L5"),))


def job(typed="0.62", cell="L5"):
    readings = CircuitReadings(job="A-1", at={"zs": Place("Readings", cell)}, typed={"zs": typed})
    return Job(row=JobRow(job="A-1"), readings=(readings,))


def moved(cell):
    return replace(QUERY, places=(Place("Readings", cell),))


def test_the_same_figures_in_a_re_sorted_sheet_put_the_same_question():
    assert key_of(moved("L9"), job(cell="L9")) == key_of(QUERY, job())
    assert len(key_of(QUERY, job())) == 16


def test_another_figure_puts_another_question():
    assert key_of(QUERY, job("0.63")) != key_of(QUERY, job())


@pytest.mark.parametrize(
    "change",
    [{"rule": "zs_is_high"}, {"job": "A-2"}, {"subject": "Board CU, circuit 8"}],
    ids=lambda each: next(iter(each)),
)
def test_another_rule_job_or_subject_puts_another_question(change):
    assert key_of(replace(QUERY, **change), job()) != key_of(QUERY, job())


def test_a_new_wording_or_another_verdict_keeps_the_question():
    assert key_of(replace(QUERY, message="Zs is rather odd."), job()) == key_of(QUERY, job())


def test_without_cells_the_figures_given_count():
    assert key_of(QUERY, None, "a") != key_of(QUERY, None, "b")


def test_the_words_of_a_question_are_short_and_plain():
    asked = question_on(replace(QUERY, message="\u202eodd 🙂 " + "x" * 500), job())
    assert len(asked.what) == LONGEST
    assert asked.what.startswith("Board CU, circuit 7: ?odd ? xxx")
