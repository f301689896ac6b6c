"""What the register is made of: kinds of entry, the tables, the link from one entry to the next."""

import hashlib
import json
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from pipeline.errors import CommandError
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
    """Kinds of entry; those that name a number are its states.

    The others (`OPENED`, `ANSWER`, `MAIL`, `CLOSED`) name none.
    """

    OPENED = "opened"
    RESERVED = "reserved"
    AWAITING = "awaiting signature"
    ISSUED = "issued"
    SUPERSEDED = "superseded"
    VOID = "void"
    WITHDRAWN = "withdrawn"
    ANSWER = "answer"
    MAIL = "mail"
    CLOSED = "closed"


STATES = tuple(each for each in Kind if each not in {Kind.OPENED, Kind.ANSWER, Kind.MAIL, Kind.CLOSED})
"""What a number can be."""

RELEASED = "-released"
"""What the name of the archive folder of a release adds to the pack's own."""

DELETED = "deleted"
"""What is said in the place of a text or a name whose personal part has been deleted."""

STANDING = (Kind.AWAITING, Kind.ISSUED)
"""The states in which a pack is valid, or will be once it is signed."""


@dataclass(frozen=True, slots=True)
class Head:
    """Where a job stands: its number, its newest revision that is not void, the state and input key of that one."""

    number: int
    revision: int
    state: Kind
    input_key: str


@dataclass(frozen=True, slots=True)
class Wish:
    """A job that wants a number: what it is made from, its record, the answers used, and why if it is a revision."""

    job: str
    input_key: str
    record: bytes
    reason: str = ""
    answers: tuple[Json, ...] = ()
    made_with: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Reservation:
    """A number given to a job, with everything that is needed to finish it without its workbook."""

    job: str
    input_key: str
    envelope: Envelope
    record: bytes
    made_with: dict[str, str] = field(default_factory=dict)

    @property
    def photo_sums(self) -> dict[str, str]:
        """The photos of the job by file name; the names stand in the record alone, since they may name a person."""
        sums: dict[str, str] = json.loads(self.record)["job"]["photo_sums"]
        return sums


@dataclass(frozen=True, slots=True)
class Standing:
    """One revision of one number: its job, its state and since when; `body` is that of the entry behind the state."""

    number: int
    revision: int
    job: str
    input_key: str
    state: Kind
    at: str
    body: Json

    @property
    def name(self) -> str:
        """The pair of number and revision as file and folder names write it."""
        return name_of(self.number, self.revision)


def kept_beside(reason: str, record: bytes) -> bytes:
    """What a reservation keeps beside the chain: a line with its reason, then the record, which has no line end."""
    return json.dumps({"reason": reason}).encode() + b"\n" + record


def record_in(kept: bytes) -> bytes:
    """The record in what a reservation keeps beside the chain; those of 0.1.0 may have it alone."""
    return kept.rpartition(b"\n")[2]


def reason_in(kept: bytes) -> str:
    """The reason in what an entry keeps beside the chain, if it has one there; raises ValueError for what is none."""
    content = json.loads(kept.partition(b"\n")[0])
    return str(content.get("reason", "")) if isinstance(content, dict) else ""


def check_value_of(count: int, sha: str) -> str:
    """A check value as people note it down: how many entries, then the first digits of the last link in fours."""
    digits = sha[:CHECK_VALUE_DIGITS]
    return "-".join([str(count), *(digits[place : place + 4] for place in range(0, CHECK_VALUE_DIGITS, 4))])


def name_of(number: int, revision: int) -> str:
    """The pair of number and revision as file and folder names write it."""
    return f"{number:04}-{revision}"


def pair_of(name: str) -> tuple[int, int]:
    """Number and revision of a pack's name, such as 0042-1; raises CommandError for anything else."""
    number, dash, revision = name.strip().partition("-")
    if not (dash and number.isdecimal() and revision.isdecimal()):
        raise CommandError(f"{name} is no pack.", "Give number and revision, as in 0042-1.")
    return int(number), int(revision)


def link_of(entry: dict[str, Any]) -> str:
    """The hash of an entry's whole content, the link to the one before included."""
    return hashlib.sha256(json.dumps(entry, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
