"""A relation as printed, worked out again with nothing but what stands on the page."""

import re
from math import log, pi, sqrt

from pipeline.facts.quantities import UNITS, quantity

# longest first, so that mm² is not read as m
UNIT = "|".join(re.escape(each) for each in sorted(filter(None, UNITS), key=len, reverse=True))
NUMBER = re.compile(rf"(?<![\w.])([<>]?)(-?\d+(?:\.\d+)?)(?: ({UNIT})(?![\w²·/]))?")
SIGNS = {"×": "*", "−": "-", "√": "sqrt", "²": "**2", "π": "*pi", "|": "abs"}
NAMES = {"sqrt": sqrt, "min": min, "max": max, "ln": log, "pi": pi, "abs": abs, "__builtins__": {}}
PARTS = re.compile(r"; |, (?![^(]*\))")
ORDER = re.compile(r" ([≤≥]) ")
PLAIN = re.compile(r"[\d.e+\-*/(), ]|sqrt|min|max|ln|pi|abs")


def number(text):
    """What a printed side comes to in base units, or None where it is not made of figures alone."""
    text = re.sub(r"\|([^|]*)\|", r"abs(\1)", text)
    text = re.sub(r"(\d)π", r"\1*pi", text)
    text = NUMBER.sub(lambda found: _base(found[2], found[3] or ""), text)
    for sign, word in SIGNS.items():
        text = text.replace(sign, word)
    if PLAIN.sub("", text).strip():
        return None
    try:
        return float(eval(text, NAMES))  # noqa: S307 - figures and signs alone are left
    except (SyntaxError, TypeError, ZeroDivisionError):
        return None


def _base(figure, unit):
    """A figure with its unit as a bare number in base units."""
    return repr(float(quantity(float(figure), unit).to_base_units().magnitude))


def broken(text):
    """The parts of a printed working, parted by semicolons, in which a greater side is called the smaller."""
    return [part for part in PARTS.split(text) if not _holds(part)]


def _holds(part):
    """Whether each pair of sides stands as the sign between them says; the last of equal expressions is the side."""
    pieces = ORDER.split(part)
    sides = [(number(each.split(" = ")[-1]), number(each.split(" = ")[0])) for each in pieces[::2]]
    for sign, (left, _), (_, right) in zip(pieces[1::2], sides, sides[1:], strict=False):
        if left is None or right is None:
            continue
        if (left > right * (1 + 1e-9)) if sign == "≤" else (right > left * (1 + 1e-9)):
            return False
    return True
