"""Acceptances in a record: each of a query that is there, about these very figures, by somebody who might accept it."""

from collections.abc import Iterator
from datetime import date

from pipeline.facts.findings import Scope, Verdict
from pipeline.facts.job import Job
from pipeline.facts.questions import key_in_record
from pipeline.facts.record import Json
from pipeline.rules.answers import MAY_ACCEPT


def acceptance_problems(record: Json, job: Job) -> Iterator[str]:
    """Queries that nobody accepted, and acceptances that are none, one plain sentence each."""
    answers = {(each["rule"], each["subject"], each["message"]): each for each in record.get("answers", ())}
    for each in record["findings"]:
        if each["verdict"] != Verdict.QUERY or each["scope"] == Scope.WEEK:
            continue
        answer = answers.pop((each["rule"], each["subject"], each["message"]), None)
        told = f"{each['subject']}: {each['message']}"
        if answer is None:
            yield f"Nobody has accepted the query '{told}', and no pack is made before."
        elif answer["key"] != key_in_record(each, job):
            yield f"The query '{told}' was accepted for other figures than these."
        else:
            yield from (f"The query '{told}' was accepted by {why}." for why in _wrong_person(answer, record, job))
    for _, subject, message in answers:
        yield f"The record says that '{subject}: {message}' was accepted, and has no such query."


def _wrong_person(answer: Json, record: Json, job: Job) -> Iterator[str]:
    """Why a person could not accept; one whom the record does not list is known to the register alone."""
    day, person = date.fromisoformat(answer["day"]), job.person(answer["person"])
    if day > date.fromisoformat(record["as_of"]):
        yield f"{answer['name']} on a day after the record was made"
    if answer["role"] not in MAY_ACCEPT:
        yield f"{answer['name']} in a role that may not"
    if person and answer["role"] not in (person.roles or ()):
        yield f"{answer['name']}, who does not hold the role {answer['role']}"
    if person and not (person.valid_from and person.valid_to and person.valid_from <= day <= person.valid_to):
        yield f"{answer['name']}, who was not authorised on {day:%d %b %Y}"
