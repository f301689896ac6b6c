"""The register: what was ever reserved, made and closed; insert-only, every entry chained by hash to the one before.

What could name a person lies salted in a table beside the chain, so that it can be deleted without breaking it.
One writer at a time (`pipeline.run` holds the lock); every change is one explicit transaction.
"""

import hashlib
import json
import secrets
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any, Self

from pipeline.errors import RegisterError
from pipeline.orders import Envelope, Json

FIRST_LINK = "0" * 64
CHECK_VALUE_DIGITS = 20

SCHEMA = """
CREATE TABLE entries (
    seq INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    kind TEXT NOT NULL,
    number INTEGER,
    revision INTEGER,
    job TEXT NOT NULL,
    input_key TEXT NOT NULL,
    body TEXT NOT NULL,
    prev TEXT NOT NULL UNIQUE,
    sha TEXT NOT NULL UNIQUE
);
CREATE UNIQUE INDEX one_reservation ON entries (number, revision) WHERE kind = 'reserved';
CREATE TABLE personal (seq INTEGER PRIMARY KEY REFERENCES entries (seq), salt BLOB NOT NULL, content BLOB NOT NULL);
CREATE TRIGGER entries_stay BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, 'the register is insert-only'); END;
CREATE TRIGGER entries_last BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'the register is insert-only'); END;
CREATE VIEW states AS
    SELECT number, revision, job, input_key, kind AS state, max(seq) AS seq
    FROM entries WHERE number IS NOT NULL GROUP BY number, revision;
"""


class Kind(StrEnum):
    """Kinds of entry; those of a number are its states."""

    OPENED = "opened"
    RESERVED = "reserved"
    AWAITING = "awaiting signature"
    SUPERSEDED = "superseded"
    CLOSED = "closed"


@dataclass(frozen=True, slots=True)
class Head:
    """Where a job stands: its number, its newest revision, that one's state and what it was made from."""

    number: int
    revision: int
    state: Kind
    input_key: str


@dataclass(frozen=True, slots=True)
class Wish:
    """A job that wants a number: its reference, what it is made from, its record, and why if it is a revision."""

    job: str
    input_key: str
    record: bytes
    photo_sums: dict[str, str]
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Reservation:
    """A number given to a job, with everything that is needed to finish it without its workbook."""

    job: str
    input_key: str
    envelope: Envelope
    record: bytes
    photo_sums: dict[str, str]


