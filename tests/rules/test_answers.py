"""A query is accepted by a person who may, for these very figures, with a reason; nothing else counts."""

from datetime import date

import pytest

from pipeline.facts.choices import Role
from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict, holds
from pipeline.facts.job import Job
from pipeline.facts.questions import key_of
from pipeline.facts.rows.answers import Answer
from pipeline.facts.rows.firm import Person
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.answers import Asked, Office, revision_key, settle

AS_OF = date(2026, 11, 24)
CELL = Place("Readings", "L3")
SUPERVISOR = Person(
    person="PEX", name="Pat Example", roles=frozenset({Role.SUPERVISOR}), valid_from=date(2026, 1, 1),
    valid_to=date(2026, 12, 31),
)  # fmt: skip


def job(zs="0.62", name="A-1"):
    readings = CircuitReadings(job=name, board="MAIN", circuit="1", typed={"zs": zs}, at={"zs": CELL})
    return Job(row=JobRow(job=name), readings=(readings,))


def query(of, verdict=Verdict.QUERY, rule="zs_is_plausible", scope=Scope.JOB):
    return Finding(rule, verdict, of.reference, "Circuit MAIN 1", "Zs is low.", places=(CELL,), scope=scope)


def answer(key, **other):
    told = {"job": "A-1", "question_key": key, "person": "PEX", "reason": "Measured twice.", "day": AS_OF} | other
    return Answer(**told, at={"question_key": Place("Answers", "C3"), "person": Place("Answers", "D3")})


def settled(of, findings, *answers, people=(SUPERVISOR,), others=()):
    asked = Asked()
    for each, found in ((of, findings), *others):
        asked.add(each, found, "input key")
    return settle(of, asked, Office(answers, people, AS_OF))


def test_a_query_that_a_supervisor_accepts_holds_no_longer_and_stays_a_query():
    found = query(job())
    [accepted] = settled(job(), [found], answer(key_of(found, job()))).accepted
    assert accepted.finding.verdict is Verdict.QUERY
    assert holds(found)
    assert not holds(found, {accepted.finding})
    assert accepted.as_json() | {"key": ""} == {
        "rule": "zs_is_plausible", "subject": "Circuit MAIN 1", "message": "Zs is low.", "key": "", "person": "PEX",
        "name": "Pat Example", "role": "qualified supervisor", "reason": "Measured twice.", "day": "2026-11-24",
    }  # fmt: skip


def test_whoever_may_test_may_accept_too():
    found, tester = query(job()), SUPERVISOR.with_values(roles=frozenset({Role.TESTING, Role.DESIGN}))
    [accepted] = settled(job(), [found], answer(key_of(found, job())), people=(tester,)).accepted
    assert accepted.role == "inspection and testing"


def test_an_answer_lapses_when_a_figure_is_changed():
    key = key_of(query(job()), job())
    changed = settled(job("0.63"), [query(job("0.63"))], answer(key))
    assert not changed.accepted
    assert [each.rule for each in changed.faults] == ["answers_are_about_the_present_figures"]
    assert "outdated" in changed.faults[0].message


def test_a_failure_cannot_be_accepted_away():
    failed = query(job(), Verdict.FAIL)
    result = settled(job(), [failed], answer(key_of(failed, job())))
    assert not result.accepted
    assert [each.rule for each in result.faults] == ["only_queries_are_accepted"]
    assert holds(failed, {failed})


def test_a_cell_that_could_not_be_read_is_mended_and_not_accepted():
    unread = query(job(), rule="choice_is_in_the_list", scope=Scope.CELL)
    result = settled(job(), [unread], answer(key_of(unread, job())))
    assert not result.accepted
    assert [(each.rule, each.verdict) for each in result.faults] == [("only_queries_are_accepted", Verdict.FAIL)]
    assert "could not be read" in result.faults[0].message


@pytest.mark.parametrize("key", ["*", None, "all", "0123"])
@pytest.mark.parametrize("of", ["A-1", "*", None])
def test_a_blanket_answer_accepts_nothing_and_holds_the_job(key, of):
    result = settled(job(), [query(job())], answer(key, job=of))
    assert not result.accepted
    assert [(each.rule, each.verdict) for each in result.faults] == [("answers_name_their_question", Verdict.FAIL)]


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        ({"person": "NOBODY"}, "answers_come_from_people_of_the_list"),
        ({"person": None}, "answers_are_complete"),
        ({"reason": None}, "answers_are_complete"),
        ({"day": None}, "answers_are_complete"),
        ({"day": date(2026, 11, 25)}, "answers_are_not_dated_ahead"),
        ({"day": date(2025, 12, 31)}, "people_are_authorised_on_the_day_they_answer"),
        ({"person": "FIT"}, "people_hold_the_role_they_answer_in"),
        ({"person": "OPEN"}, "people_are_authorised_on_the_day_they_answer"),
    ],
)
def test_an_answer_of_somebody_who_may_not_give_it_holds_the_job(change, rule):
    fitter = SUPERVISOR.with_values(person="FIT", roles=frozenset({Role.CONSTRUCTION}))
    undated = SUPERVISOR.with_values(person="OPEN", valid_to=None)
    found = query(job())
    result = settled(job(), [found], answer(key_of(found, job()), **change), people=(SUPERVISOR, fitter, undated))
    assert not result.accepted
    assert [(each.rule, each.verdict, each.job) for each in result.faults] == [(rule, Verdict.FAIL, "A-1")]
    assert holds(result.faults[0], result.faults)


