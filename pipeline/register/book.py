"""The register: what was ever reserved, made and closed; insert-only, every entry chained by hash to the one before.

What could name a person – records, reasons, addresses – lies salted in a table beside the chain, so that it can be
deleted without breaking it.
One writer at a time (`pipeline.run` holds the lock); every change is one explicit transaction.
"""

import hashlib
import json
import secrets
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import Self

from pipeline.errors import RegisterError
from pipeline.facts.differences import changed_fields
from pipeline.orders import Envelope, Json
from pipeline.register.entries import (
    FIRST_LINK,
    SCHEMA,
    Head,
    Kind,
    Reservation,
    Standing,
    Wish,
    kept_beside,
    link_of,
    name_of,
)
from pipeline.register.reader import Reader

Keys = tuple[int | None, int | None, str, str]


class Register(Reader):
    """One register file, opened by one writer."""

    def __init__(self, connection: sqlite3.Connection, *, is_new: bool) -> None:
        """Use `Register.open`."""
        self._db = connection
        self.is_new = is_new

    @classmethod
    def open(cls, path: Path, now: str) -> Self:
        """Open the register, or make one where there is none; raises RegisterError when it is damaged."""
        connection = sqlite3.connect(path, isolation_level=None)
        register = cls(connection, is_new=False)
        try:
            # the folder too is made durable at each commit: an entry that was told must not be undone by a power cut
            connection.execute("PRAGMA synchronous = EXTRA")
            # a run that died while it made the register left an empty file
            register.is_new = not connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
            if register.is_new:
                with register._writing(SCHEMA):
                    register._enter(now, Kind.OPENED, body={"register": secrets.token_hex(8)})
            register.prove_chain()
        except sqlite3.OperationalError:
            connection.close()
            raise  # the disk's trouble and not the register's
        except sqlite3.DatabaseError as trouble:
            connection.close()
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

    def reserve(self, wishes: Sequence[Wish], now: str, issue_date: str) -> list[Reservation]:
        """Give each job its number, or its next revision, in one transaction before anything is rendered."""
        before = self.check_value()
        with self._writing():
            return [self._reserve(wish, now, issue_date, before) for wish in wishes]

    def _reserve(self, wish: Wish, now: str, issue_date: str, before: str) -> Reservation:
        """One reservation inside the transaction."""
        head = self.head(wish.job)
        number = head.number if head else self._highest("number", "1 = 1", ()) + 1
        revision = self._highest("revision", "number = ?", (number,)) + 1
        supersedes, reason = "", wish.reason
        if head:
            supersedes = self._replaced(head)
            reason = self._why(supersedes, wish)
        envelope = Envelope(f"{number:04}", revision, issue_date, before, supersedes, reason)
        frozen = asdict(envelope)
        del frozen["reason"]
        body = {"envelope": frozen, "made_with": wish.made_with}
        keys = (number, revision, wish.job, wish.input_key)
        self._enter(now, Kind.RESERVED, keys=keys, body=body, personal=kept_beside(reason, wish.record))
        for each in wish.answers:
            about = {"pack": envelope.name, "key": each["key"], "rule": each["rule"]}
            self._enter(now, Kind.ANSWER, body=about, personal=_json(each).encode())
        return Reservation(wish.job, wish.input_key, envelope, wish.record, wish.made_with)

    def _replaced(self, head: Head) -> str:
        """What a new revision replaces: the pack that people hold, else the newest one of the number."""
        issued = [each for each in self.standings() if each.number == head.number and each.state is Kind.ISSUED]
        return issued[-1].name if issued else name_of(head.number, head.revision)

    def _why(self, replaced: str, wish: Wish) -> str:
        """The reason of a revision with the fields that differ; their values stay in the two records."""
        before = self.records().get(replaced)
        fields = changed_fields(json.loads(before), json.loads(wish.record)) if before else ""
        return f"{wish.reason.rstrip('.')}. Changed: {fields}." if fields else wish.reason

    def awaiting(self, reservation: Reservation, sums: dict[str, str], pages: dict[str, int], now: str) -> None:
        """Mark a finished pack as awaiting its signature.

        An earlier revision that was never signed is superseded at once, so that nobody signs it any more; one that is
        issued stands until this one is released.
        """
        number, revision = int(reservation.envelope.number), reservation.envelope.revision
        keys = (number, revision, reservation.job, reservation.input_key)
        with self._writing():
            body = {"files": sums, "pages": pages, "made_with": reservation.made_with}
            self._enter(now, Kind.AWAITING, keys=keys, body=body)
            self._supersede(reservation.envelope, Kind.AWAITING, now)

    def issue(self, standing: Standing, now: str, body: Json, personal: Json) -> None:
        """Mark a released pack as issued; the revision that was issued before is superseded in the same moment."""
        keys = (standing.number, standing.revision, standing.job, standing.input_key)
        with self._writing():
            self._enter(now, Kind.ISSUED, keys=keys, body=body, personal=_json(personal).encode())
            self._supersede(self._envelope(standing.name), Kind.ISSUED, now)

    def _supersede(self, by: Envelope, state: Kind, now: str) -> None:
        """Supersede the earlier revisions in a state; inside the transaction that gives the later one its own."""
        for old in self.standings():
            if old.number == int(by.number) and old.revision < by.revision and old.state is state:
                keys = (old.number, old.revision, old.job, old.input_key)
                self._enter(now, Kind.SUPERSEDED, keys=keys, body={"by": by.name})

    def give_up(self, standing: Standing, kind: Kind, now: str, reason: str) -> None:
        """Give one revision the state void or withdrawn, in a transaction of its own."""
        keys = (standing.number, standing.revision, standing.job, standing.input_key)
        with self._writing():
            self._enter(now, kind, keys=keys, body={}, personal=_json({"reason": reason}).encode())

    def enter_mail(self, now: str, body: Json, personal: Json) -> None:
        """Enter one step of a mail, durable before anything follows; addresses and answers lie in `personal`."""
        with self._writing():
            self._enter(now, Kind.MAIL, body=body, personal=_json(personal).encode())

    def end_run(self, source_sum: str, now: str) -> str:
        """Close a run that changed something; gives the check value that the next packs and people carry."""
        last = self._db.execute("SELECT kind FROM entries ORDER BY seq DESC LIMIT 1").fetchone()
        if last and last[0] not in {Kind.CLOSED, Kind.OPENED}:
            with self._writing():
                self._enter(now, Kind.CLOSED, body={"workbook": source_sum})
        return self.check_value()

    def prove_chain(self) -> None:
        """Recompute every link; raises RegisterError naming the first entry that does not follow."""
        link = FIRST_LINK
        for place, entry in enumerate(self.entries(), start=1):
            sha = entry.pop("sha")
            if entry["seq"] != place or entry["prev"] != link or link_of(entry) != sha:
                raise RegisterError(
                    f"The register does not hold together at entry {place}: it was changed from outside.",
                    "Nothing is numbered until it is put right: bring back the last good copy and tell your auditor.",
                )
            link = sha

    @contextmanager
    def _writing(self, first: str = "") -> Iterator[None]:
        """One transaction that no other writer can interleave; on any trouble nothing of it stays."""
        try:
            self._db.executescript(f"BEGIN IMMEDIATE;{first}")
            yield
            self._db.execute("COMMIT")
        except BaseException:
            if self._db.in_transaction:
                self._db.execute("ROLLBACK")
            raise

    def _enter(
        self,
        at: str,
        kind: Kind,
        *,
        keys: Keys = (None, None, "", ""),
        body: Json,
        personal: bytes | None = None,
    ) -> None:
        """Add one entry to the chain."""
        last = self._db.execute("SELECT seq, sha FROM entries ORDER BY seq DESC LIMIT 1").fetchone() or (0, FIRST_LINK)
        seq, salt = last[0] + 1, secrets.token_bytes(16)
        if personal is not None:
            body = {**body, "personal": hashlib.sha256(salt + personal).hexdigest()}
        text = _json(body)
        names = ("number", "revision", "job", "input_key")
        entry = {
            "seq": seq,
            "at": at,
            "kind": str(kind),
            **dict(zip(names, keys, strict=True)),
            "body": text,
            "prev": last[1],
        }
        columns = (*entry.values(), link_of(entry))
        self._db.execute("INSERT INTO entries VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", columns)
        if personal is not None:
            self._db.execute("INSERT INTO personal VALUES (?, ?, ?)", (seq, salt, personal))


def _json(content: Json) -> str:
    """An object as entries keep it."""
    return json.dumps(content, sort_keys=True, ensure_ascii=False)
