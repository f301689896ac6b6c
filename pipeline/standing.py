"""What a run says about packs that stand: made with something older than today's, and what a revision has changed."""

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from pipeline import __version__
from pipeline.editions import edition
from pipeline.facts.differences import differences
from pipeline.facts.record import fingerprint
from pipeline.register import STANDING, Kind, Register
from pipeline.stages.check import Judged
from pipeline.stages.decide import Decision, Status

PROGRAM, TEMPLATES, EDITION = "program version", "set of templates", "edition"


def made_with(judged: Judged, templates: Mapping[str, bytes]) -> dict[str, str]:
    """What a pack is made with, kept at its reservation: program version, sum of the templates, edition and its sum."""
    rules = judged.edition
    return made_by(templates) | {EDITION: f"{rules.id} {rules.sha256}" if rules else ""}


def made_by(templates: Mapping[str, bytes]) -> dict[str, str]:
    """What makes packs now: the program version and the sum of the templates."""
    return {PROGRAM: __version__, TEMPLATES: sum_of(templates)}


def sum_of(templates: Mapping[str, bytes]) -> str:
    """One SHA-256 over all templates by name."""
    return fingerprint("\n".join(f"{name} {fingerprint(templates[name])}" for name in sorted(templates)).encode())


def under_older(register: Register, templates: Mapping[str, bytes], state: Kind) -> dict[str, list[str]]:
    """Packs in a state made with another program, other templates or an edition corrected since, and which of these."""
    found = {}
    for name, used in register.made_with(state).items():
        today = {**made_by(templates), EDITION: _edition_today(used.get(EDITION, ""))}
        if differing := [each for each in today if used.get(each) != today[each]]:
            found[name] = differing
    return found


def renewable(register: Register, templates: Mapping[str, bytes]) -> frozenset[str]:
    """Packs that a revision with the same figures would make otherwise than they are."""
    return frozenset(name for state in STANDING for name in under_older(register, templates, state))


def standing_lines(
    register: Register, decisions: Sequence[Decision], templates: Mapping[str, bytes]
) -> tuple[str, ...]:
    """What each revision of this run changes, and how many packs stand under something older."""
    made = [each.number for each in decisions if each.status in {Status.AWAITING, Status.ISSUED} and each.reason]
    lines = [line for name in made for line in revision_lines(register, name)]
    return (*lines, *_older_lines(register, templates))


def _older_lines(register: Register, templates: Mapping[str, bytes]) -> Iterator[str]:
    """How many packs stand under something older; none of them is made anew, since it may be signed already."""
    for state in (Kind.ISSUED, Kind.AWAITING):
        older = Counter(each for differing in under_older(register, templates, state).values() for each in differing)
        told = ", ".join(f"{older[each]} under another {each}" for each in (EDITION, TEMPLATES, PROGRAM) if older[each])
        if told:
            yield f"Packs that are {state} and stay as they were made: {told}."


def line_to_send(check_value: str, day: date) -> str:
    """The check value as a line for somebody outside the office, who keeps it as a witness."""
    return f"To send to somebody outside the office: register check value {check_value}, {day:%d %b %Y}."


def _edition_today(used: str) -> str:
    """The edition of that name with the sum it has today; empty where this program no longer knows it."""
    try:
        rules = edition(used.partition(" ")[0])
    except KeyError:
        return ""
    return f"{rules.id} {rules.sha256}"


def revision_lines(register: Register, name: str) -> list[str]:
    """What a revision supersedes and why, and each value before and after."""
    reserved = register.reservation(name)
    envelope = reserved.envelope
    before = register.records().get(envelope.supersedes)
    if not envelope.supersedes or before is None:
        return []
    found = differences(json.loads(before), json.loads(reserved.record))
    return [
        f"{name} supersedes {envelope.supersedes}: {envelope.reason}",
        *(f"  {each.field}: {each.before or 'blank'} → {each.after or 'blank'}" for each in found),
    ]
