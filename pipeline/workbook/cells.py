"""What stood in the workbook, before anybody interprets it: plain frozen records and their JSON."""

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, NamedTuple, Self

Json = dict[str, Any]


class Content(StrEnum):
    """What kind of thing a cell holds."""

    TEXT = "text"
    NUMBER = "number"
    TRUTH = "true or false"
    DATE = "date or time"
    FORMULA = "formula"
    ERROR = "error value"


class Look(StrEnum):
    """What a cell's format does that its reader should know of."""

    BLANKED = "a number format that shows nothing"
    INVISIBLE = "letters in the colour of the paper"
    STRUCK = "its letters struck through"
    RED = "a mark in red"


class Cell(NamedTuple):
    """One filled cell; `text` is what was typed, letter by letter.

    A number has the digits that Excel shows, a date its ISO form, a formula its text with the last result in `cached`;
    a moment that no calendar knows stands as `serial …`.
    """

    content: Content
    text: str
    format: str = "General"
    looks: tuple[Look, ...] = ()
    cached: str = ""


Cells2D = dict[int, dict[int, Cell]]


@dataclass(frozen=True, slots=True)
class SheetCells:
    """The filled cells of one sheet by row and column (both from 1), and what lies over them."""

    title: str
    rows: Cells2D = field(default_factory=dict, repr=False)
    merged: tuple[str, ...] = ()
    comments: dict[str, str] = field(default_factory=dict)
    hidden: bool = False
    hidden_columns: tuple[tuple[int, int], ...] = ()
    hidden_rows: frozenset[int] = frozenset()

    def to_plain(self, table: dict[Cell, int]) -> Json:
        """As JSON values; equal cells are numbered once in `table`."""
        rows = [
            [number, list(row), [table.setdefault(cell, len(table)) for cell in row.values()]]
            for number, row in self.rows.items()
        ]
        return {
            "title": self.title,
            "rows": rows,
            "merged": self.merged,
            "comments": self.comments,
            "hidden": self.hidden,
            "hidden_columns": self.hidden_columns,
            "hidden_rows": sorted(self.hidden_rows),
        }

    @classmethod
    def from_plain(cls, plain: Json, table: list[Cell]) -> Self:
        """Back from JSON values."""
        return cls(
            title=plain["title"],
            rows={
                number: dict(zip(columns, (table[index] for index in indices), strict=True))
                for number, columns, indices in plain["rows"]
            },
            merged=tuple(plain["merged"]),
            comments=plain["comments"],
            hidden=plain["hidden"],
            hidden_columns=tuple((first, last) for first, last in plain["hidden_columns"]),
            hidden_rows=frozenset(plain["hidden_rows"]),
        )


@dataclass(frozen=True, slots=True)
class Cells:
    """A workbook as read: its name, the SHA-256 of its bytes, its sheets, and parts that are damaged but unused.

    `content` is the file itself at the moment of reading.
    """

    source: str
    sha256: str
    sheets: tuple[SheetCells, ...] = field(repr=False)
    damaged: tuple[str, ...] = ()
    content: bytes = field(default=b"", repr=False)

    def sheet(self, title: str) -> SheetCells | None:
        """The sheet of exactly that title."""
        return next((each for each in self.sheets if each.title == title), None)


def to_plain(sheets: list[SheetCells], damaged: list[str]) -> Json:
    """Sheets as JSON values, for the way out of the reading process."""
    table: dict[Cell, int] = {}
    plain = [sheet.to_plain(table) for sheet in sheets]
    return {"cells": list(table), "sheets": plain, "damaged": damaged}


def from_plain(plain: Json, source: str, sha256: str, content: bytes = b"") -> Cells:
    """The workbook from the JSON values that `to_plain` gave."""
    table = [
        Cell(Content(content), text, form, tuple(Look(look) for look in looks), cached)
        for content, text, form, looks, cached in plain["cells"]
    ]
    sheets = tuple(SheetCells.from_plain(each, table) for each in plain["sheets"])
    return Cells(source, sha256, sheets, tuple(plain["damaged"]), content)
