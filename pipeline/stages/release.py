"""Release: the person responsible has signed a pack, which becomes issued; a second bag beside it says who and when.

The bag of the pack stays as it is. `archive/0042-1-released/` holds the release as JSON with the sums of the files that
were released, and the scan of the signed paper or the pack signed by key. The bag is moved in before the entry is made:
a release that dies in between is completed by the next run.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from pipeline import points
from pipeline.disk import move_new, sync_folder, write_durably
from pipeline.errors import CommandError, MachineError
from pipeline.facts.choices import Role
from pipeline.facts.job import Job
from pipeline.facts.recall import job_of
from pipeline.facts.record import Json, canonical, fingerprint
from pipeline.facts.rows.firm import Person
from pipeline.points import Point
from pipeline.register import RELEASED, Kind, Register, Standing
from pipeline.stages.commit import Outputs, bagged, is_whole

INK, KEY = "ink", "key"
SCAN, SIGNED = "signed-scan.pdf", "signed-handover-pack.pdf"
UNSIGNED = "handover-pack.pdf"
# who releases a pack; the same role as that of the signature line (common practice)
MAY_RELEASE = Role.SUPERVISOR


@dataclass(frozen=True, slots=True)
class Release:
    """A pack that was signed: by whom (the short name on the sheet People), when, in ink or by key.

    `papers` are its files by the ending of their names (`SCAN`, `SIGNED`), `about` says by which certificate.
    """

    name: str
    person: str
    day: date
    how: str = INK
    papers: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    about: Mapping[str, str] = field(default_factory=dict)


def release(wanted: Release, register: Register, outputs: Outputs, now: str) -> None:
    """Make a pack issued; raises CommandError when it cannot be, or not by this person on this day."""
    standing = releasable(wanted.name, register, outputs)
    name = standing.name
    person = _person(wanted.person, job_in(register, name), name)
    _require_day(wanted.day, register, name, date.fromisoformat(now[:10]))
    require_authority(person, name, wanted.day)
    files = _files(wanted, name, person, outputs)
    target = outputs.archive / f"{name}{RELEASED}"
    if target.exists() and not (is_whole(target) and _content(target) == files):
        raise CommandError(
            f"Another release of {name} was begun before.", "Run: handover build. It completes what was begun."
        )
    if not target.exists():
        move_new(bagged(target.name, files, wanted.day.isoformat(), outputs), target)
        points.passed(Point.MOVED)
    _enter(standing, register, outputs, now)


def is_this_release(wanted: Release, register: Register, outputs: Outputs) -> bool:
    """Whether a pack is issued by this very release: the same person, day and way, and no paper that is new."""
    standing = register.standing(wanted.name)
    person = job_in(register, standing.name).person(wanted.person)
    if standing.state is not Kind.ISSUED or person is None:
        return False
    entered: dict[str, str] = standing.body["release"]
    files = _files(wanted, standing.name, person, outputs)
    return {file: fingerprint(content) for file, content in files.items()}.items() <= entered.items()


def releasable(name: str, register: Register, outputs: Outputs) -> Standing:
    """A pack that awaits its signature as it was made; raises CommandError or MachineError for any other."""
    standing = register.standing(name)
    if standing.state is Kind.ISSUED:
        day = date.fromisoformat(standing.body["on"])
        how = "by key" if standing.body["how"] == KEY else "in ink"
        raise CommandError(
            f"Pack {standing.name} is issued already: signed {how} on {day:%d %b %Y}.",
            f'A pack is released once. If that was wrong: handover withdraw {standing.name} --reason "why"',
        )
    if standing.state is not Kind.AWAITING:
        raise CommandError(
            f"Pack {standing.name} is {standing.state}.", "Only a pack that awaits its signature is released."
        )
    later = [each for each in register.standings() if each.number == standing.number and each.state is Kind.RESERVED]
    if later:
        raise CommandError(
            f"Pack {standing.name} is being revised as {later[-1].name}.",
            "Run handover build, which completes the revision, and sign that; or give it up: handover void.",
        )
    sums = {file: fingerprint(content) for file, content in _content(outputs.archive / standing.name).items()}
    if not is_whole(outputs.archive / standing.name) or sums != standing.body.get("files"):
        raise MachineError(
            f"Pack {standing.name} was altered: its archive folder is not as it was made.",
            "Release nothing; run handover verify on the outputs.",
        )
    return standing


def finish_releases(register: Register, outputs: Outputs, now: str) -> None:
    """Enter releases whose bag was moved in before the run died, and put their signed packs in place."""
    for each in register.standings():
        if each.state is Kind.AWAITING and is_whole(outputs.archive / f"{each.name}{RELEASED}"):
            _enter(each, register, outputs, now)
        elif each.state is Kind.ISSUED:
            publish_signed(each.name, outputs)


def _enter(standing: Standing, register: Register, outputs: Outputs, now: str) -> None:
    """Enter the release whose bag lies in the archive, the person in the part that can be deleted."""
    content = _content(outputs.archive / f"{standing.name}{RELEASED}")
    told: Json = json.loads(content[f"{standing.name}-release.json"])
    body = {
        "how": told["how"],
        "on": told["on"],
        "release": {name: fingerprint(each) for name, each in sorted(content.items())},
    }
    personal: Json = {name: told[name] for name in ("person", "name", "role", "certificate") if name in told}
    register.issue(standing, now, body, personal)
    points.passed(Point.RELEASED)
    publish_signed(standing.name, outputs)


def publish_signed(name: str, outputs: Outputs) -> None:
    """Put a pack that was signed by key in the place of the unsigned one, for daily use; can be done at any time."""
    source = outputs.archive / f"{name}{RELEASED}" / "data" / f"{name}-{SIGNED}"
    target = outputs.packs / name / source.name
    if source.is_file() and target.parent.is_dir():
        if not target.exists():
            write_durably(target, source.read_bytes())
        (target.parent / f"{name}-{UNSIGNED}").unlink(missing_ok=True)
        sync_folder(target.parent)


def _files(wanted: Release, name: str, person: Person, outputs: Outputs) -> dict[str, bytes]:
    """What the bag of a release holds; the same for the same release, so that it can be told from another one."""
    told: Json = {
        "pack": name,
        "how": wanted.how,
        "person": wanted.person,
        "name": person.shown("name"),
        "role": str(MAY_RELEASE),
        "on": wanted.day.isoformat(),
        "files": {file: fingerprint(content) for file, content in _content(outputs.archive / name).items()},
        **({"certificate": dict(wanted.about)} if wanted.about else {}),
    }
    papers = {f"{name}-{ending}": content for ending, content in wanted.papers.items()}
    return {f"{name}-release.json": canonical(told), **papers}


def _content(bag: Path) -> dict[str, bytes]:
    """The payload of a bag; nothing where it is not there."""
    folder = bag / "data"
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())} if folder.is_dir() else {}


def job_in(register: Register, name: str) -> Job:
    """The job of a pack as its record has it, with the people of that day."""
    return job_of(json.loads(register.reservation(name).record))


def _person(wanted: str, job: Job, name: str) -> Person:
    """The person of the pack's own record who has this short name."""
    person = job.person(wanted)
    if person is None:
        known = ", ".join(str(each.person) for each in job.people if MAY_RELEASE in (each.roles or ()))
        raise CommandError(
            f"Pack {name} names no person {wanted}.", f"It can be released by: {known or 'nobody it names'}."
        )
    return person


def require_authority(person: Person, name: str, day: date) -> None:
    """Raise CommandError unless a person may release a pack on that day, by the pack's own list of people."""
    if MAY_RELEASE not in (person.roles or ()):
        raise CommandError(
            f"{person.shown('name')} may not release pack {name}.",
            f"Let a person with the role {MAY_RELEASE} release it.",
        )
    if person.valid_from is None or person.valid_to is None or not person.valid_from <= day <= person.valid_to:
        raise CommandError(
            f"{person.shown('name')} was not authorised on {day:%d %b %Y}.",
            f"By the record of pack {name}: from {person.shown('valid_from') or '?'} to "
            f"{person.shown('valid_to') or '?'}.",
        )


def _require_day(day: date, register: Register, name: str, today: date) -> None:
    """Raise CommandError for a day before the pack was made, or one that is still to come."""
    first = date.fromisoformat(register.reservation(name).envelope.issue_date)
    if not first <= day <= today:
        raise CommandError(
            f"{day:%d %b %Y} is no day on which {name} can have been signed.",
            f"Give a day from {first:%d %b %Y}, when it was made, to today.",
        )
