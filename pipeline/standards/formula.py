"""A published relation as a function: units declared and checked, and the working printed with the result.

The text of a formula names its arguments in braces, so that symbols and figures are printed from the same line::

    @formula("{z_e} + {r1_r2}", CLAUSE, result="Z_s [Ω]", z_e="Z_e [Ω]", r1_r2="Σ(R_1 + R_2) [Ω]")
    def loop_impedance(z_e: float, r1_r2: float) -> float:
        return z_e + r1_r2

It is called with quantities by keyword, computes on bare numbers in the declared units, and gives a `Worked`.
"""

import inspect
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from string import Formatter
from typing import Any

import pint

from pipeline.facts.quantities import Quantity, magnitude, quantity, unit_of
from pipeline.standards.source import Reference

Amount = Any  # a pint quantity, or a tuple of them for a sum
SIGNIFICANT = 4
# decimals of a computed limit for print, and its digits below one: as tables of limits are printed, common practice
LIMIT_DECIMALS, LIMIT_DIGITS = 2, 3
# so many workings of a relation, and so many printed figures, are kept: one cable serves many points
KEPT = 4096


class WrongUnitError(TypeError):
    """A formula was given another kind of quantity than it declares: a mistake in the program, not in a job."""


@dataclass(frozen=True, slots=True)
class Term:
    """The symbol and the printed unit of an argument or result."""

    symbol: str
    unit: str

    @classmethod
    def parse(cls, declaration: str) -> "Term":
        """Read `Z_e [Ω]`; raises ValueError for another shape and KeyError for a unit that nobody knows."""
        symbol, bracket, unit = declaration.removesuffix("]").partition(" [")
        if not (symbol and bracket and declaration.endswith("]")):
            message = f"{declaration!r} is not a symbol followed by its unit in brackets"
            raise ValueError(message)
        unit_of(unit)
        return cls(symbol, unit)


@dataclass(frozen=True, slots=True)
class Worked:
    """A result with its working; the figures are rounded for print only, `quantity` is not."""

    quantity: Amount
    formula: "Formula"
    arguments: Mapping[str, Any]

    @property
    def symbols(self) -> str:
        """The relation in the standard's symbols, e.g. `Z_s = Z_e + Σ(R_1 + R_2)`."""
        return self.formula.symbols

    @property
    def numbers(self) -> str:
        """The same relation with figures and units, e.g. `0.24 Ω + 0.15 Ω`."""
        return self.formula.with_figures(tuple(self.arguments.values()))

    @property
    def shown(self) -> str:
        """The result as printed, e.g. `0.39 Ω`."""
        return figure(self.quantity.magnitude, self.formula.result.unit)

    @property
    def reference(self) -> Reference:
        """Where the relation is published."""
        return self.formula.reference


