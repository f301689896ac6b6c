"""The edition of a family of rules that a job is judged by: chosen by its design date, named on its record."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache, cached_property
from typing import Any

from pipeline.editions.book import Book, open_book
from pipeline.editions.cables import Cables
from pipeline.editions.drops import Drops
from pipeline.editions.earthing import Earthing
from pipeline.editions.protection import Protection
from pipeline.editions.testing import Charging, Testing
from pipeline.facts.choices import RuleFamily

# in the order in which they came into force; a job's design date falls into one of its family at most
IDENTITIES = ("uk_2018_a2", "uk_2018_a4", "iec")


@dataclass(frozen=True, slots=True)
class Correction:
    """A patch of an edition in use: its number, when and why, the files, the rules whose findings it may change.

    `replaces` has, by edition, the fingerprint from before the patch: a record that names it was judged without.
    """

    number: int
    date: date
    reason: str
    files: tuple[str, ...]
    rules: tuple[str, ...]
    replaces: Mapping[str, str]


@dataclass(frozen=True)
class Edition:
    """One edition with the roles it fills; rules know roles and no document."""

    id: str
    family: RuleFamily
    title: str
    document: str
    amendment: str
    valid_from: date
    valid_to: date | None
    statement: str
    sha256: str
    book: Book
    corrections: tuple[Correction, ...] = ()

    @cached_property
    def cables(self) -> Cables:
        """Capacity, factors, resistance."""
        return Cables(self.book)

    @cached_property
    def drops(self) -> Drops:
        """Voltage drop."""
        return Drops(self.book)

    @cached_property
    def protection(self) -> Protection:
        """Disconnection, loop limits, residual current devices."""
        return Protection(self.book)

    @cached_property
    def earthing(self) -> Earthing:
        """Protective, earthing and bonding conductors."""
        return Earthing(self.book)

    @cached_property
    def testing(self) -> Testing:
        """Limits of readings."""
        return Testing(self.book)

    @cached_property
    def charging(self) -> Charging:
        """What charge points add."""
        return Charging(self.book)

    def cite(self, reference: str) -> str:
        """The clauses of a rule as this edition cites them."""
        return self.book.cite(reference)

    def covers(self, day: date) -> bool:
        """Whether a design of that day is judged by this edition."""
        return self.valid_from <= day and (self.valid_to is None or day <= self.valid_to)

    def as_json(self) -> dict[str, Any]:
        """What the record keeps of it."""
        return {
            "id": self.id,
            "family": str(self.family),
            "title": self.title,
            "document": f"{self.document}+{self.amendment}" if self.amendment else self.document,
            "valid_from": self.valid_from.isoformat(),
            "valid_to": self.valid_to.isoformat() if self.valid_to else "",
            "statement": self.statement,
            "sha256": self.sha256,
        }


@cache
def edition(identity: str) -> Edition:
    """The edition of that name; KeyError for one that is not known."""
    if identity not in IDENTITIES:
        raise KeyError(identity)
    book = open_book(identity)
    known = book.content
    return Edition(
        id=identity,
        family=RuleFamily(known["family"]),
        title=known["title"],
        document=known["document"],
        amendment=known["amendment"],
        valid_from=known["valid_from"],
        valid_to=known.get("valid_to"),
        statement=" ".join(known["statement"].split()),
        sha256=book.sha256(),
        book=book,
        corrections=tuple(_correction(each) for each in known["corrections"]),
    )


def _correction(entry: Mapping[str, Any]) -> Correction:
    """A correction from its entry in the edition's file."""
    return Correction(
        entry["number"], entry["date"], entry["reason"], tuple(entry["files"]), tuple(entry["rules"]), entry["replaces"]
    )


def choose(family: RuleFamily, design_date: date) -> Edition | None:
    """The edition of a family that a design of that date is judged by, or None where none covers it.

    Where two overlap in law, each day still belongs to one here: the older until the last day it may be used.
    """
    candidates = (edition(each) for each in IDENTITIES)
    return next((each for each in candidates if each.family is family and each.covers(design_date)), None)
