"""Units that people type behind a figure: the column's own, or one that converts into it without doubt."""

import unicodedata
from itertools import product

from pint.errors import DimensionalityError

from pipeline.facts.quantities import REGISTRY, UNITS, unit_of

# how people spell units → the printed unit; milli and mega are never folded: mΩ and MΩ are a factor of 10⁹ apart
_WORDS: dict[str, str] = {
    "Ω": "R",
    "mm²": "mm2, mm^2, mm sq, mmsq, mm.sq, sqmm, sq mm, sq.mm, sq. mm",
    "mm": "millimetre, millimetres, millimeter, millimeters",
    "cm": "centimetre, centimetres, centimeter, centimeters",
    "m": "metre, metres, meter, meters, mtr, mtrs, m.",
    "N·m": "Nm, N.m, N m, N-m, N*m, newton metre, newton metres, newton-metres",
    "°C": "C, °, deg C, degC, deg. C, degrees C, degrees, ºC, ° C, °c, Celsius",
    "A": "amp, amps, ampere, amperes",
    "mA": "milliamp, milliamps, mAmp, mAmps",
    "V": "volt, volts",
    "kV": "kilovolt, kilovolts",
    "W": "watt, watts",
    "kW": "kilowatt, kilowatts",
    "min": "mins, minute, minutes, min.",
    "s": "sec, secs, second, seconds, s.",
    "ms": "msec, msecs, millisecond, milliseconds",
    "Hz": "hertz, c/s",
    "%": "per cent, percent, pct",
    "kg": "kilogram, kilograms, kgs, kilo, kilos",
}
_SPOKEN = {"milli": "m", "kilo": "k", "kil": "k", "mega": "M", "meg": "M", "giga": "G", "gig": "G"}
SPELLINGS: dict[str, str] = {
    **{word: unit for unit, words in _WORDS.items() for word in words.split(", ")},
    **{f"{prefix}{ohm}": f"{prefix}Ω" for prefix, ohm in product(("", "k", "M", "G"), ("ohm", "ohms", "Ohm", "Ohms"))},
    # not 'mohm': in small letters alone it may stand for either
    "mOhm": "mΩ",
    "mOhms": "mΩ",
    **{f"{spoken}{ohm}": f"{unit}Ω" for (spoken, unit), ohm in product(_SPOKEN.items(), ("ohm", "ohms"))},
}
# units that no column has but instruments show
MORE: dict[str, str] = {"GΩ": "gigaohm", "TΩ": "teraohm", "kV": "kilovolt", "µA": "microampere", "km": "kilometer"}
SIGNIFICANT = 12
MILLI_OR_MEGA = "mM"


def known_unit(typed: str) -> str | None:
    """The printed unit that was typed, or None; large for small letters only where no other unit could be meant."""
    # a composed form also turns the ohm, kelvin and one-letter degree signs into plain letters
    text = unicodedata.normalize("NFC", typed).replace("\u2103", "°C").replace("\u03bc", "µ")
    found = _exact(text)
    if found is None and not text.startswith(tuple(MILLI_OR_MEGA)):
        alike = {_exact(each) for each in (*UNITS, *MORE, *SPELLINGS) if each.casefold() == text.casefold()}
        found = alike.pop() if len(alike) == 1 else None
    return found


def _exact(text: str) -> str | None:
    """The printed unit of exactly these letters."""
    text = SPELLINGS.get(text, text)
    return text if text and (text in UNITS or text in MORE) else None


def converted(number: float, typed: str, column: str) -> float | None:
    """The number in the column's unit; None where the two units measure different things."""
    if (typed, column) == ("mm", "mm²"):
        return number  # said on every site of the cross-section
    source = unit_of(typed) if typed in UNITS else REGISTRY.Unit(MORE[typed])
    try:
        result = REGISTRY.Quantity(number, source).m_as(unit_of(column))
    except DimensionalityError:
        return None
    return float(f"{result:.{SIGNIFICANT}g}")
