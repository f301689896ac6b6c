"""Where a figure comes from: the document with its edition, and the place in it."""

from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class Source:
    """A published document in one edition, e.g. `Source("IEC 60228", "2004")`."""

    document: str
    edition: str

    def __str__(self) -> str:
        """As a reader would cite it."""
        return f"{self.document}:{self.edition}" if self.edition else self.document

    def at(self, place: str) -> "Reference":
        """A clause, table or annex of this document."""
        return Reference(self, place)


@dataclass(frozen=True, slots=True)
class Reference:
    """A clause, table or annex of a source."""

    source: Source
    place: str

    def __str__(self) -> str:
        """As the calculation record prints it."""
        return _cited(self)


@lru_cache(4096)
def _cited(reference: Reference) -> str:
    """A reference in words, kept, since every limit prints one."""
    return f"{reference.source}, {reference.place}" if reference.place else str(reference.source)
