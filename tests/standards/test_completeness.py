"""Every formula of the package is documented, cited and works; every document says what it holds."""

from importlib import import_module
from pkgutil import walk_packages

import pytest

import pipeline.standards as package
from pipeline.facts.quantities import quantity
from pipeline.standards.formula import Formula, WrongUnitError
from pipeline.standards.table import FOLDER

MODULES = [import_module(each.name) for each in walk_packages(package.__path__, "pipeline.standards.")]
FORMULAS = {
    f"{module.__name__.removeprefix('pipeline.standards.')}.{name}": value
    for module in MODULES
    for name, value in vars(module).items()
    if isinstance(value, Formula)
}


def test_formulas_are_found():
    assert len(FORMULAS) > 20


@pytest.mark.parametrize("name", FORMULAS)
def test_every_formula_says_what_it_gives_and_where_it_is_published(name):
    formula = FORMULAS[name]
    assert formula.__doc__
    assert formula.reference.place
    assert formula.reference.source.document
    assert formula.result.symbol in formula.symbols
    for term in formula.terms.values():
        assert term.symbol in formula.symbols


@pytest.mark.parametrize("name", FORMULAS)
def test_every_formula_refuses_a_mass(name):
    formula = FORMULAS[name]
    with pytest.raises(WrongUnitError):
        formula(**dict.fromkeys(formula.terms, quantity(1, "kg")))


def test_every_folder_carries_its_edition_and_says_what_it_is():
    for folder in (each for each in FOLDER.iterdir() if each.is_dir() and each.name != "__pycache__"):
        assert folder.name == "common_practice" or any(digit.isdigit() for digit in folder.name)
        assert import_module(f"pipeline.standards.{folder.name}").__doc__
