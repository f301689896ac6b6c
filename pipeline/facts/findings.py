"""What was found: one frozen record for passes and troubles alike, read by every document and screen."""

from collections.abc import Collection
from dataclasses import dataclass, field
from enum import StrEnum

from pipeline.facts.field import Place


class Verdict(StrEnum):
    """The outcome of one check; ordered from gravest to lightest by `GRAVITY`."""

    FAIL = "fail"
    QUERY = "query"
    NOT_ASSESSED = "not assessed"
    NOTE = "note"
    PASS = "pass"  # noqa: S105 - a verdict, not a secret
    NOT_APPLICABLE = "not applicable"


GRAVITY: dict[Verdict, int] = {verdict: place for place, verdict in enumerate(Verdict)}


MEANING = {
    Verdict.FAIL: "wrong, impossible or unsafe; the cell or the wiring has to be put right",
    Verdict.QUERY: "odd, or to be settled by the person responsible; holds the job until it is corrected or accepted",
    Verdict.NOT_ASSESSED: "a check could not be made, because a figure is missing",
    Verdict.NOTE: "worth knowing; where something is to be done, it says what",
}
"""What a verdict asks of the office, in the same words wherever it is explained."""


class Scope(StrEnum):
    """How far a rule looks; findings of week scope never enter a pack."""

    CELL = "cell"
    JOB = "job"
    WEEK = "week"


class WhenMissing(StrEnum):
    """What a rule that lacks an input does to its job: hold it, or only print that it was not assessed."""

    HOLD = "hold"
    PRINT = "print"


class Confidence(StrEnum):
    """How sure the figure behind a limit is."""

    CONFIRMED = "confirmed"
    CARRIED_OVER = "carried over"
    MEMORY = "from memory"
    TYPED = "as typed"


@dataclass(frozen=True, slots=True)
class Input:
    """One quantity that went into a check: the standard's symbol, the text as printed with unit, and its cell."""

    symbol: str
    shown: str
    place: Place | None = None
    confidence: Confidence = Confidence.TYPED


@dataclass(frozen=True, slots=True)
class Calculation:
    """A check that can be followed with a pencil: relation in symbols, the same with figures, result against limit."""

    symbols: str
    numbers: str
    result: str
    limit: str
    margin: float | None = None
    inputs: tuple[Input, ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """One verdict of one rule on one subject; `job` is empty for a finding on the workbook as a whole.

    `found`, `expected` and `remedy` are plain sentences for the office; `reference` names document and clause.
    """

    rule: str
    verdict: Verdict
    job: str
    subject: str
    message: str
    places: tuple[Place, ...] = ()
    found: str = ""
    expected: str = ""
    remedy: str = ""
    reference: str = ""
    scope: Scope = Scope.JOB
    when_missing: WhenMissing = WhenMissing.HOLD
    calculation: Calculation | None = field(default=None)


def holds(finding: Finding, accepted: Collection[Finding] = ()) -> bool:
    """Whether a finding keeps its job from being issued; `accepted` are those that somebody answers for.

    A query that is accepted holds no longer; a failure cannot be accepted away.
    """
    match finding.verdict:
        case Verdict.FAIL:
            return True
        case Verdict.QUERY:
            return finding not in accepted
        case Verdict.NOT_ASSESSED:
            return finding.when_missing is WhenMissing.HOLD
        case _:
            return False


def by_gravity(findings: list[Finding]) -> list[Finding]:
    """Gravest first, then in the order of the workbook."""
    return sorted(findings, key=lambda each: (GRAVITY[each.verdict], each.job, each.places, each.rule))
