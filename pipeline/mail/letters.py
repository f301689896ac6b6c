"""The letters of an issued pack: to the client with the pack, to each body to be told with only what it needs."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from pipeline.documents.fields import label
from pipeline.documents.texts import given
from pipeline.documents.view import View, view
from pipeline.errors import MachineError
from pipeline.facts.record import fingerprint
from pipeline.register import RELEASED, Kind, Register, Standing
from pipeline.register.listing import DAY, notices_of
from pipeline.stages.commit import Outputs, is_whole
from pipeline.stages.release import SCAN, SIGNED, UNSIGNED

CLIENT, OPERATOR, BUILDING = "client", "network operator", "building control"
# what each body needs to know, by row and field of the view; neither is told what only the other needs
_NEEDS: dict[str, tuple[tuple[str, tuple[str, ...]], ...]] = {
    OPERATOR: (
        ("job", ("site", "client", "energised")),
        ("supply", ("supply_number", "phases", "cutout_standard", "cutout_rating", "cutout_status", "looped")),
        ("supply", ("earthing_system", "demand_l1", "demand_by", "demand_after", "operator_consent")),
        ("points", ("point", "made_by", "serial", "phases", "rated_power", "rated_current", "current_limit", "scheme")),
        ("sources", ("source", "rating", "consent")),
        ("firm", ("name", "telephone", "email", "registered")),
    ),
    BUILDING: (
        ("job", ("site", "client", "premises", "work", "extent", "worked")),
        ("certificate", ("name", "issued")),
        ("firm", ("name", "address", "telephone", "email", "registered", "self_certifies")),
    ),
}
_ADDRESSES = {
    CLIENT: ("job", "client_email"),
    OPERATOR: ("supply", "operator_email"),
    BUILDING: ("firm", "building_email"),
}
_KEEP = "Keep this mail: with the check value anybody can prove later that our register was not changed since today."


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter before it is a mail; `address` is empty where none is on record."""

    pack: str
    to: str
    sender: tuple[str, str]
    address: str
    subject: str
    paragraphs: tuple[str, ...]
    files: dict[str, bytes] = field(default_factory=dict, repr=False)

    @property
    def message_id(self) -> str:
        """The same for the same letter, so that mail programs tell a second copy."""
        told = fingerprint("\n".join((self.pack, self.to, *self.files, *self.paragraphs[:2])).encode())[:16]
        return f"<{self.pack}.{self.to.replace(' ', '-')}.{told}@{self.sender[1].rpartition('@')[2] or 'localhost'}>"


def letters(register: Register, outputs: Outputs, only: Sequence[str] = ()) -> list[Letter]:
    """The letters of every pack that counts as issued, or of those named; raises MachineError for a damaged pack."""
    issued = [each for each in register.standings() if each.state is Kind.ISSUED and (not only or each.name in only)]
    return [letter for each in issued for letter in _letters(each, register, outputs)]


def _letters(standing: Standing, register: Register, outputs: Outputs) -> Iterable[Letter]:
    """The letters of one pack."""
    reserved = register.reservation(standing.name)
    record = json.loads(reserved.record)
    seen = view(record, reserved.envelope)
    proof = f"Check value of our register: {register.check_value()}"
    files = _files(standing.name, outputs)
    yield _letter(standing.name, CLIENT, seen, _to_client(standing, seen, files, proof), files)
    for subject, day in notices_of(record["findings"]):
        yield _letter(standing.name, subject.lower(), seen, _to_body(subject.lower(), seen, day, proof), {})


def _letter(pack: str, to: str, seen: View, paragraphs: Iterable[str], files: dict[str, bytes]) -> Letter:
    """One letter to its receiver."""
    row, name = _ADDRESSES[to]
    address, firm = seen.single[row][name], seen.single["firm"]
    subject = f"Handover pack {pack}: your charge point" if to == CLIENT else f"Charge point connected, pack {pack}"
    sender = (firm["name"], firm["email"])
    return Letter(pack, to, sender, address if given(address) else "", subject, tuple(paragraphs), files)


def _files(name: str, outputs: Outputs) -> dict[str, bytes]:
    """The pack as signed by key, else the unsigned one with the scan of its signed pages, if there is one."""
    found: dict[str, bytes] = {}
    for bag in (outputs.archive / name, outputs.archive / f"{name}{RELEASED}"):
        if not is_whole(bag):
            raise MachineError(
                f"The archive folder {bag.name} is not as it was made.", "Send nothing; run handover verify."
            )
        found |= {path.name: path.read_bytes() for path in sorted((bag / "data").glob("*.pdf"))}
    signed, pack = f"{name}-{SIGNED}", f"{name}-{UNSIGNED}"
    if signed in found:
        return {signed: found[signed]}
    return {each: content for each, content in found.items() if each == pack or each.endswith(SCAN)}


def _to_client(standing: Standing, seen: View, files: dict[str, bytes], proof: str) -> Iterable[str]:
    """What the client reads."""
    job, firm = seen.single["job"], seen.single["firm"]
    yield f"Dear {job['client']},"
    yield f"Attached is the handover pack of our work at {job['site']}: {job['points_named']}."
    if given(earlier := seen.single["certificate"]["replaces"]):
        yield f"It replaces pack {earlier}, which no longer counts: please mark your copy of that one as replaced."
    yield (
        "It is one file with the certificate, the test results, the user instructions and the safety notices. "
        "Please read the user instructions before you charge for the first time, and keep the file with the papers "
        "of the building."
    )
    if any(each.endswith(SIGNED) for each in files):
        yield "The file is signed electronically. Keep it just as it is: any change breaks the signature."
    elif len(files) == 1:
        yield "The signatures stand on the paper copy; that copy is the certificate. Keep it with the file."
    yield f"Next inspection proposed: {job['next_inspection']}. Press the test button of each RCD every six months."
    yield (
        f"Damage, heat, a burning smell or flood water: switch off at the board, keep away, ring {firm['telephone']}. "
        f"Fire: ring {firm['emergency']}."
    )
    yield f"Pack {standing.name}, issued {date.fromisoformat(standing.at[:10]).strftime(DAY)}. {proof}. {_KEEP}"
    for name, content in files.items():
        yield f"{name}, SHA-256: {fingerprint(content)}"
    yield f"Questions: {firm['name']}, {firm['telephone']}, {firm['email']}."


def _to_body(to: str, seen: View, day: date, proof: str) -> Iterable[str]:
    """What a body reads: why it is told, the facts that it needs, and no more."""
    yield "To whom it may concern,"
    what = "a charge point has been connected" if to == OPERATOR else "electrical work in a dwelling has been finished"
    yield f"We tell you that {what}. By the rules you are to be told by {day.strftime(DAY)}."
    for row, names in _NEEDS[to]:
        for texts in (seen.single[row],) if row in seen.single else seen.lists[row]:
            lines = [f"{label(row, name)}: {texts[name]}" for name in names if given(texts[name])]
            if lines:
                yield "\n".join(lines)
    yield f"{proof}."
