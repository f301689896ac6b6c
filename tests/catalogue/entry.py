"""What an entry of the catalogue is: a change to a sound week, what it adds, and a change like it that adds nothing."""

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random
from typing import Any

from pipeline.facts.sheets import FIRST_ROW
from tests.catalogue.week import JOBS, LAST, at, base_rows, row_numbers

# what must become of the job that was spoilt
REFUSED, FAILS, QUERIED, NOTED, ACCEPTED = "refused", "fails", "queried", "noted", "accepted"
NOT_ON_TT = tuple(job for job in JOBS if job != "LN-103")
SEED = 20261124


@dataclass(frozen=True)
class Spot:
    """One row of a sheet that an entry spoils."""

    sheet: str
    number: int

    @property
    def row(self):
        """What was typed there; cells that a default fills are absent."""
        return base_rows()[self.sheet][self.number - FIRST_ROW]

    @property
    def job(self):
        """The job of the row."""
        return self.row.get("job", "")

    def at(self, attribute):
        """The address of a field in this row."""
        return at(self.sheet, attribute, self.number)


@dataclass(frozen=True)
class Typed:
    """A value with the format of its cell, or the letters of the XML themselves."""

    value: Any = None
    code: str | None = None
    font: str | None = None
    fill: str | None = None
    raw: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Entry:
    """One kind of spoilt workbook.

    `change` does it to the opened workbook at a spot; `adds` are the findings, `place rule verdict`, where the
    place is a column of the spoilt row, a column of another sheet in the same job, or a cell. `twins` are changes
    like it that are no trouble. `holds` names the jobs that are not made, where it is not the spoilt one alone.
    """

    name: str
    says: str
    sheet: str
    change: Callable[..., Any]
    verdict: str
    adds: tuple[str, ...] = ()
    twins: tuple[Callable[..., Any], ...] = ()
    jobs: tuple[str, ...] = JOBS
    rows: dict[str, Any] = field(default_factory=dict)
    holds: tuple[str, ...] | None = None
    in_some: dict[str, tuple[str, ...]] = field(default_factory=dict)
    photos: Callable[..., Any] | None = None

    def spots(self, count=3):
        """So many rows by the seed, the last job's among them and first."""
        numbers = [n for job in self.jobs for n in row_numbers(self.sheet, job, **self.rows)]
        numbers = numbers or row_numbers(self.sheet, **self.rows)
        last = [n for n in row_numbers(self.sheet, LAST, **self.rows) if n in numbers] or numbers[-1:]
        first = last[-1]
        others = [n for n in numbers if n != first]
        chance = Random(f"{SEED}{self.name}")  # noqa: S311 - a seed, not a secret
        chosen = chance.sample(others, min(count - 1, len(others)))
        return [Spot(self.sheet, number) for number in (first, *chosen)]


def typing(attribute, value):
    """A change that types into one column; a function gets what stood there."""

    def change(book, spot):
        type_into(book, spot, attribute, value)

    return change


def type_into(book, spot, attribute, value):
    """Type a value into a column of a row."""
    address = spot.at(attribute)
    given = value(spot.row.get(attribute)) if callable(value) else value
    if not isinstance(given, Typed):
        book.put(spot.sheet, address, given, book.style_of(spot.sheet, address))
        return
    style = book.style(book.style_of(spot.sheet, address), given.code, given.font, given.fill)
    book.put(spot.sheet, address, given.value, style, **given.raw)


def cells(name, says, column, values, verdict, adds=(), *, twin=(), **more):
    """An entry for each of several values of one column, all with the same outcome."""
    sheet, attribute = column.split(".")
    twins = tuple(typing(attribute, each) for each in twin)
    values = values if isinstance(values, list) else [values]
    return [
        Entry(
            f"{name}-{number}" if len(values) > 1 else name,
            says,
            sheet,
            typing(attribute, value),
            verdict,
            adds,
            twins if number == 1 else (),
            **more,
        )
        for number, value in enumerate(values, start=1)
    ]
