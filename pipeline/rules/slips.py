"""Two figures that cannot be true together: by how much they differ, and which slips would explain it."""

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.facts.job import Job
from pipeline.facts.reading import Reading
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import margin, meets
from pipeline.standards.formula import figure

# a figure typed in another unit, or with its point moved, is off by such a factor; within so much: common practice
FACTORS = {
    1000.0: "typed in thousandths of the unit",
    100.0: "its point moved by two places",
    10.0: "its point moved by one place",
    0.1: "its point moved by one place",
    0.01: "its point moved by two places",
    0.001: "typed in thousands of the unit",
}
FACTOR_SHARE = 0.3
COLUMNS = ("r1_r2", "r2", "zs", "rcd_time", "rcd_time_180")


@dataclass(frozen=True, slots=True)
class Pair:
    """What was entered and what follows from other figures, in the same unit; `length` in metres decides the latter."""

    what: str
    entered: float
    by_what: str
    follows: float
    unit: str
    length: float | None = None

    @property
    def said(self) -> str:
        """Both figures, and by how much the first is off."""
        both = f"{self.what} {figure(self.entered, self.unit)}, {self.by_what} {figure(self.follows, self.unit)}"
        off = margin(self.entered, self.follows)
        if not off:
            return both
        return f"{both}: {figure(abs(off), '%')} {'lower' if off > 0 else 'higher'}"

    def slips(self) -> Iterator[str]:
        """What may have been typed wrong."""
        if self.entered <= 0 or self.follows <= 0:
            return
        ratio = self.entered / self.follows
        yield from (told for factor, told in FACTORS.items() if meets(abs(ratio / factor - 1), FACTOR_SHARE))
        if self.length is not None:
            fits = figure(self.length * ratio, "m")
            yield f"a wrong length ({fits} would fit, {figure(self.length, 'm')} is entered)"


def copied(job: Job, row: CircuitReadings, attribute: str) -> Iterator[str]:
    """Where else the same figure stands: in the row above, or in another column of this row."""
    value = getattr(row, attribute)
    if not _plain(value):
        return
    above = _above(job, row)
    if above is not None and _plain(getattr(above, attribute)) and above.shown(attribute) == row.shown(attribute):
        yield "copied from the row above"
    for other in COLUMNS:
        same = other != attribute and row.fields()[other].unit == row.fields()[attribute].unit
        if same and _plain(getattr(row, other)) and row.shown(other) == row.shown(attribute):
            yield f"the same figure as {row.fields()[other].title}"


def _above(job: Job, row: CircuitReadings) -> CircuitReadings | None:
    """The row of readings before this one; none before the first."""
    place = next((index for index, each in enumerate(job.readings) if each is row), 0)
    return job.readings[place - 1] if place else None


def _plain(value: object) -> bool:
    """Whether a reading is a figure within the range of its instrument."""
    return isinstance(value, Reading) and value.measured and value.mark is None


def advice(slips: Iterator[str], otherwise: str) -> str:
    """A remedy that begins with the likely slips."""
    told = list(dict.fromkeys(slips))
    return f"Likely: {'; '.join(told)}. {otherwise}" if told else otherwise
