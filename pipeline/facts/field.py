"""A field: the single definition from which workbook, reader, messages and documents take what they need."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Needed(StrEnum):
    """From which state of a job on a blank cell is a finding."""

    NEVER = "never"
    DESIGN = "design"
    TEST = "test"


class Mark(StrEnum):
    """What besides a plain number a reading may be."""

    ABOVE = ">"
    BELOW = "<"
    LIMITATION = "LIM"
    NOT_APPLICABLE = "N/A"


@dataclass(frozen=True, slots=True)
class Field:
    """One column of the workbook and every use that is made of it.

    `title` and `unit` make the heading; `usual` is the range outside which a value is queried and `hard`
    the one outside which it is impossible, both in `unit`; `refers` names the sheet whose key the cell
    must hold, and `able` the functions or roles of which the row there should have one; `key` marks the cells that
    together name the row; `defaults` lets the Defaults sheet fill a blank.
    """

    title: str
    unit: str = ""
    note: str = ""
    usual: tuple[float, float] | None = None
    hard: tuple[float, float] | None = None
    allows: frozenset[Mark] = frozenset()
    needed: Needed = Needed.NEVER
    refers: str = ""
    able: frozenset[str] = frozenset()
    key: bool = False
    private: bool = False
    defaults: bool = False
    decimals: int = 0
    example: str | float = ""

    @property
    def heading(self) -> str:
        """The column's heading in the workbook, with the unit where there is one."""
        return f"{self.title} ({self.unit})" if self.unit else self.title


# how a reading comes off an instrument: within range, over or under range, limited, not applicable
ANY_MARK = frozenset(Mark)
LIMITED = frozenset({Mark.LIMITATION, Mark.NOT_APPLICABLE})
OVER = LIMITED | {Mark.ABOVE}
UNDER = LIMITED | {Mark.BELOW}


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a value was typed, in the reader's letters; an empty cell means the whole sheet."""

    sheet: str
    cell: str = ""

    def __str__(self) -> str:
        """As people write it: Circuits F17."""
        return f"{self.sheet} {self.cell}".rstrip()


Places = Mapping[str, Place]
