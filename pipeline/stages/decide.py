"""Decide what becomes of each job: planned, held, unchanged, or to be made."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from pipeline.errors import CommandError
from pipeline.facts.findings import Finding, Verdict, holds
from pipeline.facts.record import input_key
from pipeline.register import Head, Register
from pipeline.stages.check import Judged


class Status(StrEnum):
    """What a job is after a run."""

    PLANNED = "planned"
    HELD = "held"
    UNCHANGED = "unchanged"
    TO_MAKE = "to be made"
    AWAITING = "awaiting signature"
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


def decide_all(judged: Iterable[Judged], register: Register | None, revisions: dict[str, str]) -> list[Decision]:
    """Decide each job; `revisions` gives the reason for each job whose change was asked for.

    Raises CommandError for a revision of a job that never had a pack.
    """
    for job in revisions:
        if register is None or register.head(job) is None:
            raise CommandError(f"Job {job} has no pack yet that could be revised.", "Build without --revise.")
    return [_decide(each, register, revisions.get(each.job.reference, "")) for each in judged]


def _decide(judged: Judged, register: Register | None, reason: str) -> Decision:
    """One job: findings first, then the register."""
    job = judged.job
    if judged.edition is None or any(holds(each) for each in judged.findings):
        return Decision(judged, Status.HELD)
    if not job.tested:
        return Decision(judged, Status.PLANNED)
    key = input_key(job, judged.edition.id)
    head = register.head(job.reference) if register else None
    if head is None:
        return Decision(judged, Status.TO_MAKE, key)
    name = f"{head.number:04}-{head.revision}"
    if head.input_key == key:
        return Decision(judged, Status.UNCHANGED, key, name)
    if reason:
        return Decision(judged, Status.TO_MAKE, key, reason=reason)
    changed = replace(judged, findings=(*judged.findings, _changed(judged, head, name)))
    return Decision(changed, Status.HELD, key, name)


def _changed(judged: Judged, head: Head, name: str) -> Finding:
    """A job that already has a pack and now says something else."""
    return Finding(
        rule="job_says_what_its_pack_says",
        verdict=Verdict.FAIL,
        job=judged.job.reference,
        subject="Job",
        message=f"This job already has pack {name} ({head.state}), made from other figures.",
        places=judged.job.row.where("job"),
        found="figures that differ from those of the pack",
        expected="the same figures, or a revision asked for with its reason",
        remedy=(
            "If the pack is right, restore its figures. If the new figures are right, ask for a revision: "
            f'handover build WORKBOOK --revise {judged.job.reference} --reason "why"'
        ),
    )
