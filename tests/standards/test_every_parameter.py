"""A formula given metres where ohms belong fails loudly, whichever of its parameters is the wrong one."""

import pytest
from proof.test_every_formula import EXACT, FORMULAS

from pipeline.facts.quantities import quantity
from pipeline.standards.formula import WrongUnitError

# kinds of quantity that the formulas know; a parameter is given one that is not its own
KINDS = ("m", "Ω", "A", "V", "s", "mm²", "°C", "kg")
EACH = [(name, parameter) for name in EXACT for parameter in FORMULAS[name].terms]


def given(name):
    """The arguments of a formula as its figures of proof have them, in the declared units."""
    relation, (arguments, _) = FORMULAS[name], EXACT[name]
    return {
        each: tuple(quantity(part, relation.terms[each].unit) for part in value)
        if isinstance(value, tuple)
        else quantity(value, relation.terms[each].unit)
        for each, value in arguments.items()
    }


def test_every_formula_has_its_parameters_tried():
    assert {name for name, _ in EACH} == set(FORMULAS)
    assert len(EACH) == sum(len(each.terms) for each in FORMULAS.values())


@pytest.mark.parametrize(("name", "parameter"), EACH)
def test_a_parameter_of_another_kind_is_refused_by_name(name, parameter):
    relation, unit = FORMULAS[name], FORMULAS[name].terms[parameter].unit
    own = quantity(1, unit)
    tried = 0
    for kind in KINDS:
        other = quantity(1, kind) if kind != "kg" else quantity(1, "kg")
        if other.is_compatible_with(own):
            continue
        tried += 1
        for wrong in (other, (other, other)) if isinstance(given(name)[parameter], tuple) else (other,):
            with pytest.raises(WrongUnitError, match=f"{relation.name}: {parameter} wants"):
                relation(**(given(name) | {parameter: wrong}))
    assert tried >= len(KINDS) - 1


@pytest.mark.parametrize(("name", "parameter"), EACH)
def test_a_bare_number_stands_for_no_quantity_with_a_unit(name, parameter):
    relation, value = FORMULAS[name], given(name)[parameter]
    if relation.terms[parameter].unit in ("", "%"):
        return
    bare = tuple(1.0 for _ in value) if isinstance(value, tuple) else 1.0
    with pytest.raises(WrongUnitError, match=parameter):
        relation(**(given(name) | {parameter: bare}))


@pytest.mark.parametrize("name", EXACT)
def test_the_same_quantities_in_other_units_give_the_same_result(name):
    """No result turns on whether a length came in metres or millimetres."""
    arguments = given(name)
    other = {
        each: tuple(part.to_base_units() for part in value) if isinstance(value, tuple) else value.to_base_units()
        for each, value in arguments.items()
    }
    expected = FORMULAS[name](**arguments).quantity
    assert FORMULAS[name](**other).quantity.magnitude == pytest.approx(expected.magnitude, rel=1e-9)
