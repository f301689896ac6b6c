"""A reading as it comes off an instrument, and the one way in which a value becomes text."""

from datetime import date
from enum import StrEnum
from typing import Any

from pydantic import BaseModel, ConfigDict

from pipeline.facts.field import Field, Mark
from pipeline.facts.quantities import magnitude


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


def _digits(number: float, decimals: int) -> str:
    """The number with all its digits and at least `decimals` of them behind the point; never an exponent."""
    text = f"{number:.10f}".rstrip("0").rstrip(".")
    _, _, behind = text.partition(".")
    return f"{number:.{decimals}f}" if len(behind) < decimals else text


def show(value: Any, field: Field) -> str:  # noqa: PLR0911 - one return a kind reads best
    """Turn a field's value into the text that documents, messages and page check all use; absent is empty.

    The unit is not part of it: it stands in the heading or label of the field.
    """
    match value:
        case None:
            return ""
        case Reading(mark=Mark.LIMITATION, reason=reason):
            return f"LIM: {reason}" if reason else "LIM"
        case Reading(mark=Mark.NOT_APPLICABLE):
            return "N/A"
        case Reading(mark=mark, quantity=amount):
            return f"{mark or ''}{_digits(magnitude(amount, field.unit), field.decimals)}"
        case date():
            return value.strftime("%d %b %Y")
        case StrEnum() | str():
            return str(value)
        case frozenset():
            return ", ".join(sorted(str(item) for item in value))
        case int():
            return str(value)
        case _:
            return _digits(magnitude(value, field.unit), field.decimals)
