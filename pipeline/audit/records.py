"""The record in a pack: rebuilt, held against itself, judged again, and what lists need of it."""

import json
from collections.abc import Iterator
from datetime import date
from typing import Any

from pipeline.audit.acceptances import acceptance_problems
from pipeline.audit.faults import Fault, Kind
from pipeline.audit.recheck import Outcome, Recheck, recheck
from pipeline.audit.results import Essence, Item
from pipeline.facts.recall import job_of
from pipeline.facts.record import Json, canonical, record_of

# circuits' readings whose last digits show whether somebody read an instrument or wrote a list
_READ = ("r1_r2", "insulation_le", "zs", "rcd_time")
_SHOWN_DIFFERENCES = 8
# a field that the record's version did not know
_LATER: Json = {"shown": ""}


def record_faults(content: bytes, where: str) -> tuple[list[Fault], str]:
    """What is wrong with a record by itself, and what judging it again gave."""
    try:
        record: Json = json.loads(content)
        job = job_of(record)
        again = record_of(job, [], {}, date.fromisoformat(record["as_of"]))["job"]
    except (ValueError, KeyError, TypeError, AttributeError) as trouble:
        return [Fault(where, Kind.ALTERED, f"The record is none of this program's: {trouble}.")], "not readable"
    found = []
    if canonical(record) != content:
        found.append(Fault(where, Kind.ALTERED, "The record is not written as this program writes records."))
    found += [Fault(where, Kind.ALTERED, each) for each in _contradictions(record["job"], json.loads(canonical(again)))]
    found += [Fault(where, Kind.ALTERED, each) for each in acceptance_problems(record, job)]
    judged = recheck(record, job)
    return [*found, *_judged_faults(judged, where)], str(judged)


def _contradictions(job: Json, again: Json) -> Iterator[str]:
    """Cells whose shown text and number do not say the same."""
    for part, rows in again.items():
        theirs: Any = job.get(part)
        if part == "photo_sums" or (theirs or []) == rows:
            continue
        pairs = zip(theirs, rows, strict=True) if isinstance(rows, list) else [(theirs, rows)]
        for row, ours in pairs:
            for name, cell in ours.items():
                if row.get(name, _LATER) != cell:
                    yield (
                        f"{cell.get('cell') or f'{part} {name}'} contradicts itself: it shows "
                        f"'{row.get(name, {}).get('shown', '')}', its value is {cell['shown'] or 'blank'}."
                    )


def _judged_faults(judged: Recheck, where: str) -> Iterator[Fault]:
    """The findings that judging again gives otherwise, where no correction says why."""
    if judged.outcome is Outcome.UNEXPLAINED:
        for each in judged.differences[:_SHOWN_DIFFERENCES]:
            yield Fault(where, Kind.UNEXPLAINED, each)
        if (more := len(judged.differences) - _SHOWN_DIFFERENCES) > 0:
            yield Fault(where, Kind.UNEXPLAINED, f"{more} further findings differ.")


def essence_of(record: Json, pack: str, issue_date: str) -> Essence:
    """What lists and risk picks need of a record."""
    job, row = record["job"], record["job"]["row"]
    verdicts = [each["verdict"] for each in record["findings"]]
    return Essence(
        job=row["job"]["shown"],
        tester=row["tester"]["shown"],
        tested=row["live_tested"]["shown"],
        released=issue_date,
        outcome="with a failure" if "fail" in verdicts else "satisfactory",
        edition=record["edition"].get("id", ""),
        instruments=tuple(sorted(each["instrument"]["shown"] for each in job["instruments"])),
        circuits=tuple(Item(pack, each["board"]["shown"], each["circuit"]["shown"]) for each in job["circuits"]),
        digits=tuple((name, each[name]["shown"]) for each in job["readings"] for name in _READ if each[name]["shown"]),
        queries=verdicts.count("query"),
    )
