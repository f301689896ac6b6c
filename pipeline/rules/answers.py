"""Which queries the answers accept, and what is wrong with an answer that accepts nothing.

An answer counts when it names one question by its key, comes from a person whose role allows it on that day, and gives
its reason. Whatever else stands on the sheet holds the job and is told.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from pipeline.facts.acceptance import Acceptance
from pipeline.facts.choices import Role
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.job import Job
from pipeline.facts.questions import KEY_DIGITS, key_of
from pipeline.facts.rows.answers import Answer
from pipeline.facts.rows.firm import Person
from pipeline.rules.causes import NOT_READ_YET

# who may settle what a check leaves open (common practice: whoever may release or test the work), the first one first
MAY_ACCEPT = (Role.SUPERVISOR, Role.TESTING)
ANSWER = "Answer"
"""What a finding on an answer is about."""
REFERENCE = "ISO/IEC 17020, 7.4; common practice"
REVISION_RULE = "job_says_what_its_pack_says"
KEY = re.compile(f"[0-9a-f]{{{KEY_DIGITS}}}")
OPEN = frozenset({Verdict.FAIL, Verdict.QUERY, Verdict.NOT_ASSESSED})


class Fault(NamedTuple):
    """What is wrong with an answer: the requirement it breaks, the column, and the sentences of the finding."""

    rule: str
    column: str
    message: str
    found: str
    expected: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Office:
    """What answers are judged with: the answers of the week, its whole list of people, and the day of the check."""

    answers: Sequence[Answer]
    people: Sequence[Person]
    as_of: date

    @property
    def given(self) -> tuple[Answer, ...]:
        """The rows that a person has filled in; a question without an answer is none."""
        return tuple(each for each in self.answers if each.person or each.reason or each.day or _typed(each))


@dataclass(frozen=True, slots=True)
class Settled:
    """What the answers do to one job: queries accepted, a revision asked for, and answers that count for nothing."""

    accepted: tuple[Acceptance, ...] = ()
    revision: Acceptance | None = None
    faults: tuple[Finding, ...] = ()


@dataclass(slots=True)
class Asked:
    """The questions of a week by job and key, so that an answer finds its own."""

    of_job: dict[str, dict[str, list[Finding]]] = field(default_factory=dict)

    def add(self, job: Job, findings: Iterable[Finding], input_key: str) -> None:
        """The open findings of a job, and whether its pack shall be made anew."""
        own = self.of_job.setdefault(job.reference, {})
        for each in findings:
            if each.verdict in OPEN:
                own.setdefault(key_of(each, job), []).append(each)
        own[revision_key(job, input_key)] = [_revision(job)]

    def anywhere(self, key: str) -> bool:
        """Whether some job puts this question."""
        return any(key in own for own in self.of_job.values())


def revision_key(job: Job, input_key: str) -> str:
    """The key of the question whether a job's pack shall be made anew from these figures."""
    return key_of(_revision(job), None, input_key)


def _revision(job: Job) -> Finding:
    """What that question is about."""
    return Finding(REVISION_RULE, Verdict.FAIL, job.reference, "Job", "A revision is asked for.")


def settle(job: Job, asked: Asked, office: Office) -> Settled:
    """Hold the answers against the questions of one job."""
    own = asked.of_job[job.reference]
    times = Counter((each.job, each.question_key) for each in office.given)
    accepted: list[Acceptance] = []
    faults: list[Finding] = []
    for answer in _concerning(job, asked, office):
        found = own.get(answer.question_key or "", [])
        fault = _wrong_key(answer, found, times[answer.job, answer.question_key]) or _wrong_person(answer, office)
        if fault:
            faults.append(_told(fault, answer, job))
        else:
            before = [each.finding for each in accepted]
            new = [each for each in found if _may_be_answered(each) and each not in before]
            accepted += [_acceptance(answer, each, office) for each in new]
    wanted = next((each for each in accepted if each.finding.rule == REVISION_RULE), None)
    return Settled(tuple(each for each in accepted if each is not wanted), wanted, tuple(faults))


def _concerning(job: Job, asked: Asked, office: Office) -> Iterator[Answer]:
    """The answers about a job; one that names no job of the week concerns each job that has a query open.

    A question on a row that several jobs refer to is one question: it is answered once for all of them.
    """
    own = asked.of_job[job.reference]
    queried = any(each.verdict is Verdict.QUERY for found in own.values() for each in found)
    for answer in office.given:
        shared = any(not each.job for each in own.get(answer.question_key or "", ()))
        if answer.job == job.reference or shared:
            yield answer
        elif answer.job not in asked.of_job:
            key = answer.question_key or ""
            if key in own or (queried and not asked.anywhere(key)):
                yield answer


def may_be_accepted(finding: Finding) -> bool:
    """Whether a person can settle a finding: a query on something that was read; a cell without a value is mended."""
    return finding.verdict is Verdict.QUERY and finding.rule not in NOT_READ_YET


def _may_be_answered(finding: Finding) -> bool:
    """Whether an answer can settle a finding: a query, or whether a revision shall be made."""
    return may_be_accepted(finding) or finding.rule == REVISION_RULE


