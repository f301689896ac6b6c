"""What a verification hands on: how far each pack is proved, what was found, and what may be sampled of it."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path

from pipeline.audit.faults import Fault
from pipeline.facts.record import Json


class Evidence(StrEnum):
    """How far a pack is proved; nothing below the first three is ever called proved."""

    REGISTER = "every byte, by the register"
    BAG = "every byte, by its bag alone"
    SIGNATURE = "every byte that the signature covers"
    ITSELF = "not proved unaltered: agrees with itself"
    NOTHING = "not proved: see what was found"


@dataclass(frozen=True, slots=True)
class Item:
    """A circuit of a pack that may be drawn for a visit to the site."""

    pack: str
    board: str
    circuit: str

    def __str__(self) -> str:
        """As it stands on lists, and as it is hashed for the draw."""
        return f"{self.pack} {self.board} / {self.circuit}"


@dataclass(frozen=True, slots=True)
class Essence:
    """What lists and risk picks need of a record."""

    job: str = ""
    tester: str = ""
    tested: str = ""
    released: str = ""
    outcome: str = ""
    edition: str = ""
    instruments: tuple[str, ...] = ()
    circuits: tuple[Item, ...] = ()
    digits: tuple[tuple[str, str], ...] = ()
    queries: int = 0


@dataclass(frozen=True, slots=True)
class Pack:
    """One pack that was examined; `where` is its path as given, `recheck` what judging it again gave."""

    name: str
    where: str
    sha256: str = ""
    evidence: Evidence = Evidence.NOTHING
    faults: tuple[Fault, ...] = ()
    notes: tuple[str, ...] = ()
    signed_by: tuple[str, ...] = ()
    recheck: str = ""
    check_value: str = ""
    essence: Essence = field(default_factory=Essence)


def by_name(packs: Iterable[Pack]) -> dict[str, list[Pack]]:
    """The files of each pack: one that was signed by key lies in the archive unsigned, too, and is one pack."""
    found: dict[str, list[Pack]] = {}
    for each in packs:
        found.setdefault(each.name, []).append(each)
    return found


@dataclass(frozen=True, slots=True)
class Verification:
    """All that came of verifying some paths; `seed` is what the sample is drawn by."""

    paths: tuple[Path, ...]
    full: bool
    packs: tuple[Pack, ...] = ()
    faults: tuple[Fault, ...] = ()
    notes: tuple[str, ...] = ()
    numbers: tuple[Json, ...] = ()
    bags: int = 0
    check_value: str = ""
    seed: str = ""
    word: str = ""
    sample: tuple[Item, ...] = ()
    risks: tuple[tuple[str, str], ...] = ()

    @property
    def unproved(self) -> tuple[Pack, ...]:
        """Packs whose bytes nothing outside themselves vouches for."""
        return tuple(each for each in self.packs if each.evidence in {Evidence.ITSELF, Evidence.NOTHING})