def test_two_answers_to_one_question_leave_it_open():
    found = query(job())
    key = key_of(found, job())
    result = settled(job(), [found], answer(key), answer(key, reason="No."))
    assert not result.accepted
    assert {each.rule for each in result.faults} == {"questions_are_answered_once"}


def test_a_question_that_nobody_has_answered_yet_is_no_answer():
    untouched = Answer(job="A-1", question_key="0" * 16, what="Zs is low.")
    result = settled(job(), [query(job())], untouched)
    assert (result.accepted, result.faults) == ((), ())


def test_an_answer_counts_for_its_own_job_alone():
    other = job(name="B-2")
    found = query(other)
    answers = answer(key_of(found, other), job="B-2")
    assert settled(job(), [query(job())], answers, others=[(other, [found])]).faults == ()
    stolen = settled(job(), [query(job())], answer(key_of(found, other)), others=[(other, [found])])
    assert [each.rule for each in stolen.faults] == ["answers_are_about_the_present_figures"]


def test_a_revision_can_be_asked_for_on_the_sheet_of_answers():
    result = settled(job(), [], answer(revision_key(job(), "input key"), reason="Length corrected."))
    assert result.revision.reason == "Length corrected."
    assert result.accepted == ()
    stale = settled(job(), [], answer(revision_key(job(), "another input key")))
    assert stale.revision is None
    assert stale.faults


def test_a_question_on_a_row_that_two_jobs_refer_to_is_answered_once_for_both():
    of, other = job(), job(name="B-2")
    found = Finding("is_usual", Verdict.QUERY, "", "Instrument T1", "Odd.", places=(CELL,))
    given = answer(key_of(found, of))
    for each, rest in ((of, other), (other, of)):
        assert [a.finding for a in settled(each, [found], given, others=[(rest, [found])]).accepted] == [found]


@pytest.mark.parametrize(("key", "told"), [("*", "*"), (None, "no key")])
def test_a_blanket_answer_is_quoted_as_it_was_typed(key, told):
    assert settled(job(), [query(job())], answer(key)).faults[0].found == told


def test_an_acceptance_keeps_the_key_and_the_day_of_its_answer():
    found = query(job())
    [accepted] = settled(job(), [found], answer(key_of(found, job()), day=date(2026, 11, 20))).accepted
    assert (accepted.key, accepted.day) == (key_of(found, job()), date(2026, 11, 20))


def test_a_failure_that_shares_its_figures_with_a_query_is_not_accepted_with_it():
    asked, failed = query(job()), query(job(), Verdict.FAIL)
    assert key_of(asked, job()) == key_of(failed, job())
    accepted = settled(job(), [asked, failed], answer(key_of(asked, job()))).accepted
    assert [each.finding for each in accepted] == [asked]


def test_two_rows_that_answer_one_question_under_two_names_of_the_job_accept_it_once():
    found = query(job())
    key = key_of(found, job())
    assert len(settled(job(), [found], answer(key), answer(key, job="*")).accepted) == 1


def test_an_outdated_answer_to_no_job_holds_only_jobs_with_a_query():
    lost = answer("0" * 16, job="*")
    assert [each.rule for each in settled(job(), [query(job())], lost).faults] == [
        "answers_are_about_the_present_figures"
    ]
    assert settled(job(), [query(job(), Verdict.FAIL)], lost).faults == ()


def test_an_answer_to_no_job_counts_where_its_question_is_put_and_troubles_no_other_job():
    of, other = job(), job(name="B-2")
    found = query(other)
    given = answer(key_of(found, other), job="*")
    untouched = settled(of, [query(of)], given, others=[(other, [found])])
    assert (untouched.accepted, untouched.faults) == ((), ())
    [accepted] = settled(other, [found], given, others=[(of, [query(of)])]).accepted
    assert accepted.finding == found


def test_a_question_on_shared_and_on_own_rows_alike_is_answered_in_the_name_of_either_job():
    of, other = job(), job(name="B-2")
    shared = Finding("is_usual", Verdict.QUERY, "", "Instrument T1", "Odd.", places=(CELL,))
    key = key_of(shared, of)
    asked = Asked()
    asked.add(of, [shared], "input key")
    asked.of_job["A-1"][key].append(query(of))
    asked.add(other, [], "input key")
    result = settle(of, asked, Office((answer(key, job="B-2"),), (SUPERVISOR,), AS_OF))
    assert shared in [each.finding for each in result.accepted]


def test_somebody_without_any_role_may_not_accept():
    found, nobody = query(job()), SUPERVISOR.with_values(roles=None)
    result = settled(job(), [found], answer(key_of(found, job())), people=(nobody,))
    assert [(each.rule, each.found) for each in result.faults] == [
        ("people_hold_the_role_they_answer_in", "roles: none")
    ]


def test_an_answer_tells_which_question_it_was_given_to():
    lost = settled(job(), [query(job())], answer("0" * 16, what="Zs is low.")).faults[0]
    assert lost.message.endswith("no question has its key. (Zs is low.)")
    assert lost.places == (Place("Answers", "C3"),)


@pytest.mark.parametrize("lacking", ["person", "reason", "day"])
def test_an_answer_of_one_cell_is_an_answer_even_where_it_cannot_be_read(lacking):
    row = Answer(job="A-1", question_key="0" * 16, typed={lacking: "?"})
    assert Office((row,), (), AS_OF).given == (row,)
