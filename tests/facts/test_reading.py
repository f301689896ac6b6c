"""A value becomes text in one way: all its digits, its sign, at least the usual decimals, never an exponent."""

from datetime import date

import pytest

from pipeline.facts.choices import Function
from pipeline.facts.field import Field, Mark
from pipeline.facts.quantities import quantity
from pipeline.facts.reading import Reading, show

ZS = Field("Zs", "Ω", decimals=2)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.62, "0.62"),
        (1.4, "1.40"),
        (0.625, "0.625"),
        (0.1 + 0.2, "0.30"),
        (0, "0.00"),
        (0.000012, "0.000012"),
        (1e6, "1000000.00"),
    ],
)
def test_a_reading_keeps_its_digits_and_its_usual_decimals(value, text):
    assert show(Reading(typed=str(value), quantity=quantity(value, "Ω")), ZS) == text


@pytest.mark.parametrize(("mark", "text"), [(Mark.ABOVE, ">999.00"), (Mark.BELOW, "<999.00")])
def test_a_sign_stays_with_its_figure(mark, text):
    assert show(Reading(typed="", mark=mark, quantity=quantity(999, "Ω")), ZS) == text


def test_a_limitation_prints_its_reason():
    assert show(Reading(typed="LIM", mark=Mark.LIMITATION, reason="no access"), ZS) == "LIM: no access"


def test_a_reading_in_another_unit_prints_in_the_unit_of_its_column():
    assert show(Reading(typed="350 mΩ", quantity=quantity(350, "mΩ")), ZS) == "0.35"


@pytest.mark.parametrize(
    ("value", "field", "text"),
    [
        (None, ZS, ""),
        (date(2026, 3, 4), Field("Day"), "04 Mar 2026"),
        (3, Field("Count"), "3"),
        ("O'Brien & Co <x>", Field("Client"), "O'Brien & Co <x>"),
        (frozenset({Function.RCD, Function.CONTINUITY}), Field("Functions"), "RCD, continuity"),
        (quantity(14, "m"), Field("Length", "m"), "14"),
    ],
)
def test_every_kind_of_value_has_its_text(value, field, text):
    assert show(value, field) == text
