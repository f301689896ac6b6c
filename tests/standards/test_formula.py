"""A published relation: units are checked, the working is printed, mistakes in it fail early."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.facts.quantities import magnitude, quantity
from pipeline.standards.formula import WrongUnitError, figure, formula
from pipeline.standards.iec_60364_4_41_2005.clause_411 import largest_electrode_resistance, loop_impedance
from pipeline.standards.source import Reference, Source

HERE = Source("an invented document", "2026").at("clause 1")
OHM = quantity(0.24, "Ω")


def test_a_result_carries_its_working_and_its_source():
    worked = loop_impedance(z_e=OHM, r1_r2=(quantity(150, "mΩ"), quantity(0.1, "Ω")))
    assert worked.symbols == "Z_s = Z_e + Σ(R_1 + R_2)"
    assert worked.numbers == "0.24 Ω + 0.15 Ω + 0.1 Ω"
    assert worked.shown == "0.49 Ω"
    assert str(worked.reference) == "IEC 60364-4-41:2005+A1:2017, 411.4.4"


def test_figures_are_rounded_for_print_alone():
    worked = largest_electrode_resistance(u_l=quantity(50, "V"), i_dn=quantity(30, "mA"))
    assert worked.shown == "1667 Ω"
    assert magnitude(worked.quantity, "Ω") == pytest.approx(5000 / 3, rel=1e-12)


@pytest.mark.parametrize(
    ("given", "said"), [(quantity(14, "m"), "14 meter"), (14, "14"), (quantity(14, "V"), "14 volt")]
)
def test_a_wrong_unit_names_argument_wanted_and_given(given, said):
    with pytest.raises(WrongUnitError, match=f"loop_impedance: z_e wants Ω and was given {said}"):
        loop_impedance(z_e=given, r1_r2=(OHM,))


def test_a_wrong_unit_within_a_sum_fails_too():
    with pytest.raises(WrongUnitError, match="r1_r2 wants Ω"):
        loop_impedance(z_e=OHM, r1_r2=(OHM, quantity(1, "A")))


def test_a_forgotten_argument_fails():
    with pytest.raises(WrongUnitError, match="wants z_e, r1_r2 and was given z_e"):
        loop_impedance(z_e=OHM)


def test_a_bare_number_is_a_factor_only():
    @formula("{share} × {z}", HERE, result="Z [Ω]", share="s []", z="Z_s [Ω]")
    def part(share: float, z: float) -> float:
        return share * z

    assert part(share=0.8, z=OHM).numbers == "0.8 × 0.24 Ω"


@pytest.mark.parametrize("declared", ["Z_s", "Z_s Ω", "[Ω]"])
def test_a_declaration_without_symbol_and_unit_fails_at_import(declared):
    with pytest.raises(ValueError, match="is not a symbol followed by its unit"):
        formula("{z}", HERE, result="Z [Ω]", z=declared)


def test_an_unknown_unit_fails_at_import():
    with pytest.raises(KeyError):
        formula("{z}", HERE, result="Z [furlong]", z="Z_s [Ω]")


@pytest.mark.parametrize("text", ["{z} + {x}", "{other}"])
def test_a_text_that_names_other_arguments_fails_at_import(text):
    with pytest.raises(ValueError, match="name different arguments"):
        formula(text, HERE, result="Z [Ω]", z="Z_s [Ω]")(lambda z: z)


def test_a_function_with_other_arguments_fails_at_import():
    with pytest.raises(ValueError, match="name different arguments"):
        formula("{z}", HERE, result="Z [Ω]", z="Z_s [Ω]")(lambda y: y)


@pytest.mark.parametrize(
    ("number", "unit", "shown"),
    [
        (0, "Ω", "0 Ω"),
        (1366.67, "Ω", "1367 Ω"),
        (0.00012346, "Ω", "0.0001235 Ω"),
        (100, "", "100"),
        (-2.50001, "%", "-2.5 %"),
        (123456, "A", "123456 A"),
        (float("inf"), "A", "inf A"),
    ],
)
def test_a_figure_has_four_digits_and_no_idle_zeros(number, unit, shown):
    assert figure(number, unit) == shown


@settings(max_examples=50)
@given(st.floats(0.001, 9000))
def test_a_printed_figure_lies_within_its_rounding(number):
    assert float(figure(number, "Ω").split()[0]) == pytest.approx(number, rel=6e-4)


def test_a_reference_reads_as_people_cite_it():
    assert str(HERE) == "an invented document:2026, clause 1"
    assert str(Source("common practice", "").at("P = U I")) == "common practice, P = U I"
    assert str(Reference(Source("IEC 60364", ""), "")) == "IEC 60364"