class Register:
    """One register file, opened by one writer."""

    def __init__(self, connection: sqlite3.Connection, *, is_new: bool) -> None:
        """Use `Register.open`."""
        self._db = connection
        self.is_new = is_new

    @classmethod
    def open(cls, path: Path, now: str) -> Self:
        """Open the register, or make one where there is none; raises RegisterError when it is damaged."""
        is_new = not path.exists()
        connection = sqlite3.connect(path, isolation_level=None)
        register = cls(connection, is_new=is_new)
        try:
            connection.execute("PRAGMA synchronous = FULL")
            if is_new:
                connection.executescript(SCHEMA)
                with register._writing():
                    register._enter(now, Kind.OPENED, body={"register": secrets.token_hex(8)})
            register.prove_chain()
        except sqlite3.DatabaseError as trouble:
            raise RegisterError(
                f"The register {path.name} cannot be read ({trouble}).",
                "Put back the last good copy of it; change nothing else.",
            ) from trouble
        return register

    def __enter__(self) -> Self:
        """For use in a with statement."""
        return self

    def __exit__(self, *_: object) -> None:
        """Let go of the file."""
        self._db.close()

    def head(self, job: str) -> Head | None:
        """Where a job stands, None for one that never had a number."""
        row = self._db.execute(
            "SELECT number, revision, state, input_key FROM states WHERE job = ? ORDER BY revision DESC LIMIT 1", (job,)
        ).fetchone()
        return Head(row[0], row[1], Kind(row[2]), row[3]) if row else None

    def reserve(self, wishes: Sequence[Wish], now: str, issue_date: str) -> list[Reservation]:
        """Give each job its number, or its next revision, in one transaction before anything is rendered."""
        before = self.check_value()
        with self._writing():
            return [self._reserve(wish, now, issue_date, before) for wish in wishes]

    def _reserve(self, wish: Wish, now: str, issue_date: str, before: str) -> Reservation:
        """One reservation inside the transaction."""
        head = self.head(wish.job)
        number = (
            head.number if head else self._db.execute("SELECT coalesce(max(number), 0) + 1 FROM entries").fetchone()[0]
        )
        revision = head.revision + 1 if head else 1
        supersedes = f"{number:04}-{head.revision}" if head else ""
        envelope = Envelope(f"{number:04}", revision, issue_date, before, supersedes, wish.reason)
        body = {"envelope": asdict(envelope), "photos": wish.photo_sums}
        keys = (number, revision, wish.job, wish.input_key)
        self._enter(now, Kind.RESERVED, keys=keys, body=body, personal=wish.record)
        return Reservation(wish.job, wish.input_key, envelope, wish.record, wish.photo_sums)

    def unfinished(self) -> list[Reservation]:
        """Reservations whose pack was never finished, oldest first."""
        rows = self._db.execute(
            "SELECT s.job, s.input_key, e.body, p.content FROM states s JOIN entries e USING (seq) "
            "JOIN personal p USING (seq) WHERE s.state = ? ORDER BY s.seq",
            (Kind.RESERVED,),
        ).fetchall()
        return [
            Reservation(job, key, Envelope(**json.loads(body)["envelope"]), content, json.loads(body)["photos"])
            for job, key, body, content in rows
        ]

    def awaiting(self, reservation: Reservation, sums: dict[str, str], pages: dict[str, int], now: str) -> None:
        """Mark a finished pack as awaiting its signature; the revision that it replaces becomes superseded."""
        number, revision = int(reservation.envelope.number), reservation.envelope.revision
        keys = (number, revision, reservation.job, reservation.input_key)
        with self._writing():
            self._enter(now, Kind.AWAITING, keys=keys, body={"files": sums, "pages": pages})
            if revision > 1:
                body = {"by": reservation.envelope.name, "reason": reservation.envelope.reason}
                self._enter(now, Kind.SUPERSEDED, keys=(number, revision - 1, *keys[2:]), body=body)

    def end_run(self, source_sum: str, now: str) -> str:
        """Close a run that changed something; gives the check value that the next packs and people carry."""
        last = self._db.execute("SELECT kind FROM entries ORDER BY seq DESC LIMIT 1").fetchone()
        if last and last[0] not in {Kind.CLOSED, Kind.OPENED}:
            with self._writing():
                self._enter(now, Kind.CLOSED, body={"workbook": source_sum})
        return self.check_value()

    def check_value(self) -> str:
        """A value over the whole register up to now: it changes with every entry and proves all before it."""
        row = self._db.execute("SELECT sha FROM entries ORDER BY seq DESC LIMIT 1").fetchone()
        digits = (row[0] if row else FIRST_LINK)[:CHECK_VALUE_DIGITS]
        return "-".join(digits[place : place + 4] for place in range(0, CHECK_VALUE_DIGITS, 4))

    def entries(self) -> list[Json]:
        """All entries, oldest first, as plain data."""
        names = ("seq", "at", "kind", "number", "revision", "job", "input_key", "body", "prev", "sha")
        rows = self._db.execute(f"SELECT {', '.join(names)} FROM entries ORDER BY seq").fetchall()  # noqa: S608 - fixed names
        return [dict(zip(names, row, strict=True)) for row in rows]

    def prove_chain(self) -> None:
        """Recompute every link; raises RegisterError naming the first entry that does not follow."""
        link = FIRST_LINK
        for place, entry in enumerate(self.entries(), start=1):
            sha = entry.pop("sha")
            if entry["seq"] != place or entry["prev"] != link or _link(entry) != sha:
                raise RegisterError(
                    f"The register does not hold together at entry {place}: it was changed from outside.",
                    "Nothing is numbered until it is put right: bring back the last good copy and tell your auditor.",
                )
            link = sha

    @contextmanager
    def _writing(self) -> Iterator[None]:
        """One transaction that no other writer can interleave; on any trouble nothing of it stays."""
        self._db.execute("BEGIN IMMEDIATE")
        try:
            yield
        except BaseException:
            self._db.execute("ROLLBACK")
            raise
        self._db.execute("COMMIT")

    def _enter(
        self,
        at: str,
        kind: Kind,
        *,
        keys: tuple[int | None, int | None, str, str] = (None, None, "", ""),
        body: Json,
        personal: bytes | None = None,
    ) -> None:
        """Add one entry to the chain."""
        last = self._db.execute("SELECT seq, sha FROM entries ORDER BY seq DESC LIMIT 1").fetchone() or (0, FIRST_LINK)
        seq, salt = last[0] + 1, secrets.token_bytes(16)
        if personal is not None:
            body = {**body, "personal": hashlib.sha256(salt + personal).hexdigest()}
        text = json.dumps(body, sort_keys=True, ensure_ascii=False)
        names = ("number", "revision", "job", "input_key")
        entry = {
            "seq": seq,
            "at": at,
            "kind": str(kind),
            **dict(zip(names, keys, strict=True)),
            "body": text,
            "prev": last[1],
        }
        columns = (*entry.values(), _link(entry))
        self._db.execute("INSERT INTO entries VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", columns)
        if personal is not None:
            self._db.execute("INSERT INTO personal VALUES (?, ?, ?)", (seq, salt, personal))


def _link(entry: dict[str, Any]) -> str:
    """The hash of an entry's whole content, the link to the one before included."""
    return hashlib.sha256(json.dumps(entry, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
