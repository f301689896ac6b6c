"""A question that a check leaves to a person, and the key that ties its answer to the very figures it is about."""

import re
from collections.abc import Collection
from dataclasses import dataclass

from pipeline.facts.findings import Finding
from pipeline.facts.job import Job
from pipeline.facts.record import Json, canonical, fingerprint
from pipeline.facts.row import Row

KEY_DIGITS = 16
LONGEST = 240
# the sheet of answers is typed like every other, so its texts hold only what every document can show
PLAIN = re.compile("[^ -~°±²³·×–’Ω√≤≥−]")


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: of which job (empty for the workbook), in words, and its key."""

    job: str
    what: str
    key: str


def question_on(finding: Finding, job: Job | None, figures: str = "") -> Question:
    """The question that a finding puts; `figures` stands for what was typed where the finding names no cells of it."""
    what = PLAIN.sub("?", f"{finding.subject}: {finding.message}")
    short = what if len(what) <= LONGEST else f"{what[: LONGEST - 3]}..."
    return Question(finding.job, short, key_of(finding, job, figures))


def key_of(finding: Finding, job: Job | None, figures: str = "") -> str:
    """Hexadecimal digits of a sum over rule, job, subject and the figures as typed.

    Cell addresses are not in it, so a re-sorted workbook asks the same question.
    """
    cells = {str(each) for each in finding.places}
    if finding.calculation:
        cells |= {str(each.place) for each in finding.calculation.inputs if each.place}
    typed = _typed_at(cells, job) if job else []
    return _key((finding.rule, finding.job, finding.subject), figures or typed or finding.found)


def key_in_record(finding: Json, job: Job) -> str:
    """The same key from a finding as a record keeps it, and the job rebuilt from that record."""
    inputs = (finding.get("calculation") or {}).get("inputs", ())
    cells = {*finding["places"], *(each["cell"] for each in inputs if each["cell"])}
    about = (finding["rule"], finding["job"], finding["subject"])
    return _key(about, _typed_at(cells, job) or finding["found"])


def _key(about: tuple[str, str, str], figures: str | list[list[str]]) -> str:
    """The digits over what was asked and the figures that it was asked about."""
    rule, job, subject = about
    return fingerprint(canonical({"rule": rule, "job": job, "subject": subject, "figures": figures}))[:KEY_DIGITS]


def _typed_at(cells: Collection[str], job: Job) -> list[list[str]]:
    """What was typed in the cells that a finding names or reckons with: sheet, column and text of each."""
    return sorted(
        [place.sheet, name, row.typed.get(name, "")]
        for row in _rows(job)
        for name, place in row.at.items()
        if str(place) in cells
    )


def _rows(job: Job) -> list[Row]:
    """Every row of a job and of the sheets that it refers to."""
    found: list[Row] = []
    for name in Job.model_fields:
        part = getattr(job, name)
        found.extend(part if isinstance(part, tuple) else [part] if isinstance(part, Row) else [])
    return found
