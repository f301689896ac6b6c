"""The register read without touching it: every link recomputed here, by the form of its entries alone."""

import hashlib
import json
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pipeline.audit.faults import Fault
from pipeline.audit.faults import Kind as Word
from pipeline.facts.record import Json
from pipeline.orders import Envelope
from pipeline.register import FIRST_LINK, RELEASED, Kind, check_value_of, name_of
from pipeline.register.entries import DELETED, record_in

# entries that say what a number is; whatever else is entered for a number leaves that as it is
STATES = frozenset({Kind.RESERVED, Kind.AWAITING, Kind.ISSUED, Kind.SUPERSEDED, Kind.VOID, Kind.WITHDRAWN})
_GUARDS = ("UPDATE", "DELETE")
# parts of a body that are objects, and what an envelope cannot lack
_OBJECTS = frozenset({"envelope", "files", "release"})
_FROZEN = frozenset({"number", "revision", "issue_date", "check_value_before"})
_WAL = b"\x02\x02"  # SQLite file format, bytes 18 and 19: a reader would have to write beside the file


@dataclass(frozen=True, slots=True)
class Ledger:
    """A register as data: its entries oldest first, the personal parts by entry, and what was wrong on reading it."""

    where: str
    entries: tuple[Json, ...] = ()
    personal: dict[int, tuple[bytes, bytes]] = field(default_factory=dict, repr=False)
    faults: tuple[Fault, ...] = ()

    @property
    def check_value(self) -> str:
        """The value over everything up to now, the count of entries in front."""
        return check_value_of(len(self.entries), self.entries[-1]["sha"]) if self.entries else ""

    def states(self) -> dict[tuple[int, int], str]:
        """The last state of each number and revision."""
        return {_key(each): each["kind"] for each in self.entries if each["kind"] in STATES and each["number"]}

    def sums(self) -> dict[str, dict[str, str]]:
        """The sums of the files of each pack, as last entered."""
        found: dict[str, dict[str, str]] = {}
        for each in self.entries:
            files = each["body"].get("files") if each["number"] else None
            if files:
                found[name_of(*_key(each))] = files
            if each["kind"] == Kind.ISSUED and "release" in each["body"]:
                found[f"{name_of(*_key(each))}{RELEASED}"] = each["body"]["release"]
        return found

    def envelopes(self) -> dict[str, Envelope]:
        """What was frozen when each pack was reserved; with no reason where that has been deleted."""
        return {
            name_of(*_key(each)): _envelope({"reason": self._kept_reason(each)} | each["body"]["envelope"])
            for each in self.entries
            if each["kind"] == Kind.RESERVED and each["number"] and "envelope" in each["body"]
        }

    def reason(self, entry: Json) -> str:
        """Why a pack came to a state, where one is given; a superseded one for the reason of what replaces it."""
        if entry["kind"] == Kind.SUPERSEDED:
            by = entry["body"].get("by")
            asked = (each for each in self.entries if each["kind"] == Kind.RESERVED and each["number"])
            return next((self.reason(each) for each in asked if name_of(*_key(each)) == by), "")
        body = entry["body"]
        written = body.get("reason") or body.get("envelope", {}).get("reason") or self._kept_reason(entry)
        due = entry["kind"] in {Kind.VOID, Kind.WITHDRAWN} or body.get("envelope", {}).get("supersedes")
        gone = due and "personal" in body and entry["seq"] not in self.personal
        return DELETED if gone and not written else str(written)

    def _kept_reason(self, entry: Json) -> str:
        """The reason beside an entry; empty where there is none."""
        kept = _bytes(self.personal[entry["seq"]][1]) if entry["seq"] in self.personal else b""
        return str(_object(kept.partition(b"\n")[0]).get("reason", ""))

    def records(self) -> dict[str, bytes]:
        """The record of each pack, where its personal part has not been deleted."""
        return {
            name_of(*_key(each)): record_in(_bytes(self.personal[each["seq"]][1]))
            for each in self.entries
            if each["kind"] == Kind.RESERVED and each["number"] and each["seq"] in self.personal
        }


def open_ledger(path: Path, where: str) -> Ledger:
    """Read a register of which nothing is changed, nor anything beside it."""
    try:
        database = _copied(path)
    except (OSError, sqlite3.Error) as trouble:
        return Ledger(where, faults=(_unreadable(path, where, trouble),))
    try:
        entries = tuple(_entries(database))
        personal = {seq: (salt, content) for seq, salt, content in database.execute("SELECT * FROM personal")}
        made = database.execute("SELECT sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'entries'")
        guards = " ".join(str(sql).upper() for (sql,) in made)
    except (sqlite3.Error, ValueError, TypeError, KeyError) as trouble:
        return Ledger(where, faults=(Fault(where, Word.DAMAGED, f"The register cannot be read: {trouble}."),))
    finally:
        database.close()
    ledger = Ledger(where, entries, personal)
    return Ledger(where, entries, personal, (*chain_faults(ledger), *_guard_faults(where, guards)))


