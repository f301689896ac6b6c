"""The record of a job: canonical JSON of what was typed, what it means, and what was found.

Its SHA-256 is the record fingerprint. Documents, page check and auditors all read this and nothing else.

Shape, for every row::

    {"zs": {"typed": "0,62", "shown": "0.62", "cell": "Readings L5", "Ω": 0.62}, ...}

A cell without a value is `{"shown": ""}`. Rows stand under the attribute names of `Job`; single rows
(`row`, `firm`, `supply`, `inspection`) are objects, the others arrays.
"""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

from pipeline.facts.findings import Finding, Scope
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.reading import Reading
from pipeline.facts.row import Row

RECORD_VERSION = 1
Json = dict[str, Any]


def record_of(job: Job, findings: list[Finding], edition: Json, as_of: date, answers: Sequence[Json] = ()) -> Json:
    """The record of a job as plain JSON values, with the answers used; findings of week scope stay out."""
    return {
        "record": RECORD_VERSION,
        "job": {name: _part(getattr(job, name)) for name in Job.model_fields},
        "findings": [_finding(each) for each in findings if each.scope is not Scope.WEEK],
        "answers": list(answers),
        "edition": edition,
        "as_of": as_of.isoformat(),
    }


def canonical(record: Json) -> bytes:
    """The record's bytes by RFC 8785, the same for equal records on every machine."""
    import rfc8785  # noqa: PLC0415 - only where a record is written

    return rfc8785.dumps(record)


def canonical_texts(texts: Json) -> bytes:
    """The same bytes as `canonical` gives, ten times as fast, of values that hold texts alone under plain names."""
    return json.dumps(texts, ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode(errors="surrogatepass")


def fingerprint(content: bytes) -> str:
    """SHA-256 in hexadecimal digits."""
    return hashlib.sha256(content).hexdigest()


def input_key(job: Job, edition_id: str) -> str:
    """What decides new, unchanged or revision: all that was typed for the job, its photos and the edition.

    Cell addresses and the clock are not in it, so a re-sorted workbook changes nothing.
    """
    typed = {name: _typed(getattr(job, name)) for name in Job.model_fields}
    return fingerprint(canonical_texts({"job": typed, "edition": edition_id}))


def _part(part: Any) -> Any:
    """One attribute of a job in JSON: a row, several rows, or the sums of the photos."""
    if isinstance(part, Row):
        return _row(part)
    return [_row(each) for each in part] if isinstance(part, tuple) else dict(part)


def _typed(part: Any) -> Any:
    """The typed texts of one attribute of a job; several rows in an order that does not depend on the sheet's."""
    if isinstance(part, Row):
        return dict(sorted(part.typed.items()))
    if isinstance(part, tuple):
        return sorted((dict(sorted(each.typed.items())) for each in part), key=lambda row: sorted(row.items()))
    return dict(part)


def _row(row: Row) -> Json:
    """A row in JSON, cell by cell."""
    return {name: _cell(row, name) for name in row.fields()}


def _cell(row: Row, name: str) -> Json:
    """One cell: as shown, as typed, where, and the bare number under its unit."""
    cell: Json = {"shown": row.shown(name)}
    if name in row.typed:
        cell["typed"] = row.typed[name]
    if name in row.at:
        cell["cell"] = str(row.at[name])
    value, unit = getattr(row, name), row.fields()[name].unit
    amount = value.quantity if isinstance(value, Reading) else value
    if unit and amount is not None:
        cell[unit] = magnitude(amount, unit)
    return cell


def _finding(finding: Finding) -> Json:
    """A finding in JSON: enumerations as words, places as people write them."""
    plain = asdict(finding)
    plain["places"] = [str(place) for place in finding.places]
    for name in ("verdict", "scope", "when_missing"):
        plain[name] = str(plain[name])
    if finding.calculation:
        plain["calculation"]["inputs"] = [
            {
                "symbol": each.symbol,
                "shown": each.shown,
                "cell": str(each.place or ""),
                "confidence": str(each.confidence),
            }
            for each in finding.calculation.inputs
        ]
    return plain