class Formula:
    """A published relation: `@formula(...)` makes one of a plain function on numbers."""

    def __init__(
        self, function: Callable[..., float], text: str, reference: Reference, result: Term, terms: dict[str, Term]
    ) -> None:
        """Compare declaration, text and function; raises ValueError where they name different arguments."""
        named = {name for _, name, _, _ in Formatter().parse(text) if name}
        if not named <= set(terms) or set(inspect.signature(function).parameters) != set(terms):
            message = f"{function.__name__}: text, declaration and function name different arguments"
            raise ValueError(message)
        self.__doc__ = function.__doc__
        self.name = function.__name__
        self.text = text
        self.reference = reference
        self.result = result
        self.terms = terms
        self._units = tuple((name, term.unit) for name, term in terms.items())
        self.symbols = f"{result.symbol} = {text.format(**{name: term.symbol for name, term in terms.items()})}"
        self._compute = function
        self._work = lru_cache(KEPT)(self._worked)
        self.with_figures = lru_cache(KEPT)(self._with_figures)

    def __call__(self, **arguments: Amount) -> Worked:
        """Work the relation out; raises WrongUnitError that names argument, wanted and given unit.

        ArithmeticError where figures of nought or beyond all measure have no result.
        """
        if arguments.keys() != self.terms.keys():
            message = f"{self.name} wants {', '.join(self.terms)} and was given {', '.join(arguments)}"
            raise WrongUnitError(message)
        return self._work(*[self._number(name, unit, arguments[name]) for name, unit in self._units])

    def _worked(self, *numbers: Any) -> Worked:
        """The working of bare numbers, in the order of the declaration."""
        named = dict(zip(self.terms, numbers, strict=True))
        try:
            result = self._compute(**named)
        except ValueError as trouble:
            message = f"{self.name} has no result with {named}"
            raise ArithmeticError(message) from trouble
        return Worked(quantity(result, self.result.unit), self, named)

    def _with_figures(self, numbers: tuple[Any, ...]) -> str:
        """The text with figures and units for the arguments; the parts of a sum stand one by one."""
        shown = {}
        for name, number in zip(self.terms, numbers, strict=True):
            parts = number if isinstance(number, tuple) else (number,)
            shown[name] = " + ".join(figure(part, self.terms[name].unit) for part in parts)
        return self.text.format(**shown)

    def _number(self, name: str, unit: str, amount: Amount) -> Any:
        """The bare number of an argument in its declared unit; a tuple stays one, a number counts as a factor."""
        if isinstance(amount, tuple):
            return tuple([self._number(name, unit, part) for part in amount])
        try:
            return in_unit(amount, unit)
        except pint.DimensionalityError:
            message = f"{self.name}: {name} wants {unit or 'a bare factor'} and was given {amount}"
            raise WrongUnitError(message) from None


def formula(text: str, reference: Reference, *, result: str, **terms: str) -> Callable[[Callable[..., float]], Formula]:
    """Declare a relation: its text, where it is published, and `symbol [unit]` of the result and each argument."""
    parsed = {name: Term.parse(each) for name, each in terms.items()}
    outcome = Term.parse(result)

    def declare(function: Callable[..., float]) -> Formula:
        return Formula(function, text, reference, outcome, parsed)

    return declare


def in_unit(amount: Amount, unit: str) -> float:
    """The bare number of a quantity in a printed unit; raises pint.DimensionalityError for another kind.

    A bare number counts as a factor without dimension.
    """
    if isinstance(amount, Quantity):
        return magnitude(amount, unit)
    return float(amount) if not unit else magnitude(Quantity(amount), unit)


@lru_cache(KEPT)
def figure(number: float, unit: str) -> str:
    """A number for print with its unit: four significant digits, no exponent, no idle zeros."""
    if number == 0 or not math.isfinite(number):
        digits = f"{number:g}"
    else:
        decimals = max(0, SIGNIFICANT - 1 - math.floor(math.log10(abs(number))))
        digits = f"{number:.{decimals}f}"
        digits = digits.rstrip("0").rstrip(".") if "." in digits else digits
    return f"{digits} {unit}".rstrip()


def upper_limit(number: float, unit: str, beside: float | None = None) -> str:
    """A computed limit that nothing may exceed, cut downwards: what is printed is never more than what holds.

    With more digits where a figure `beside` it, which holds, would stand above the cut limit.
    """
    return _cut(number, unit, math.floor, lambda printed: beside is None or beside <= printed or beside > number)


def lower_limit(number: float, unit: str, beside: float | None = None) -> str:
    """A computed limit that must be reached, raised: what is printed is never less than what is needed."""
    return _cut(number, unit, math.ceil, lambda printed: beside is None or beside >= printed or beside < number)


def _cut(number: float, unit: str, to_whole: Callable[[float], int], stands: Callable[[float], bool]) -> str:
    """A limit in as few digits as tables have, and with more where its neighbour would not stand beside it."""
    if number == 0 or not math.isfinite(number):
        return figure(number, unit)
    before = 1 + math.floor(math.log10(abs(number)))
    fewest = LIMIT_DIGITS - before if before < 1 else max(0, min(LIMIT_DECIMALS, SIGNIFICANT - before))
    for decimals in range(fewest, fewest + SIGNIFICANT):
        # rounded first, since binary fractions lie a hair off what they mean
        printed = to_whole(round(number * 10**decimals, 6)) / 10**decimals
        if stands(printed):
            return f"{printed:.10g} {unit}".rstrip()
    return figure(number, unit)
