"""What the register says when it is asked: heads, states, reservations, records, the check value."""

import json
import sqlite3

from pipeline.errors import CommandError
from pipeline.orders import Envelope, Json
from pipeline.register.entries import (
    DELETED,
    STANDING,
    Head,
    Kind,
    Reservation,
    Standing,
    check_value_of,
    name_of,
    pair_of,
    reason_in,
    record_in,
)


class Reader:
    """A register that is asked and not written to; see `Register` for its writer."""

    _db: sqlite3.Connection

    @property
    def id(self) -> str:
        """What tells this register from any other: it was drawn when the register began."""
        [body] = self._db.execute(
            "SELECT body FROM entries WHERE kind = ? ORDER BY seq LIMIT 1", (Kind.OPENED,)
        ).fetchone()
        return str(json.loads(body)["register"])

    def head(self, job: str) -> Head | None:
        """Where a job stands, None for one that never had a number.

        That is its newest revision under way or standing; only where there is none, the newest that was not void.
        """
        row = self._db.execute(
            "SELECT number, revision, state, input_key FROM states WHERE job = ? AND state <> ? "
            "ORDER BY state IN (?, ?, ?) DESC, number DESC, revision DESC LIMIT 1",
            (job, Kind.VOID, Kind.RESERVED, *STANDING),
        ).fetchone()
        return Head(row[0], row[1], Kind(row[2]), row[3]) if row else None

    def standings(self) -> list[Standing]:
        """Every revision of every number with its one state, in their order."""
        rows = self._db.execute(
            "SELECT s.number, s.revision, s.job, s.input_key, s.state, e.at, e.body "
            "FROM states s JOIN entries e USING (seq) ORDER BY s.number, s.revision"
        ).fetchall()
        return [
            Standing(number, revision, job, key, Kind(state), at, json.loads(body))
            for number, revision, job, key, state, at, body in rows
        ]

    def standing(self, name: str) -> Standing:
        """One revision by its name; raises CommandError where the register has none of it."""
        pair = pair_of(name)
        found = next((each for each in self.standings() if (each.number, each.revision) == pair), None)
        if found is None:
            raise CommandError(f"The register has no pack {name}.", "See: handover register")
        return found

    def reservation(self, name: str) -> Reservation:
        """What was reserved under a name; raises CommandError where there is none, or its record has been deleted."""
        number, revision = pair_of(name)
        found = self._reservations("e.number = ? AND e.revision = ?", (number, revision))
        if not found:
            raise CommandError(f"The register has no record of pack {name}.", "See: handover register")
        return found[0]

    def records(self) -> dict[str, bytes]:
        """The record of each pack, where its personal part has not been deleted."""
        return {each.envelope.name: each.record for each in self._reservations("1 = 1", ())}

    def made_with(self, state: Kind) -> dict[str, dict[str, str]]:
        """What each pack in a state was made with, by its name, as far as that was entered."""
        rows = self._db.execute(
            "SELECT s.number, s.revision, e.body FROM states s "
            "JOIN entries e ON e.number = s.number AND e.revision = s.revision "
            "WHERE s.state = ? AND e.kind IN (?, ?) ORDER BY e.seq",
            (state, Kind.RESERVED, Kind.AWAITING),
        ).fetchall()
        found: dict[str, dict[str, str]] = {}
        for number, revision, body in rows:
            # what it was reserved with may have been replaced before it was made
            name = name_of(number, revision)
            found[name] = json.loads(body).get("made_with") or found.get(name, {})
        return found

    def released(self) -> dict[str, Json]:
        """How each pack that was ever issued was released, by its name."""
        rows = self._db.execute("SELECT number, revision, body FROM entries WHERE kind = ?", (Kind.ISSUED,))
        return {name_of(number, revision): json.loads(body) for number, revision, body in rows}

    def unfinished(self) -> list[Reservation]:
        """Reservations whose pack was never finished, oldest first."""
        return self._reservations("s.state = ?", (Kind.RESERVED,))

    def personal(self, name: str, kind: Kind) -> Json:
        """The personal part of a state that was entered for a pack; empty where there is none or it was deleted."""
        row = self._db.execute(
            "SELECT p.content FROM entries e JOIN personal p USING (seq) "
            "WHERE e.kind = ? AND e.number = ? AND e.revision = ? ORDER BY e.seq DESC LIMIT 1",
            (kind, *pair_of(name)),
        ).fetchone()
        found: Json = json.loads(row[0]) if row else {}
        return found

    def reason(self, standing: Standing) -> str:
        """Why a pack stands no longer: by its own entry, or by the revision that was asked for in its place.

        Empty for one that stands, `DELETED` where the personal part has been deleted.
        """
        if standing.state in {Kind.VOID, Kind.WITHDRAWN}:
            return self._reason(standing.name, standing.state)
        return self._reason(standing.body["by"], Kind.RESERVED) if standing.state is Kind.SUPERSEDED else ""

    def _reason(self, name: str, kind: Kind) -> str:
        """The reason that was given for one state of a pack; those of 0.1.0 may have it in the chain."""
        body, kept = self._db.execute(
            "SELECT e.body, p.content FROM entries e LEFT JOIN personal p USING (seq) "
            "WHERE e.kind = ? AND e.number = ? AND e.revision = ? ORDER BY e.seq DESC LIMIT 1",
            (kind, *pair_of(name)),
        ).fetchone()
        written = json.loads(body)
        in_chain = written.get("reason") or written.get("envelope", {}).get("reason", "")
        return str(in_chain) or (DELETED if kept is None else reason_in(kept))

    def mails(self) -> list[tuple[str, Json, Json]]:
        """Every step of every mail: when, what, and the personal part where it has not been deleted."""
        rows = self._db.execute(
            "SELECT e.at, e.body, p.content FROM entries e LEFT JOIN personal p USING (seq) "
            "WHERE e.kind = ? ORDER BY e.seq",
            (Kind.MAIL,),
        ).fetchall()
        return [(at, json.loads(body), json.loads(content) if content else {}) for at, body, content in rows]

    def check_value(self) -> str:
        """A value over the whole register up to now: it changes with every entry and proves all before it.

        The count of entries stands in front, so that a tail cut off can be told from a past rewritten.
        """
        seq, sha = self._db.execute("SELECT seq, sha FROM entries ORDER BY seq DESC LIMIT 1").fetchone()
        return check_value_of(seq, sha)

    def entries(self) -> list[Json]:
        """All entries, oldest first, as plain data."""
        names = ("seq", "at", "kind", "number", "revision", "job", "input_key", "body", "prev", "sha")
        rows = self._db.execute(f"SELECT {', '.join(names)} FROM entries ORDER BY seq").fetchall()  # noqa: S608 - fixed names
        return [dict(zip(names, row, strict=True)) for row in rows]

    def _reservations(self, where: str, values: tuple[object, ...]) -> list[Reservation]:
        """Reservations that meet a condition on the entry `e` or the state `s`."""
        rows = self._db.execute(
            "SELECT e.job, e.input_key, e.body, p.content FROM entries e JOIN personal p USING (seq) "  # noqa: S608 - fixed texts
            "JOIN states s ON s.number = e.number AND s.revision = e.revision "
            f"WHERE e.kind = 'reserved' AND {where} ORDER BY e.seq",
            values,
        ).fetchall()
        return [_reservation(*row) for row in rows]

    def _highest(self, column: str, where: str, values: tuple[int, ...]) -> int:
        """The highest number or revision ever reserved, 0 before the first."""
        row = self._db.execute(f"SELECT coalesce(max({column}), 0) FROM entries WHERE {where}", values)  # noqa: S608 - fixed texts
        return int(row.fetchone()[0])

    def _envelope(self, name: str) -> Envelope:
        """What was frozen when a pack was reserved, without its reason: there even when its record is deleted."""
        row = self._db.execute(
            "SELECT body FROM entries WHERE kind = 'reserved' AND number = ? AND revision = ?", pair_of(name)
        ).fetchone()
        return Envelope(**json.loads(row[0])["envelope"])


def _reservation(job: str, input_key: str, body: str, kept: bytes) -> Reservation:
    """A reservation from its entry and what is kept beside it."""
    told = json.loads(body)
    envelope = Envelope(**{"reason": reason_in(kept)} | told["envelope"])
    return Reservation(job, input_key, envelope, record_in(kept), told.get("made_with", {}))