def _unreadable(path: Path, where: str, trouble: Exception) -> Fault:
    """Why a register could not even be opened."""
    damaged = isinstance(trouble, sqlite3.DatabaseError) and not isinstance(trouble, sqlite3.OperationalError)
    return Fault(where, Word.DAMAGED if damaged else Word.UNREADABLE, f"{path.name} cannot be opened: {trouble}.")


def _copied(path: Path) -> sqlite3.Connection:
    """The register in memory: by a reader's lock, or, where a reader would have to write, from a copy elsewhere."""
    memory = sqlite3.connect(":memory:")
    with path.open("rb") as file:
        writes_beside = file.read(20)[18:] == _WAL
    if not writes_beside:
        try:
            with sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True) as source:
                source.backup(memory)
            source.close()
        except sqlite3.OperationalError:
            memory.close()  # a run died in the middle of an entry; its journal is applied to a copy below
            memory = sqlite3.connect(":memory:")
        else:
            return memory
    with tempfile.TemporaryDirectory() as folder:
        for each in path.parent.glob(f"{path.name}*"):
            shutil.copyfile(each, Path(folder) / each.name)
        with sqlite3.connect(Path(folder) / path.name) as source:
            source.backup(memory)
        source.close()
    return memory


def _entries(database: sqlite3.Connection) -> Iterator[Json]:
    """All entries, each with the link that its columns give as they are.

    What a strange hand put where a number or an object must be is read as none, and shows by its link.
    """
    cursor = database.execute("SELECT * FROM entries ORDER BY seq")
    names = [each[0] for each in cursor.description]
    for row in cursor:
        entry = dict(zip(names, row, strict=True))
        texts = {name: str(entry[name]) for name in ("at", "kind", "job", "prev", "sha")}
        numbers = {name: entry[name] if isinstance(entry[name], int) else None for name in ("number", "revision")}
        if None in numbers.values():
            numbers = dict.fromkeys(numbers)
        yield {**entry, **texts, **numbers, "body": _object(entry["body"]), "link": link_of(entry)}


def _object(written: Any) -> Json:
    """The body of an entry; empty where it is none."""
    try:
        found = json.loads(written)
    except (ValueError, TypeError):
        return {}
    found = found if isinstance(found, dict) else {}
    sound = {name: each for name, each in found.items() if name not in _OBJECTS or isinstance(each, dict)}
    if not sound.get("envelope", {}).keys() >= _FROZEN:
        sound.pop("envelope", None)
    return sound


def chain_faults(ledger: Ledger) -> Iterator[Fault]:
    """Every place at which the chain does not hold, and personal parts that are not those that were entered."""
    link, due = FIRST_LINK, 1
    for entry in ledger.entries:
        place = f"{ledger.where}, entry {entry['seq']}"
        if entry["seq"] != due:
            yield Fault(place, Word.CHAIN, f"Before this entry at least one is gone: entry {due} is due here.")
        elif entry["prev"] != link:
            yield Fault(place, Word.CHAIN, "It does not follow the entry before it.", f"{link[:16]}…")
        if entry["link"] != entry["sha"]:
            yield Fault(place, Word.CHAIN, "It was changed after it was entered.", f"{_told(entry)}")
        yield from _personal_faults(ledger, entry, place)
        link, due = entry["sha"], entry["seq"] + 1


def link_of(columns: Json) -> str:
    """The hash of all columns of an entry but the hash itself, the link to the one before included."""
    content = {name: value for name, value in columns.items() if name != "sha"}
    text = json.dumps(content, sort_keys=True, ensure_ascii=False, default=repr)
    return hashlib.sha256(text.encode("utf-8", "replace")).hexdigest()


def _personal_faults(ledger: Ledger, entry: Json, place: str) -> Iterator[Fault]:
    """A personal part that is not the one that was entered; one that was deleted is no fault."""
    wanted = entry["body"].get("personal")
    if wanted and entry["seq"] in ledger.personal:
        salt, content = map(_bytes, ledger.personal[entry["seq"]])
        if hashlib.sha256(salt + content).hexdigest() != wanted:
            yield Fault(place, Word.ALTERED, "The record beside this entry is not the one that was entered.")


def _bytes(part: Any) -> bytes:
    """A personal part as bytes, whatever a strange hand made of it."""
    return part if isinstance(part, bytes) else str(part).encode()


def _guard_faults(where: str, guards: str) -> Iterator[Fault]:
    """What keeps entries from being changed, taken out."""
    for each in _GUARDS:
        if f"BEFORE {each}" not in guards:
            yield Fault(where, Word.CHAIN, f"The guard against {each} was taken out: somebody opened it to change it.")


def _key(entry: Json) -> tuple[int, int]:
    """Number and revision of an entry."""
    return entry["number"], entry["revision"]


def _told(entry: Json) -> str:
    """An entry in a few words."""
    pack = f" of {name_of(*_key(entry))}" if entry["number"] and entry["revision"] else ""
    return f"{entry['kind']}{pack}, {entry['at']}"


def _envelope(content: Json) -> Envelope:
    """An envelope; what a later version put into it besides is passed over."""
    return Envelope(**{name: content[name] for name in Envelope.__dataclass_fields__ if name in content})
