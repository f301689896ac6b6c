"""Units that people type behind a figure: the column's own, or one that converts into it without doubt."""

import unicodedata

from pint.errors import DimensionalityError

from pipeline.facts.quantities import REGISTRY, UNITS, unit_of

# other spellings of the printed units; case is never folded: mΩ and MΩ are a factor of 10⁹ apart
SPELLINGS: dict[str, str] = {
    "ohm": "Ω",
    "ohms": "Ω",
    "Ohm": "Ω",
    "Ohms": "Ω",
    "R": "Ω",
    "mm2": "mm²",
    "Nm": "N·m",
    "N.m": "N·m",
    "N m": "N·m",
    "C": "°C",
    "amp": "A",
    "amps": "A",
    "volt": "V",
    "volts": "V",
    "metre": "m",
    "metres": "m",
    "mins": "min",
    "minutes": "min",
    "sec": "s",
    "per cent": "%",
}
# units that no column has but instruments show
MORE: dict[str, str] = {"GΩ": "gigaohm", "TΩ": "teraohm", "kV": "kilovolt", "µA": "microampere", "km": "kilometer"}
SIGNIFICANT = 12


def known_unit(typed: str) -> str | None:
    """The printed unit that was typed, or None."""
    text = unicodedata.normalize("NFC", typed)
    text = SPELLINGS.get(text, text)
    return text if text in UNITS or text in MORE else None


def converted(number: float, typed: str, column: str) -> float | None:
    """The number in the column's unit; None where the two units measure different things."""
    source = unit_of(typed) if typed in UNITS else REGISTRY.Unit(MORE[typed])
    try:
        result = REGISTRY.Quantity(number, source).m_as(unit_of(column))
    except DimensionalityError:
        return None
    return float(f"{result:.{SIGNIFICANT}g}")
