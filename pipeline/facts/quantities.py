"""The one unit registry, and the units that a column may be in.

Units are matched by their exact letters, never by folded case: mΩ and MΩ are a factor of 10⁹ apart.
"""

from functools import cache, lru_cache
from typing import Any

import pint

REGISTRY: pint.UnitRegistry[Any] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
Quantity = REGISTRY.Quantity

# column unit as printed → the registry's name for it
UNITS: dict[str, str] = {
    "": "dimensionless",
    "V": "volt",
    "A": "ampere",
    "mA": "milliampere",
    "kA": "kiloampere",
    "Ω": "ohm",
    "mΩ": "milliohm",
    "kΩ": "kiloohm",
    "MΩ": "megaohm",
    "mm": "millimeter",
    "mm²": "millimeter ** 2",
    "m": "meter",
    "cm": "centimeter",
    "ms": "millisecond",
    "s": "second",
    "min": "minute",
    "W": "watt",
    "kW": "kilowatt",
    "kVA": "kilovolt * ampere",
    "Hz": "hertz",
    "°C": "degree_Celsius",
    "%": "percent",
    "N·m": "newton * meter",
    "Ω·m": "ohm * meter",
    "kg": "kilogram",
    "mV/A/m": "millivolt / ampere / meter",
    "mΩ/m": "milliohm / meter",
    "Ω/km": "ohm / kilometer",
    "Ω·mm²/m": "ohm * millimeter ** 2 / meter",
    "K": "kelvin",
    "K·m/W": "kelvin * meter / watt",
    "J/K·mm³": "joule / kelvin / millimeter ** 3",
    "A²·s": "ampere ** 2 * second",
    "A·√s/mm²": "ampere * second ** 0.5 / millimeter ** 2",
}


@cache
def unit_of(symbol: str) -> pint.Unit:
    """The registry's unit for a printed unit; raises KeyError for one that no column uses."""
    return REGISTRY.Unit(UNITS[symbol])


@lru_cache(8192, typed=True)
def quantity(value: float, symbol: str) -> Any:
    """A quantity in the unit of its column; kept, since the same few hundred figures come back all the time."""
    return Quantity(value, unit_of(symbol))


def magnitude(amount: Any, symbol: str) -> float:
    """The bare number of a quantity in the printed unit; raises pint.DimensionalityError when it has another kind."""
    units = amount._units  # noqa: SLF001 - the registry's own key, which quantities of one column share
    if units is _key(symbol):
        return float(amount._magnitude)  # noqa: SLF001 - asked for some hundred thousand times
    scale = _scale(units, symbol)
    return float(amount.magnitude * scale) if scale else float(amount.m_as(unit_of(symbol)))


@cache
def _key(symbol: str) -> Any:
    """What the registry knows a printed unit by."""
    return unit_of(symbol)._units  # noqa: SLF001 - as above


@cache
def _scale(given: Any, symbol: str) -> float:
    """What a number is multiplied with between two units, or 0 for temperatures, which also shift.

    Kept, because asking the registry anew for each of some hundred thousand look-ups is slow.
    """
    source, wanted = REGISTRY.Unit(given), unit_of(symbol)
    if source == wanted:
        return 1.0
    if wanted == unit_of("°C"):
        return 0.0
    return float(Quantity(1.0, source).m_as(wanted))
