"""Numbers and revisions in a register: each number once and none left out, revisions in one line."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from pipeline.audit.faults import Fault
from pipeline.audit.faults import Kind as Word
from pipeline.audit.ledger import Ledger
from pipeline.facts.record import Json
from pipeline.register import Kind, name_of

REPLACED = frozenset({Kind.SUPERSEDED, Kind.VOID, Kind.WITHDRAWN})


def number_faults(ledger: Ledger) -> list[Fault]:
    """Gaps, doubled numbers, numbers that went to another job, and revisions that are not one line."""
    states = ledger.states()
    revisions: dict[int, dict[int, str]] = defaultdict(dict)
    for (number, revision), state in states.items():
        revisions[number][revision] = state
    found = [
        Fault(ledger.where, Word.GAP, f"Number {number:04} was never reserved though later ones were.")
        for number in range(1, max(revisions, default=0))
        if number not in revisions
    ]
    found += _reservations(ledger)
    for number, states_of in sorted(revisions.items()):
        found += _line(ledger, number, states_of)
    return found


def _reservations(ledger: Ledger) -> Iterator[Fault]:
    """Numbers entered without a reservation, reserved twice, or given to two jobs."""
    numbered = [each for each in ledger.entries if each["number"]]
    reserved = Counter((each["number"], each["revision"]) for each in numbered if each["kind"] == Kind.RESERVED)
    for number, revision in sorted({(each["number"], each["revision"]) for each in numbered}):
        if reserved[number, revision] != 1:
            times = reserved[number, revision]
            yield Fault(ledger.where, Word.GAP, f"{name_of(number, revision)} was reserved {times} times, not once.")
    jobs: dict[int, set[str]] = defaultdict(set)
    for each in numbered:
        jobs[each["number"]].add(each["job"])
    for number, names in sorted(jobs.items()):
        if len(names) > 1:
            told = f"Number {number:04} was given to more than one job: {', '.join(sorted(names))}."
            yield Fault(ledger.where, Word.GAP, told)


def _line(ledger: Ledger, number: int, states: dict[int, str]) -> Iterator[Fault]:
    """What is wrong with the line of revisions of one number."""

    def fault(message: str) -> Fault:
        return Fault(ledger.where, Word.SUPERSESSION, message)

    latest = max(states)
    envelopes, records = ledger.envelopes(), ledger.records()
    for revision in range(1, latest + 1):
        name, before = name_of(number, revision), name_of(number, revision - 1)
        state, envelope = states.get(revision), envelopes.get(name)
        if state is None:
            yield fault(f"Revision {name} is missing from the line that ends at {name_of(number, latest)}.")
        if state == Kind.SUPERSEDED and not any(
            states.get(later) != Kind.VOID for later in range(revision + 1, latest + 1)
        ):
            yield fault(f"{name} is superseded, but nothing that stands replaces it.")
        if state == Kind.ISSUED and revision > 1 and states.get(revision - 1) not in REPLACED:
            yield fault(f"{name} is issued while {before}, which it replaces, still stands.")
        said = envelope and envelope.supersedes and (envelope.reason or name not in records)
        if envelope and revision > 1 and not said:
            yield fault(f"{name} does not say what it replaces and why.")
    yield from (fault(told) for told in _replacements(ledger, number))


def _replacements(ledger: Ledger, number: int) -> Iterator[str]:
    """Entries and envelopes that name another revision than they must."""
    for each in ledger.entries:
        if each["number"] != number:
            continue
        name = name_of(number, each["revision"])
        by = str(each["body"].get("by", "")) if each["kind"] == Kind.SUPERSEDED else ""
        later = {name_of(number, each["revision"] + step) for step in range(1, len(ledger.entries))}
        if by and by not in later:
            yield f"{name} is superseded by {by}, which is no later revision of it."
        replaces = each["body"].get("envelope", {}).get("supersedes", "") if each["kind"] == Kind.RESERVED else ""
        earlier = [name_of(number, revision) for revision in range(1, each["revision"])]
        if replaces and replaces not in earlier:
            yield f"{name} replaces {replaces}, which is no earlier revision of it."


def number_rows(ledger: Ledger) -> list[Json]:
    """Each number and revision in one row: its state, its job, and when that was entered."""
    rows: dict[tuple[int, int], Json] = {}
    states = ledger.states()
    for each in ledger.entries:
        key = (each["number"], each["revision"])
        if key in states:
            before = rows.get(key, {"entries": 0})
            rows[key] = {
                "name": name_of(*key),
                "job": each["job"],
                "state": states[key],
                "at": each["at"],
                "entries": before["entries"] + 1,
                "reason": ledger.reason(each),
            }
    return [rows[key] for key in sorted(rows)]
