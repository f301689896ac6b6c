"""Release: the person responsible has signed a pack, which becomes issued; a second bag beside it says who and when.

The bag of the pack stays as it is. `archive/0042-1-released/` holds the release as JSON with the sums of the files that
were released, and the scan of the signed paper where there is one. The bag is moved in before the entry is made: a
release that dies in between is completed by the next run.
"""

import json
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from pipeline.disk import move_new
from pipeline.errors import CommandError, MachineError
from pipeline.facts.choices import Role
from pipeline.facts.recall import job_of
from pipeline.facts.record import Json, canonical, fingerprint
from pipeline.facts.rows.firm import Person
from pipeline.register import RELEASED, Kind, Register, Standing
from pipeline.stages.commit import Outputs, bagged, is_whole

INK = "ink"
# who releases a pack; the same role as that of the signature line (common practice)
MAY_RELEASE = Role.SUPERVISOR


@dataclass(frozen=True, slots=True)
class Release:
    """A pack that was signed in ink: by whom (the short name on the sheet People), when, and the scan of it, if any."""

    name: str
    person: str
    day: date
    scan: bytes = b""


def release(wanted: Release, register: Register, outputs: Outputs, now: str) -> None:
    """Make a pack issued; raises CommandError when it cannot be, or not by this person on this day."""
    standing = register.standing(wanted.name)
    name = standing.name
    if standing.state is not Kind.AWAITING:
        raise CommandError(f"Pack {name} is {standing.state}.", "Only a pack that awaits its signature is released.")
    person = _person(wanted, register, name, date.fromisoformat(now[:10]))
    if not is_whole(outputs.archive / name):
        raise MachineError(
            f"The archive folder {name} is not as it was made.", "Release nothing; run handover verify on the outputs."
        )
    files = _files(wanted, name, person, outputs)
    target = outputs.archive / f"{name}{RELEASED}"
    if target.exists() and not (is_whole(target) and _content(target) == files):
        raise CommandError(
            f"Another release of {name} was begun before.", "Run the build once: it completes what was begun."
        )
    if not target.exists():
        move_new(bagged(target.name, files, wanted.day.isoformat(), outputs), target)
    _enter(standing, register, outputs, now)


def finish_releases(register: Register, outputs: Outputs, now: str) -> None:
    """Enter releases whose bag was moved in before the run died."""
    for each in register.standings():
        if each.state is Kind.AWAITING and is_whole(outputs.archive / f"{each.name}{RELEASED}"):
            _enter(each, register, outputs, now)


def _enter(standing: Standing, register: Register, outputs: Outputs, now: str) -> None:
    """Enter the release whose bag lies in the archive, the person in the part that can be deleted."""
    content = _content(outputs.archive / f"{standing.name}{RELEASED}")
    told: Json = json.loads(content[f"{standing.name}-release.json"])
    body = {
        "how": told["how"],
        "on": told["on"],
        "release": {name: fingerprint(each) for name, each in sorted(content.items())},
    }
    register.enter_state(standing, Kind.ISSUED, now, body, {name: told[name] for name in ("person", "name", "role")})


def _files(wanted: Release, name: str, person: Person, outputs: Outputs) -> dict[str, bytes]:
    """What the bag of a release holds; the same for the same release, so that it can be told from another one."""
    told: Json = {
        "pack": name,
        "how": INK,
        "person": wanted.person,
        "name": person.shown("name"),
        "role": str(MAY_RELEASE),
        "on": wanted.day.isoformat(),
        "files": {file: fingerprint(content) for file, content in _content(outputs.archive / name).items()},
    }
    files = {f"{name}-release.json": canonical(told)}
    if wanted.scan:
        files[f"{name}-signed-scan.pdf"] = wanted.scan
    return files


def _content(bag: Path) -> dict[str, bytes]:
    """The payload of a bag."""
    return {path.name: path.read_bytes() for path in sorted((bag / "data").iterdir())}


def _person(wanted: Release, register: Register, name: str, today: date) -> Person:
    """The person of the pack's own record who may release it on that day."""
    reserved = register.reservation(name)
    job = job_of(json.loads(reserved.record))
    person = job.person(wanted.person)
    if person is None:
        known = ", ".join(str(each.person) for each in job.people if MAY_RELEASE in (each.roles or ()))
        raise CommandError(
            f"Pack {name} names no person {wanted.person}.", f"It can be released by: {known or 'nobody it names'}."
        )
    if MAY_RELEASE not in (person.roles or ()):
        raise CommandError(
            f"{person.shown('name')} may not release a pack.", f"Let a person with the role {MAY_RELEASE} release it."
        )
    first = date.fromisoformat(reserved.envelope.issue_date)
    if not first <= wanted.day <= today:
        raise CommandError(
            f"{wanted.day:%d %b %Y} is no day on which {name} can have been signed.",
            f"Give a day from {first:%d %b %Y}, when it was made, to today.",
        )
    if person.valid_from is None or person.valid_to is None or not person.valid_from <= wanted.day <= person.valid_to:
        raise CommandError(
            f"{person.shown('name')} was not authorised on {wanted.day:%d %b %Y}.",
            f"By the pack's record: from {person.shown('valid_from') or '?'} to {person.shown('valid_to') or '?'}.",
        )
    return person
