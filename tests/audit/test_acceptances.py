"""An acceptance in a record is held against its query, its figures and its person."""

import copy
import json
from datetime import date

import pytest

from pipeline.audit.acceptances import acceptance_problems
from pipeline.facts.acceptance import Acceptance
from pipeline.facts.choices import Role
from pipeline.facts.field import Place
from pipeline.facts.findings import Calculation, Finding, Input, Verdict
from pipeline.facts.job import Job
from pipeline.facts.questions import key_in_record, key_of
from pipeline.facts.record import canonical, record_of
from pipeline.facts.rows.firm import Person
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.readings import CircuitReadings

AS_OF = date(2026, 11, 24)
CELL, OTHER = Place("Readings", "L3"), Place("Readings", "M3")
PAT = Person(
    person="PEX", name="Pat Example", roles=frozenset({Role.SUPERVISOR}), valid_from=date(2026, 1, 1),
    valid_to=date(2026, 12, 31),
)  # fmt: skip
SUM = Calculation("Zs = Ze + R1 + R2", "0.2 + 0.4", "0.6", "1.1", inputs=(Input("R1+R2", "0.4 Ω", OTHER),))
QUERY = Finding("zs_is_plausible", Verdict.QUERY, "A-1", "Circuit MAIN 1", "Zs is low.", (CELL,), calculation=SUM)


def job(zs="0.62", r1_r2="0.4"):
    typed, at = {"zs": zs, "r1_r2": r1_r2}, {"zs": CELL, "r1_r2": OTHER}
    readings = CircuitReadings(job="A-1", board="MAIN", circuit="1", typed=typed, at=at)
    return Job(row=JobRow(job="A-1"), readings=(readings,), people=(PAT,))


def recorded(**other):
    told = {"person": "PEX", "name": "Pat Example", "role": str(Role.SUPERVISOR), "reason": "Seen.", "day": AS_OF}
    answer = Acceptance(QUERY, key_of(QUERY, job()), **told | other)
    return json.loads(canonical(record_of(job(), [QUERY], {}, AS_OF, [answer.as_json()])))


def test_the_key_of_a_question_is_the_same_from_the_record():
    assert key_in_record(recorded()["findings"][0], job()) == key_of(QUERY, job())


def test_an_acceptance_of_these_figures_by_who_may_is_sound():
    assert list(acceptance_problems(recorded(), job())) == []


@pytest.mark.parametrize("figures", [{"zs": "0.26"}, {"r1_r2": "0.04"}])
def test_an_acceptance_does_not_survive_a_change_of_any_figure_behind_its_query(figures):
    [told] = acceptance_problems(recorded(), job(**figures))
    assert "accepted for other figures than these" in told


def test_a_query_without_its_acceptance_and_an_acceptance_without_its_query_are_told():
    record = recorded()
    [told] = acceptance_problems({**record, "answers": []}, job())
    assert told.startswith("Nobody has accepted the query")
    [told] = acceptance_problems({**record, "findings": []}, job())
    assert "has no such query" in told
    failed = copy.deepcopy(record)
    failed["findings"][0]["verdict"] = "fail"
    [told] = acceptance_problems(failed, job())
    assert "has no such query" in told


@pytest.mark.parametrize(
    ("other", "why"),
    [
        ({"role": "design"}, "in a role that may not"),
        ({"role": str(Role.TESTING)}, "who does not hold the role"),
        ({"day": date(2025, 12, 31)}, "who was not authorised on 31 Dec 2025"),
        ({"day": date(2026, 11, 25)}, "on a day after the record was made"),
    ],
)
def test_an_acceptance_by_who_might_not_accept_is_told(other, why):
    assert any(why in told for told in acceptance_problems(recorded(**other), job()))


def test_a_person_whom_the_record_does_not_list_is_known_to_the_register_alone():
    of = Job(row=JobRow(job="A-1"), readings=job().readings)
    assert list(acceptance_problems(recorded(), of)) == []
