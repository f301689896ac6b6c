"""Every formula to nine digits on figures that a person can follow, so that no factor is off by a thousandth."""

from importlib import import_module
from math import e, log, pi, sqrt
from pkgutil import walk_packages

import pytest

import pipeline.standards as package
from pipeline.facts.quantities import quantity
from pipeline.standards.formula import Formula

MODULES = [import_module(each.name) for each in walk_packages(package.__path__, "pipeline.standards.")]
FORMULAS = {
    f"{module.__name__.split('.')[-2]}.{name}": value
    for module in MODULES
    for name, value in vars(module).items()
    if isinstance(value, Formula)
}
# own arithmetic: the arguments in the printed units of the formula, and its result in its own
EXACT = {
    # ρ / (2π L) = 1 Ω and 8 L / d = e², so that 2 − 1 is left
    "bs_7430_2011.rod_resistance": ({"rho": 4 * pi, "length": 2, "diameter": 16000 / e**2}, 1.0),
    "bs_7671_2018_a2.voltage_drop": ({"per_metre": 10, "current": 20, "length": 30}, 6.0),
    "bs_7671_2018_a2.line_voltage": ({"u_0": 100}, 100 * sqrt(3)),
    "common_practice.resistance_factor": ({"theta": 45}, 1.1),
    "common_practice.current_of_power": ({"power": 6.9, "phases": 3, "u_0": 230}, 10.0),
    "common_practice.three_phase_by_neutral": ({"current": 3}, 6.0),
    "common_practice.three_phase_by_lines": ({"current": 2}, 2.31),
    "iec_60228_2004.conductor_resistance": ({"r": 2, "length": 50}, 0.1),
    "iec_60228_2004.pair_resistance": ({"r_1": 2, "r_2": 3, "length": 50}, 0.25),
    "iec_60228_2004.warm_pair_resistance": ({"r_1": 2, "f_1": 1.1, "r_2": 3, "f_2": 1.2, "length": 50}, 0.29),
    "iec_60228_2004.resistance_factor": ({"theta": 147.25}, 1.5),
    "iec_60364_4_41_2005.loop_impedance": ({"z_e": 0.1, "r1_r2": (0.2, 0.3)}, 0.6),
    "iec_60364_4_41_2005.neutral_loop_impedance": ({"z_0": 0.1, "r1_rn": (0.2, 0.4)}, 0.7),
    "iec_60364_4_41_2005.largest_loop_impedance": ({"c_min": 0.95, "u_0": 200, "i_a": 100}, 1.9),
    "iec_60364_4_41_2005.disconnecting_current": ({"c_min": 0.95, "u_0": 200, "z": 1.9}, 100.0),
    "iec_60898_1_2015.instantaneous_current": ({"multiple": 5, "i_n": 32}, 160.0),
    "iec_60364_4_41_2005.fault_current": ({"u_0": 230, "z_s": 0.5}, 460.0),
    "iec_60364_4_41_2005.smallest_short_circuit": ({"c_min": 0.95, "u_0": 200, "z_ln": 0.5}, 380.0),
    "iec_60364_4_41_2005.residual_disconnecting_current": ({"multiple": 5, "i_dn": 30}, 0.15),
    "iec_60364_4_41_2005.largest_electrode_resistance": ({"u_l": 50, "i_dn": 100}, 500.0),
    "iec_60364_4_41_2005.largest_residual_rating": ({"u_l": 50, "r_a": 200}, 250.0),
    "iec_60364_4_41_2005.touch_voltage": ({"r_a": 200, "i_dn": 250}, 50.0),
    "iec_60364_4_43_2008.smallest_area": ({"current": 115, "time": 4, "k": 230}, 1.0),
    "iec_60364_4_43_2008.area_for_energy": ({"energy": 52900, "k": 115}, 2.0),
    "iec_60364_4_43_2008.withstand_current": ({"k": 115, "area": 2, "time": 4}, 115.0),
    "iec_60364_5_52_2009.effective_impedance": (
        {"rho": 0.02, "area": 5, "cosine": 0.8, "reactance": 0.1, "sine": 0.6},
        3.26,
    ),
    "iec_60364_5_52_2009.voltage_drop": ({"b": 2, "z": 5, "length": 20, "current": 10}, 2.0),
    "iec_60364_5_52_2009.voltage_drop_share": ({"drop": 5, "voltage": 200}, 2.5),
    "iec_60364_5_52_2009.long_run_limit": ({"limit": 5, "per_metre": 0.005, "length": 150, "free": 100}, 5.25),
    "iec_60364_5_52_2009.effective_capacity": (
        {"i_t": 100, "c_a": 0.9, "c_g": 0.8, "c_i": 0.7, "c_c": 0.6, "c_s": 0.5},
        15.12,
    ),
    # 0.004 × (80 + 20) / 0.0004 = 1000; (80 + 120) / (80 + 20) = 2
    "iec_60364_5_54_2011.k_factor": (
        {"heat": 0.004, "beta": 80, "rho": 0.4, "initial": 20, "final": 120},
        sqrt(1000 * log(2)),
    ),
    "iec_60364_5_54_2011.resistance_factor": ({"beta": 202, "theta": 131}, 1.5),
    "iec_60364_5_54_2011.armour_resistance": ({"rho": 0.138, "lay": 1.1, "area": 15.18}, 10.0),
    "iec_60364_5_54_2011.tabulated_size": ({"size": 16, "share": 0.5, "k_1": 115, "k_2": 46}, 20.0),
    "iec_60364_5_54_2011.flat_size": ({"fixed": 16, "k_1": 115, "k_2": 46}, 40.0),
    "iec_60364_5_54_2011.flat_copper_size": ({"fixed": 16}, 16.0),
    "iec_60364_5_54_2011.copper_size": ({"size": 16, "share": 0.5}, 8.0),
    "iec_60364_5_54_2011.bonding_share": ({"share": 0.5, "size": 16}, 8.0),
    "iec_61851_1_2017.current_of_low_duty": ({"duty": 50}, 30.0),
    "iec_61851_1_2017.current_of_high_duty": ({"duty": 90}, 65.0),
}


def test_no_formula_is_without_its_figures():
    assert FORMULAS.keys() == EXACT.keys()


@pytest.mark.parametrize("name", EXACT)
def test_a_formula_gives_what_a_pencil_gives(name):
    (arguments, result), relation = EXACT[name], FORMULAS[name]
    given = {
        each: tuple(quantity(one, relation.terms[each].unit) for one in value)
        if isinstance(value, tuple)
        else quantity(value, relation.terms[each].unit)
        for each, value in arguments.items()
    }
    worked = relation(**given)
    assert worked.quantity.magnitude == pytest.approx(result, rel=1e-9)
    assert worked.quantity.units == quantity(1, relation.result.unit).units
