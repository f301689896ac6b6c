"""Decide what becomes of each job: planned, held, unchanged, or to be made."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from pipeline.errors import CommandError
from pipeline.facts.findings import Finding, Verdict
from pipeline.facts.questions import Question, question_on
from pipeline.register import Head, Kind, Register
from pipeline.rules.answers import REVISION_RULE, revision_key
from pipeline.stages.check import Judged

OF_WITHDRAWN = "the figures of the withdrawn pack"


class Status(StrEnum):
    """What a job is after a run."""

    PLANNED = "planned"
    HELD = "held"
    UNCHANGED = "unchanged"
    TO_MAKE = "to be made"
    AWAITING = "awaiting signature"
    ISSUED = "issued"
    FAILED = "failed on this machine"


@dataclass(frozen=True, slots=True)
class Decision:
    """A judged job and what becomes of it; `number` is set once it has one, `trouble` when making it failed."""

    judged: Judged
    status: Status
    key: str = ""
    number: str = ""
    reason: str = ""
    trouble: str = ""

    @property
    def reference(self) -> str:
        """The job's own reference."""
        return self.judged.job.reference


def decide_all(
    judged: Iterable[Judged], register: Register | None, revisions: dict[str, str], older: Collection[str] = ()
) -> list[Decision]:
    """Decide each job; `revisions` gives the reason for each job whose change was asked for.

    `older` are packs made under something older: asked for, they are revised even with the same figures.
    Raises CommandError for a revision of a job that never had a pack.
    """
    for job in revisions:
        if register is None or register.head(job) is None:
            raise CommandError(f"Job {job} has no pack yet that could be revised.", "Build without --revise.")
    return [_decide(each, register, revisions.get(each.job.reference, ""), older) for each in judged]


def _decide(judged: Judged, register: Register | None, reason: str, older: Collection[str]) -> Decision:
    """One job: findings first, then the register."""
    if judged.edition is None or judged.holding:
        return Decision(judged, Status.HELD)
    if not judged.job.tested:
        return Decision(judged, Status.PLANNED)
    head = register.head(judged.job.reference) if register else None
    if head is None:
        return Decision(judged, Status.TO_MAKE, judged.input_key)
    return _against(judged, head, reason, older)


def _against(judged: Judged, head: Head, reason: str, older: Collection[str]) -> Decision:
    """A job that holds up and has a number: unchanged, revised, or held until a revision is asked for."""
    key = judged.input_key
    name = f"{head.number:04}-{head.revision}"
    if head.state is Kind.RESERVED:
        return _unmade(judged, head, key, name)
    if head.input_key == key and head.state is not Kind.WITHDRAWN and not (reason and name in older):
        return Decision(judged, Status.UNCHANGED, key, name)
    reason = reason or (judged.revision.reason if judged.revision else "")
    if reason:
        return Decision(judged, Status.TO_MAKE, key, reason=reason)
    why = _withdrawn(judged, name) if head.input_key == key else _changed(judged, head, name)
    return Decision(replace(judged, findings=(*judged.findings, why)), Status.HELD, key, name)


def _unmade(judged: Judged, head: Head, key: str, name: str) -> Decision:
    """A job whose number is reserved while its pack could not be made; nothing else is begun for it until then."""
    if head.input_key == key:
        return Decision(judged, Status.FAILED, key, name, trouble="Its number is kept; its pack could not be made yet.")
    why = Finding(
        rule="reserved_packs_are_made_first",
        verdict=Verdict.FAIL,
        job=judged.job.reference,
        subject="Job",
        message=f"Number {name} is reserved for this job with other figures, and its pack is not made yet.",
        places=judged.job.row.where("job"),
        found="figures that differ from those of the reservation",
        expected="the pack made, or its number given up",
        remedy=f'Build again, or give the number up: handover void {head.number:04} --reason "why"',
    )
    return Decision(replace(judged, findings=(*judged.findings, why)), Status.HELD, key, name)


def _changed(judged: Judged, head: Head, name: str) -> Finding:
    """A job that already has a pack and now says something else."""
    return Finding(
        rule=REVISION_RULE,
        verdict=Verdict.FAIL,
        job=judged.job.reference,
        subject="Job",
        message=f"This job already has pack {name} ({head.state}), made from other figures.",
        places=judged.job.row.where("job"),
        found="figures that differ from those of the pack",
        expected="the same figures, or a revision asked for with its reason",
        remedy=(
            "If the pack is right, restore its figures. If the new figures are right, ask for a revision: "
            f"{_asking(judged.job.reference)}"
        ),
    )


def _withdrawn(judged: Judged, name: str) -> Finding:
    """A job whose pack was withdrawn and that has none any more."""
    return Finding(
        rule=REVISION_RULE,
        verdict=Verdict.FAIL,
        job=judged.job.reference,
        subject="Job",
        message=f"Pack {name} of this job was withdrawn; its figures are still the same.",
        places=judged.job.row.where("job"),
        found=OF_WITHDRAWN,
        expected="corrected figures, or a revision asked for with its reason",
        remedy=(f"Correct what led to the withdrawal, or ask for a revision: {_asking(judged.job.reference)}"),
    )


def _asking(job: str) -> str:
    """The two ways of asking for a revision."""
    return f'answer its row on the sheet Answers of the copy, or: handover build WORKBOOK --revise {job} --reason "why"'


def is_withdrawn(decision: Decision) -> bool:
    """Whether a job is held because the pack with these very figures was withdrawn."""
    return any(each.rule == REVISION_RULE and each.found == OF_WITHDRAWN for each in decision.judged.findings)


def question_of(decision: Decision) -> Question | None:
    """The question whether a job that says something else than its pack shall have a revision."""
    for each in decision.judged.findings:
        if each.rule == REVISION_RULE:
            asked = question_on(each, decision.judged.job)
            return replace(asked, key=revision_key(decision.judged.job, decision.key))
    return None
