"""What every row of the workbook has in common: typed cells, where each stood, and the fields behind them."""

from datetime import date
from enum import Enum, StrEnum
from functools import cache
from types import NoneType
from typing import TYPE_CHECKING, Any, Self, get_args, get_origin

import pint
from pydantic import BaseModel, ConfigDict

from pipeline.facts.field import Field, Place
from pipeline.facts.reading import Reading, show

if TYPE_CHECKING:
    Amount = pint.Quantity[Any]
else:  # pydantic tells instances by the plain class
    Amount = pint.Quantity


class Kind(Enum):
    """What a cell of a field holds, told from the type of the attribute."""

    TEXT = "text"
    INTEGER = "whole number"
    DATE = "date"
    AMOUNT = "number"
    READING = "reading"
    CHOICE = "one of a list"
    CHOICES = "several of a list"


class Row(BaseModel):
    """One row of a sheet; each attribute is a value or None, and what is None has its finding at its cell.

    `at` says where each cell stood, `typed` what stood in it, letter by letter.
    """

    model_config = ConfigDict(frozen=True, arbitrary_types_allowed=True)

    at: dict[str, Place] = {}
    typed: dict[str, str] = {}

    @classmethod
    @cache
    def fields(cls) -> dict[str, Field]:
        """The fields by attribute, in the order of the columns."""
        found: dict[str, Field] = {}
        for name, info in cls.model_fields.items():
            found.update((name, each) for each in info.metadata if isinstance(each, Field))
        return found

    @classmethod
    @cache
    def kind(cls, attribute: str) -> Kind:
        """What the cells of this attribute hold."""
        return _kind(_inner(cls.model_fields[attribute].annotation))

    @classmethod
    @cache
    def choices(cls, attribute: str) -> tuple[str, ...]:
        """The closed list of this attribute, empty where it has none."""
        inner = _inner(cls.model_fields[attribute].annotation)
        found = choice_type(inner)
        return tuple(str(each) for each in found) if found else ()

    @classmethod
    @cache
    def choice_type(cls, attribute: str) -> type[StrEnum] | None:
        """The enumeration behind a closed list."""
        return choice_type(_inner(cls.model_fields[attribute].annotation))

    def shown(self, attribute: str) -> str:
        """The value as every document and message prints it."""
        return show(getattr(self, attribute), self.fields()[attribute])

    def where(self, *attributes: str) -> tuple[Place, ...]:
        """The cells of these attributes, those of them that are known."""
        at = self.at
        return tuple([at[each] for each in attributes if each in at])

    def key(self) -> tuple[str, ...]:
        """The texts that together name this row in its sheet."""
        return tuple(self.shown(name) for name, field in self.fields().items() if field.key)

    def with_values(self, **values: Any) -> Self:
        """A copy with other values, for tests and what-if questions."""
        return self.model_copy(update=values)


def _inner(annotation: Any) -> Any:
    """The type behind `X | None`."""
    options = [each for each in get_args(annotation) if each is not NoneType]
    return options[0] if get_origin(annotation) is not frozenset and options else annotation


def choice_type(inner: Any) -> type[StrEnum] | None:
    """The enumeration in a choice or a set of choices."""
    item = get_args(inner)[0] if get_origin(inner) is frozenset else inner
    return item if isinstance(item, type) and issubclass(item, StrEnum) else None


def _kind(inner: Any) -> Kind:
    """The kind that a type stands for."""
    if choice_type(inner):
        return Kind.CHOICES if get_origin(inner) is frozenset else Kind.CHOICE
    simple = {str: Kind.TEXT, int: Kind.INTEGER, date: Kind.DATE, Reading: Kind.READING, Amount: Kind.AMOUNT}
    return simple[inner]
