"""A reading as it comes off an instrument, and the one way in which a value becomes text."""

from datetime import date
from functools import lru_cache
from math import nan
from typing import Any

from pydantic import BaseModel, ConfigDict

from pipeline.facts.field import Field, Mark
from pipeline.facts.quantities import Quantity, magnitude


class Reading(BaseModel):
    """A measured value: a quantity, perhaps above or below a range, or the reason why there is none."""

    model_config = ConfigDict(frozen=True, arbitrary_types_allowed=True)

    typed: str
    mark: Mark | None = None
    quantity: Any = None
    reason: str = ""

    @property
    def measured(self) -> bool:
        """Whether there is a figure to judge (a value above or below a range counts)."""
        return self.quantity is not None


def number_read(reading: Reading | None, symbol: str) -> float:
    """The bare number of a reading in the printed unit; of one that is not there a number which no limit lets pass."""
    return nan if reading is None else magnitude(reading.quantity, symbol)


@lru_cache(4096)
def _digits(number: float, decimals: int) -> str:
    """The number with all its digits and at least `decimals` of them behind the point; never an exponent."""
    text = f"{number:.10f}".rstrip("0").rstrip(".")
    _, _, behind = text.partition(".")
    return f"{number:.{decimals}f}" if len(behind) < decimals else text


@lru_cache(4096)
def _day(value: date) -> str:
    """A day in words that no country reads otherwise."""
    return value.strftime("%d %b %Y")


def _reading(reading: Reading, field: Field) -> str:
    """A figure with its mark, or the reason why there is none."""
    if reading.mark is Mark.LIMITATION:
        return f"LIM: {reading.reason}" if reading.reason else "LIM"
    if reading.mark is Mark.NOT_APPLICABLE:
        return "N/A"
    return f"{reading.mark or ''}{_digits(magnitude(reading.quantity, field.unit), field.decimals)}"


def show(value: Any, field: Field) -> str:
    """Turn a field's value into the text that documents, messages and page check all use; absent is empty.

    The unit is not part of it: it stands in the heading or label of the field.
    """
    if value is None:
        return ""
    if isinstance(value, Quantity):
        return _digits(magnitude(value, field.unit), field.decimals)
    if isinstance(value, Reading):
        return _reading(value, field)
    if isinstance(value, date):
        return _day(value)
    if isinstance(value, frozenset):
        return ", ".join(sorted(str(item) for item in value))
    return str(value)
