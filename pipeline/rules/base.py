"""What a rule is, the list of all rules, and the one comparison that they share.

A rule judges a case and yields outcomes; passes too, so that an auditor can tell 'held' from 'never ran'.
A blank cell that a rule needs gives `lacking(...)`: not assessed, never a pass.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Any, TypeVar

from pipeline.editions import Edition
from pipeline.facts.field import Needed, Place
from pipeline.facts.findings import Calculation, Finding, Scope, Verdict, WhenMissing
from pipeline.facts.job import Job
from pipeline.facts.quantities import Quantity

Found = TypeVar("Found")


class Area(StrEnum):
    """The groups of rules on the record, in the order of the work."""

    RECORDS = "Records"
    PEOPLE = "People"
    DATES = "Dates"
    NOTICES = "Notices to bodies"
    DEMAND = "Demand"
    SOURCES = "Other sources"
    EARTHING = "Earthing and bonding"
    CONDUCTORS = "Current-carrying capacity"
    VOLTAGE_DROP = "Voltage drop"
    LOOP_IMPEDANCE = "Loop impedance"
    FAULT_CURRENT = "Fault current"
    PROTECTIVE_CONDUCTORS = "Protective conductors"
    SELECTIVITY = "Selectivity"
    ISOLATION = "Isolation"
    SURGES = "Surges and arcs"
    RCD = "Residual current protection"
    OPEN_PEN = "Open PEN conductor"
    INSTRUMENTS = "Instruments"
    CONTINUITY = "Continuity"
    INSULATION = "Insulation resistance"
    POLARITY = "Polarity, sequence and voltage"
    WORKMANSHIP = "Workmanship"
    COMMISSIONING = "Commissioning"
    INSPECTION = "Inspection"
    LIMITATIONS = "Limitations"


@dataclass(frozen=True, slots=True)
class Case:
    """A job before the rules, with the edition it is judged by and the day of the judgement, their only clock.

    `typed` is the job with the rows that stand twice; None where `job` has them all.
    """

    job: Job
    edition: Edition
    as_of: date
    typed: Job | None = None
    kept: dict[Any, Any] = field(default_factory=dict, repr=False, compare=False)

    @property
    def whole(self) -> Job:
        """The job with every row that was typed."""
        return self.typed or self.job

    def once(self, key: tuple[Any, ...], work: Callable[[], Found]) -> Found:
        """What `work` yields, worked out once a case: several rules ask for the same loop or drop."""
        if key not in self.kept:
            self.kept[key] = work()
        found: Found = self.kept[key]
        return found


@dataclass(slots=True)
class Outcome:
    """One verdict of a rule before it is signed with the rule's name; `reference` overrides the rule's own.

    Not frozen, as one is made for each of some hundred thousand checks and lives until it is signed.

    `message` says in one sentence what is the case; `found`, `expected` and `remedy` are needed wherever
    the verdict is neither pass nor not applicable. `aid` marks a 'not assessed' that does not hold the job.
    """

    verdict: Verdict
    subject: str
    message: str
    places: tuple[Place, ...] = ()
    found: str = ""
    expected: str = ""
    remedy: str = ""
    reference: str = ""
    calculation: Calculation | None = None
    aid: bool = False


Judge = Callable[[Case], Iterable[Outcome]]


@dataclass(frozen=True, slots=True)
class Rule:
    """A requirement: its name reads as one, `area` groups it on the record, `reference` is document and clause.

    `needed` says from which state of a job on it is judged; `when_missing` what a blank input does.
    """

    name: str
    title: str
    area: Area
    reference: str
    judge: Judge
    needed: Needed = Needed.DESIGN
    when_missing: WhenMissing = WhenMissing.HOLD
    scope: Scope = Scope.JOB

    def apply(self, case: Case) -> Iterator[Finding]:
        """Judge a case; a job still to visit is spared the rules on tests."""
        if self.needed is Needed.TEST and not case.job.tested:
            return
        reference, cite = case.job.reference, case.edition.cite
        try:
            for each in self.judge(case):
                yield self.finding(reference, each, cite)
        except ArithmeticError:
            yield self.finding(reference, _no_result(), cite)

    def finding(self, job: str, outcome: Outcome, cite: Callable[[str], str] = str) -> Finding:
        """An outcome signed with this rule's name; `cite` names the clauses as the edition does."""
        return Finding(
            rule=self.name,
            verdict=outcome.verdict,
            job=job,
            subject=outcome.subject,
            message=outcome.message,
            places=outcome.places,
            found=outcome.found,
            expected=outcome.expected,
            remedy=outcome.remedy,
            reference=cite(outcome.reference or self.reference),
            scope=self.scope,
            when_missing=WhenMissing.PRINT if outcome.aid else self.when_missing,
            calculation=outcome.calculation,
        )


def _no_result() -> Outcome:
    """Figures so odd, of nought or beyond all measure, that no relation of the rule has a result."""
    return Outcome(
        Verdict.NOT_ASSESSED,
        "Job",
        "Not assessed: with figures of nought or beyond all measure nothing can be worked out.",
        found="a figure of nought, or one beyond all measure",
        expected="figures that a circuit can have",
        remedy="Mend ratings, sizes, lengths and readings of this job that are nought or far too large.",
    )


RULES: dict[str, Rule] = {}


def rule(
    *,
    title: str,
    area: Area,
    reference: str,
    needed: Needed = Needed.DESIGN,
    when_missing: WhenMissing = WhenMissing.HOLD,
    scope: Scope = Scope.JOB,
) -> Callable[[Judge], Judge]:
    """Enter a function into the list of rules under its own name; a name is given once."""

    def enter(judge: Judge) -> Judge:
        name = judge.__name__
        if name in RULES:
            message = f"two rules are called {name}"
            raise ValueError(message)
        RULES[name] = Rule(name, title, area, reference, judge, needed, when_missing, scope)
        return judge

    return enter


def meets(value: Any, limit: Any) -> bool:
    """Whether a quantity or number is at or below its limit: the only comparison of the project, unrounded.

    A relative slack of 1e-9 takes out what binary fractions add; no instrument resolves it.
    """
    number, most = _numbers(value, limit)
    return bool(number <= most * (1 + 1e-9)) if most >= 0 else bool(number <= most)


def _numbers(value: Any, limit: Any) -> tuple[float, float]:
    """Both as bare numbers in the unit of the limit; raises pint.DimensionalityError for different kinds."""
    if not isinstance(limit, Quantity):
        return value, limit
    same = value._units is limit._units  # noqa: SLF001 - quantities of one column share their key
    return (value.magnitude if same else value.m_as(limit.units)), limit.magnitude


def reaches(value: Any, least: Any) -> bool:
    """Whether a quantity or number is at or above its lower limit."""
    return meets(least, value)


def margin(value: Any, limit: Any) -> float | None:
    """Distance to an upper limit in per cent of the limit; negative beyond it, and none to a limit of nought."""
    number, most = _numbers(value, limit)
    return 100 * (1 - number / most) if most else None


def surplus(value: Any, least: Any) -> float | None:
    """Distance to a lower limit, in per cent of the limit as well; negative below it."""
    beyond = margin(value, least)
    return None if beyond is None else -beyond
