"""Who signs for what: the role held, and held on that day."""

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from pipeline.facts.choices import Role
from pipeline.facts.findings import Verdict
from pipeline.facts.rows.firm import Person
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, lacking, name_of, passed

REFERENCE = "IEC 60364-6, 6.4.4; ISO/IEC 17020, 7.4"


class Signature(NamedTuple):
    """A cell that names a person, the role that it stands for, and the cell with its day."""

    attribute: str
    role: Role
    day: str = ""


SIGNATURES = (
    Signature("designer", Role.DESIGN, "designed"),
    Signature("installer", Role.CONSTRUCTION, "worked"),
    Signature("tester", Role.TESTING, "live_tested"),
    Signature("supervisor", Role.SUPERVISOR),
)


def _signatures(case: Case) -> Iterator[tuple[Signature, Person]]:
    """The signatures that this state of the job has, of people who are on the list."""
    wanted = SIGNATURES if case.job.tested else SIGNATURES[:1]
    for each in wanted:
        if person := case.job.person(getattr(case.job.row, each.attribute)):
            yield each, person


@rule(title="Each signature has a person", area=Area.PEOPLE, reference=REFERENCE)
def signatures_have_a_person(case: Case) -> Iterator[Outcome]:
    """A blank or unknown name leaves nobody who answers for that part."""
    found = {each for each, _ in _signatures(case)}
    for each in SIGNATURES if case.job.tested else SIGNATURES[:1]:
        title = case.job.row.fields()[each.attribute].title
        if each in found:
            yield passed(title, f"{title}: {case.job.row.shown(each.attribute)}.", case.job.row.where(each.attribute))
        else:
            yield lacking(title, case.job.row, each.attribute) or Outcome(
                Verdict.NOT_ASSESSED,
                title,
                "Not assessed: nobody of that name on the sheet People.",
                case.job.row.where(each.attribute),
                found=case.job.row.shown(each.attribute),
                expected="a person of the sheet People",
                remedy="Mend the name, or add the person.",
            )


@rule(title="People hold the role they sign in", area=Area.PEOPLE, reference=REFERENCE)
def people_hold_the_role_they_sign(case: Case) -> Iterator[Outcome]:
    """Only who is authorised for design, construction, testing or supervision signs for it."""
    for signature, person in _signatures(case):
        subject, places = name_of(person), case.job.row.where(signature.attribute) + person.where("roles")
        if person.roles is None:
            yield blank(subject, person, "roles")
        elif signature.role in person.roles:
            yield passed(subject, f"{person.shown('name')} may sign for {signature.role}.", places)
        else:
            yield Outcome(
                Verdict.FAIL,
                subject,
                f"{person.shown('name')} may not sign for {signature.role}.",
                places,
                found=f"roles: {person.shown('roles')}",
                expected=f"the role {signature.role}",
                remedy="Name somebody who holds the role, or add the role if the person truly holds it.",
            )


@rule(title="People are authorised on the day", area=Area.PEOPLE, reference=REFERENCE)
def people_are_authorised_on_the_day(case: Case) -> Iterator[Outcome]:
    """The authorisation covers the day of the design, the work, the tests, the release."""
    for signature, person in _signatures(case):
        subject = name_of(person)
        day: date | None = getattr(case.job.row, signature.day) if signature.day else case.as_of
        if person.valid_from is None or person.valid_to is None:
            yield blank(subject, person, "valid_from", "valid_to")
        elif day is None:
            yield blank(subject, case.job.row, signature.day)
        else:
            yield _on_the_day(case, signature, person, day, within=person.valid_from <= day <= person.valid_to)


def _on_the_day(case: Case, signature: Signature, person: Person, day: date, *, within: bool) -> Outcome:
    """The verdict on one signature and its day."""
    places = (*case.job.row.where(signature.attribute), *person.where("valid_from", "valid_to"))
    if within:
        return passed(
            name_of(person), f"{person.shown('name')} was authorised on {day:%d %b %Y} ({signature.role}).", places
        )
    return Outcome(
        Verdict.FAIL,
        name_of(person),
        f"{person.shown('name')} was not authorised on the day of the signature for {signature.role}.",
        places,
        found=f"{day:%d %b %Y}, authorised {person.shown('valid_from')} to {person.shown('valid_to')}",
        expected="a day within the authorisation",
        remedy="Name somebody who was authorised that day, or mend the dates on the sheet People.",
    )
