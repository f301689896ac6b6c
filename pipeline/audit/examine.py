"""One pack examined from its bytes alone, in a process of its own: a stranger's file may break any reader."""

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.audit.attached import attachment_faults
from pipeline.audit.faults import Fault, Kind
from pipeline.audit.pages import Opened, page_faults, printed_envelope, shown_by
from pipeline.audit.records import essence_of, record_faults
from pipeline.audit.results import Evidence, Pack
from pipeline.audit.signatures import Signature, signatures
from pipeline.facts.record import Json, fingerprint
from pipeline.orders import DRAFT, Envelope
from pipeline.pack.attachments import RECORD
from pipeline.pack.conformance import failures
from pipeline.pack.opening import opened
from pipeline.pack.reading import Reading, flat, read
from pipeline.pack.wholeness import attached_files, claim_of, content_of, description_problems, font_problems

if TYPE_CHECKING:
    import pikepdf

# how a file ends that was written once: one table of objects, one end, nothing behind it (ISO 32000-1, 7.5.5)
_ENDS = re.compile(rb"startxref[\r\n]+\d+[\r\n]+%%EOF")
_LAST = re.compile(rb"startxref[\r\n]+\d+[\r\n]+%%EOF[\r\n]{0,2}\Z")


@dataclass(frozen=True, slots=True)
class Task:
    """A pack to examine: where it lies, what is known of it from outside, and which authorities are trusted.

    `proof` is the evidence for its bytes that was found outside of it; `beside` are the sums of what lies beside it.
    """

    path: Path
    where: str
    proof: Evidence = Evidence.ITSELF
    name: str = ""
    envelope: Envelope | None = None
    record: bytes = b""
    beside: Mapping[str, str] = field(default_factory=dict, repr=False)
    roots: tuple[bytes, ...] = ()


def examine(task: Task) -> Pack:
    """Everything that can be said of one pack."""
    try:
        content = task.path.read_bytes()
    except OSError as trouble:
        fault = Fault(task.where, Kind.UNREADABLE, f"It cannot be read: {trouble}.")
        return Pack(task.name or task.path.name, task.where, faults=(fault,))
    faults: list[Fault] = []
    try:
        return _examined(task, content, faults)
    except Exception as trouble:  # noqa: BLE001 - a damaged file may break any reader in any way; it is told, not raised
        told = f"It cannot be read as a pack: {type(trouble).__name__}: {trouble}"
        fault = Fault(task.where, Kind.DAMAGED, " ".join(told.split())[:300])
        return Pack(task.name or task.path.name, task.where, fingerprint(content), faults=(*faults, fault))


def _examined(task: Task, content: bytes, faults: list[Fault]) -> Pack:
    """A pack that could be read as bytes; what is found goes into `faults`, so that it stays if a reader breaks."""
    faults += _end_faults(content, task.where)  # the first word, since such a file may break its readers
    reading = read(content)
    with opened(content) as pdf:
        files = {name: content_of(each) for name, each in attached_files(pdf).items()}
        if RECORD not in files:
            told = "It is no handover pack: it carries no record, so nothing in it can be checked."
            fault = Fault(task.where, Kind.UNKNOWN, told)
            return Pack(task.name or task.path.name, task.where, fingerprint(content), faults=(fault,))
        signed = signatures(content, task.roots, task.where)
        faults += [*_file_faults(content, pdf, len(signed), task.where)]
        faults += [each for signature in signed for each in signature.faults]
        found, judged = record_faults(files[RECORD], task.where)
        printed = printed_envelope(reading)
        faults += [*found, *_against_outside(task, files), *_name_faults(task, printed)]
        envelope = _frozen(task, printed)
        record: Json = json.loads(files[RECORD])
        if envelope is None or not envelope.issue_date:
            faults.append(_unnumbered(reading, task.where))
        else:
            faults += page_faults(Opened(content, pdf, reading), files[RECORD], envelope, task.where)
            faults += attachment_faults(pdf, files, record, shown_by(record, envelope), task.where)
    name = task.name or (printed.name if printed else task.path.name)
    return Pack(
        name,
        task.where,
        fingerprint(content),
        _evidence(task, signed, faults),
        tuple(dict.fromkeys(faults)),
        signed_by=tuple(map(str, signed)),
        recheck=judged,
        check_value=printed.check_value_before if printed else "",
        essence=essence_of(record, name, printed.issue_date if printed else ""),
    )


