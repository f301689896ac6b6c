"""Judge every job of a week: the rules' findings, and what was found at its cells and at the rows it refers to."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from pipeline.editions import Edition, choose
from pipeline.facts.acceptance import Acceptance
from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict, holds
from pipeline.facts.job import Job, Week
from pipeline.facts.record import input_key
from pipeline.facts.row import Row
from pipeline.rules import check_job, check_week
from pipeline.rules.answers import Asked, Office, settle
from pipeline.rules.causes import without_outdone


@dataclass(frozen=True, slots=True)
class Judged:
    """A job with all that was found; `edition` is None where nothing says by which rules to judge.

    `accepted` are the answers to its queries that count, `revision` the answer that asks for its pack to be made anew.
    One that `stands` has a pack that says the same: it was judged, and its answers were used, when that was made.
    """

    job: Job
    edition: Edition | None
    findings: tuple[Finding, ...]
    accepted: tuple[Acceptance, ...] = ()
    revision: Acceptance | None = None
    stands: bool = False

    @property
    def answers(self) -> tuple[Acceptance, ...]:
        """Every answer used."""
        return (*self.accepted, self.revision) if self.revision else self.accepted

    @property
    def input_key(self) -> str:
        """What decides new, unchanged or revision; empty without an edition."""
        return input_key(self.job, self.edition.id) if self.edition else ""

    @property
    def holding(self) -> tuple[Finding, ...]:
        """The findings that hold the job; none holds one whose pack stands."""
        if self.stands:
            return ()
        accepted = frozenset(each.finding for each in self.accepted)
        return tuple(each for each in self.findings if holds(each, accepted))


def check(week: Week, stands: Mapping[str, str] = MappingProxyType({})) -> list[Judged]:
    """Judge each job on its own, then the week as a whole, then what people answered.

    A job whose pack stands was judged when it was made, and is not again while its input key is the one in `stands`.
    What later rules say of it is told by whoever verifies the pack.
    """
    of_week: dict[str, list[Finding]] = defaultdict(list)
    for finding in check_week(list(week.jobs)):
        of_week[finding.job].append(finding)
    return _answered([_judge(job, week, of_week[job.reference], stands) for job in week.jobs], week)


def _answered(judged: list[Judged], week: Week) -> list[Judged]:
    """The jobs with the answers that concern them; without any answer nothing is looked up."""
    office, asked = Office(week.answers, week.people, week.as_of), Asked()
    if not office.given:
        return judged
    for each in judged:
        asked.add(each.job, each.findings, each.input_key)
    return [each if each.stands else _settled(each, asked, office) for each in judged]


def _settled(judged: Judged, asked: Asked, office: Office) -> Judged:
    """A job with the answers that concern it, and with what is wrong with them."""
    its = settle(judged.job, asked, office)
    findings = (*judged.findings, *its.faults)
    return replace(judged, findings=findings, accepted=its.accepted, revision=its.revision)


def _judge(job: Job, week: Week, of_week: list[Finding], stands: Mapping[str, str]) -> Judged:
    """One job's findings, cells first."""
    places = _places(job)
    cells = [each for each in week.findings if each.job == job.reference or _concerns(each, places)]
    edition = choose(job.row.family, job.row.designed) if job.row.family and job.row.designed else None
    known = stands.get(job.reference)
    if edition and known and known == input_key(job, edition.id):
        return Judged(job, edition, tuple(each for each in cells if not each.job), stands=True)
    judged = check_job(job, edition, week.as_of) if edition else _no_edition(job)
    return Judged(job, edition, (*without_outdone(cells, judged), *judged, *of_week))


def _no_edition(job: Job) -> list[Finding]:
    """Why no rule can be applied; silent where a blank cell already says it."""
    if job.row.family is None or job.row.designed is None:
        return []
    return [
        Finding(
            rule="design_date_lies_within_an_edition",
            verdict=Verdict.FAIL,
            job=job.reference,
            subject="Job",
            message="No edition of the rules is in force on the design date.",
            places=job.row.where("designed", "family"),
            found=f"{job.row.shown('designed')}, rules '{job.row.family}'",
            expected="a design date within the editions that this program knows",
            remedy="Check the design date on the Jobs sheet.",
            scope=Scope.JOB,
        )
    ]


def _places(job: Job) -> set[Place]:
    """Every cell of the job and of the rows that it refers to."""
    rows: list[Row] = []
    for name in Job.model_fields:
        part = getattr(job, name)
        rows.extend(part if isinstance(part, tuple) else [part] if isinstance(part, Row) else [])
    return {place for row in rows for place in row.at.values()}


def _concerns(finding: Finding, places: set[Place]) -> bool:
    """Whether a finding on a row of a reference sheet touches a job that uses the row."""
    return not finding.job and any(place in places for place in finding.places)