def _wrong_key(answer: Answer, found: Sequence[Finding], times: int) -> Fault | None:
    """An answer to everything, to figures that have changed, to a failure, or one of several."""
    key, column = answer.question_key or "", "question_key"
    if not KEY.fullmatch(key):
        return Fault(
            "answers_name_their_question", column, "This answer names no question: it would accept anything.",
            key or "no key", "the key that the check filled in for one question",
            "Delete this row; answer in the rows that the check has added, one for each question.",
        )  # fmt: skip
    if not found:
        return Fault(
            "answers_are_about_the_present_figures", column, "This answer is outdated: no question has its key.",
            "figures that were changed since, or a question that no longer arises", "the figures as they were accepted",
            "Delete this row; where the check still asks, look at the new figures and answer its new row.",
        )  # fmt: skip
    if not any(map(_may_be_answered, found)):
        if found[0].verdict is Verdict.QUERY:
            return Fault(
                "only_queries_are_accepted", column, "A cell that could not be read has no value to accept.",
                f"{found[0].subject}: {found[0].message}", "a query on something that was read",
                "Correct the cell; delete this row.",
            )  # fmt: skip
        return Fault(
            "only_queries_are_accepted", column, f"What is '{found[0].verdict}' cannot be accepted.",
            f"{found[0].subject}: {found[0].message}", "a query", "Put the cells or the wiring right; delete this row.",
        )  # fmt: skip
    if times > 1:
        return Fault(
            "questions_are_answered_once", column, "This question is answered more than once.",
            f"{times} answers", "one answer", "Agree on one, and delete the others.",
        )  # fmt: skip
    return None


def _wrong_person(answer: Answer, office: Office) -> Fault | None:
    """An answer that is not complete, or not from somebody who may give it on that day."""
    lacking = [name for name in ("person", "reason", "day") if not getattr(answer, name)]
    if lacking:
        titles = ", ".join(answer.fields()[name].title for name in lacking)
        return Fault(
            "answers_are_complete", lacking[0], "This answer is not complete.",
            f"nothing under {titles}", "person, reason and date", "Fill in what is missing, or leave all three blank.",
        )  # fmt: skip
    person = _person(answer, office)
    if person is None:
        return Fault(
            "answers_come_from_people_of_the_list", "person", "Nobody of this name is on the sheet People.",
            answer.person or "", "a person of the sheet People", "Mend the name, or add the person.",
        )  # fmt: skip
    if _role(person) is None:
        return Fault(
            "people_hold_the_role_they_answer_in", "person", f"{person.shown('name')} may not accept queries.",
            f"roles: {person.shown('roles') or 'none'}", f"the role {' or '.join(MAY_ACCEPT)}",
            "Let somebody answer who holds the role.",
        )  # fmt: skip
    return _wrong_day(answer, person, office.as_of)


def _wrong_day(answer: Answer, person: Person, as_of: date) -> Fault | None:
    """An answer on a day that is still to come, or on which the person was not authorised."""
    day = answer.day or as_of
    if day > as_of:
        return Fault(
            "answers_are_not_dated_ahead", "day", "This answer is dated after the day of the check.",
            answer.shown("day"), f"a day up to {as_of:%d %b %Y}", "Enter the day on which it was accepted.",
        )  # fmt: skip
    if person.valid_from is None or person.valid_to is None or not person.valid_from <= day <= person.valid_to:
        return Fault(
            "people_are_authorised_on_the_day_they_answer", "day",
            f"{person.shown('name')} was not authorised on the day of the answer.",
            f"{day:%d %b %Y}, authorised {person.shown('valid_from') or '?'} to {person.shown('valid_to') or '?'}",
            "a day within the authorisation", "Let somebody answer who is authorised, or mend the dates on People.",
        )  # fmt: skip
    return None


def _told(fault: Fault, answer: Answer, job: Job) -> Finding:
    """A fault as a finding that holds the job."""
    what = f" ({answer.what})" if answer.what else ""
    return Finding(
        rule=fault.rule,
        verdict=Verdict.FAIL,
        job=job.reference,
        subject=ANSWER,
        message=fault.message + what,
        places=answer.where(fault.column) or tuple(answer.at.values())[:1],
        found=fault.found,
        expected=fault.expected,
        remedy=fault.remedy,
        reference=REFERENCE,
        scope=Scope.CELL,
    )


def _acceptance(answer: Answer, question: Finding, office: Office) -> Acceptance:
    """An answer that counts, with what was known of its person."""
    person = _person(answer, office)
    return Acceptance(
        finding=question,
        key=answer.question_key or "",
        person=answer.person or "",
        name=person.shown("name") if person else "",
        role=str(_role(person)) if person else "",
        reason=answer.reason or "",
        day=answer.day or office.as_of,
    )


def _person(answer: Answer, office: Office) -> Person | None:
    """The person who answered, where the list has one of that name."""
    return next((each for each in office.people if each.person == answer.person), None)


def _role(person: Person) -> Role | None:
    """The role in which a person may accept queries."""
    return next((each for each in MAY_ACCEPT if each in (person.roles or ())), None)


def _typed(answer: Answer) -> bool:
    """Whether something was typed, be it unreadable: the row is an answer all the same."""
    return any(answer.typed.get(name) for name in ("person", "reason", "day"))
