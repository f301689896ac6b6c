"""Merged cells: which cells lie beneath one and so can hold nothing of their own."""

import re
from typing import NamedTuple

RANGE = re.compile(r"\$?([A-Z]+)\$?([0-9]+):\$?([A-Z]+)\$?([0-9]+)")


class Merged(NamedTuple):
    """One range of merged cells by rows and columns; its first cell alone holds a value."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int
    shown: str

    def hides(self, row: int, column: int) -> bool:
        """Whether a cell lies beneath the range without being its first."""
        inside = self.first_row <= row <= self.last_row and self.first_column <= column <= self.last_column
        return inside and (row, column) != (self.first_row, self.first_column)


def merged_of(ranges: tuple[str, ...]) -> tuple[Merged, ...]:
    """The ranges that say where they are."""
    found = (RANGE.fullmatch(each) for each in ranges)
    return tuple(Merged(int(m[2]), _number(m[1]), int(m[4]), _number(m[3]), m[0]) for m in found if m)


def _number(letters: str) -> int:
    """The number of a column."""
    number = 0
    for each in letters:
        number = number * 26 + ord(each) - 64
    return number
