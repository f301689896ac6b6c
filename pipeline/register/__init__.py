"""Numbers and what became of them: an insert-only register whose every entry proves all before it."""

from pipeline.register.book import Register
from pipeline.register.entries import (
    CHECK_VALUE_DIGITS,
    FIRST_LINK,
    RELEASED,
    STANDING,
    STATES,
    Head,
    Kind,
    Reservation,
    Standing,
    Wish,
    check_value_of,
    name_of,
    pair_of,
)

__all__ = (
    "CHECK_VALUE_DIGITS",
    "FIRST_LINK",
    "RELEASED",
    "STANDING",
    "STATES",
    "Head",
    "Kind",
    "Register",
    "Reservation",
    "Standing",
    "Wish",
    "check_value_of",
    "name_of",
    "pair_of",
)