def _frozen(task: Task, printed: Envelope | None) -> Envelope | None:
    """What was frozen for a pack, by the register or else as printed; a reason that was deleted there, as printed."""
    if task.envelope and printed and not task.record:
        return replace(task.envelope, reason=task.envelope.reason or printed.reason)
    return task.envelope or printed


def _unnumbered(reading: Reading, where: str) -> Fault:
    """What is said of pages without a number: that they are a draft, where they say so themselves."""
    if any(flat(DRAFT) in section.text for section in reading.in_order()):
        return Fault(where, Kind.UNKNOWN, "It is a draft, not for issue: it has no number, and nothing in it counts.")
    return Fault(where, Kind.PAGE, "The pages do not print the number and the day of issue.")


def _evidence(task: Task, signed: list[Signature], faults: list[Fault]) -> Evidence:
    """The strongest evidence that holds."""
    if task.proof is Evidence.REGISTER:
        return task.proof
    if faults:
        return Evidence.NOTHING
    if task.proof is Evidence.ITSELF and any(each.trusted for each in signed):
        return Evidence.SIGNATURE
    return task.proof


def _end_faults(content: bytes, where: str) -> Iterator[Fault]:
    """Whether a file ends as it was written."""
    if not _ENDS.search(content):
        yield Fault(where, Kind.DAMAGED, "The file has no end: it is not whole.")
    elif not _LAST.search(content):
        yield Fault(where, Kind.APPENDED, "Something stands behind the end of the file.")


def _file_faults(content: bytes, pdf: "pikepdf.Pdf", signed: int, where: str) -> Iterator[Fault]:
    """What the file adds to itself, claims wrongly, or prints in another typeface."""
    ends = len(_ENDS.findall(content))
    if ends > 1 + signed:
        told = f"The file was written to {ends} times, {1 + signed} are accounted for."
        yield Fault(where, Kind.APPENDED, told)
    claim = claim_of(pdf)
    if claim is None:
        yield Fault(where, Kind.CLAIM, "The file does not claim to be a PDF/A-3, as every pack does.")
    else:
        for each in failures(content, claim):
            yield Fault(where, Kind.CLAIM, f"It is not the PDF/A-3 that it claims to be. {each}")
    yield from (Fault(where, Kind.CLAIM, each) for each in description_problems(pdf))
    yield from (Fault(where, Kind.PAGE, each) for each in font_problems(pdf))


def _against_outside(task: Task, files: Mapping[str, bytes]) -> Iterator[Fault]:
    """A record that is not the one that was reserved, and attached files that differ from those beside the pack."""
    if task.record and task.record != files[RECORD]:
        told = "The record in the pack is not the one for which its number was reserved."
        yield Fault(task.where, Kind.ALTERED, told, _sums(fingerprint(task.record), files[RECORD]))
    for name, content in sorted(files.items()):
        wanted = task.beside.get(f"{task.name}-{name}")
        if wanted and wanted != fingerprint(content):
            kind = Kind.ALTERED if name == RECORD else Kind.ATTACHMENT
            told = f"The attachment {name} is not the file {task.name}-{name} that lies beside the pack."
            yield Fault(task.where, kind, told, _sums(wanted, content))


def _sums(wanted: str, content: bytes) -> str:
    """Two sums as evidence."""
    return f"expected {wanted[:16]}…, found {fingerprint(content)[:16]}…"


def _name_faults(task: Task, printed: Envelope | None) -> Iterator[Fault]:
    """A pack that lies under another pack's name."""
    if printed and task.name and printed.name != task.name:
        yield Fault(task.where, Kind.SWAPPED, f"Where {task.name} must lie, there is pack {printed.name}.")
