"""Where a figure comes from: the document with its edition, and the place in it."""

from dataclasses import dataclass


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
        return f"{self.source}, {self.place}" if self.place else str(self.source)
