"""Formulas against examples worked by others; each names where it was printed and to which digits it agrees."""

from math import log, sqrt

import pytest

from pipeline.facts.quantities import magnitude
from pipeline.facts.quantities import quantity as q
from pipeline.standards.bs_7430_2011.clause_9_5 import rod_resistance
from pipeline.standards.bs_7671_2018_a2 import appendix_4
from pipeline.standards.common_practice.conductors import resistance_factor
from pipeline.standards.common_practice.supply import current_of_power, three_phase_by_lines, three_phase_by_neutral
from pipeline.standards.iec_60228_2004.annex_a import conductor_resistance, pair_resistance, warm_pair_resistance
from pipeline.standards.iec_60228_2004.annex_a import resistance_factor as exact_factor
from pipeline.standards.iec_60364_4_41_2005 import clause_411
from pipeline.standards.iec_60364_4_43_2008.clause_434 import smallest_area, withstand_current
from pipeline.standards.iec_60364_5_52_2009 import annex_g
from pipeline.standards.iec_60364_5_52_2009.clause_523 import effective_capacity
from pipeline.standards.iec_60364_5_54_2011.annex_a import armour_resistance, k_factor

K115 = q(115, "A·√s/mm²")

EXAMPLES = [
    # a handbook of basic installation work, cpc sizes, first example (IEC 60364-4-41, 411.4.4; -5-54, 543.1.2)
    (clause_411.fault_current, {"u_0": q(230, "V"), "z_s": q(1.15, "Ω")}, "A", 200, 0.5),
    (smallest_area, {"current": q(200, "A"), "time": q(0.4, "s"), "k": K115}, "mm²", 1.10, 0.005),
    # the same handbook, second example
    (smallest_area, {"current": q(90, "A"), "time": q(0.4, "s"), "k": K115}, "mm²", 0.49, 0.005),
    # own arithmetic: an instantaneous breaker at 1 kA
    (smallest_area, {"current": q(1, "kA"), "time": q(100, "ms"), "k": K115}, "mm²", 2.75, 0.005),
    # lecture notes on IEC 60949: 95 mm² copper in XLPE for one second
    (withstand_current, {"k": q(142.9, "A·√s/mm²"), "area": q(95, "mm²"), "time": q(1, "s")}, "kA", 13.6, 0.05),
    # tables of a cable trader: 35 mm² armoured, 100 A over 150 m (BS 7671, Appendix 4)
    (
        appendix_4.voltage_drop,
        {"per_metre": q(1.1, "mV/A/m"), "current": q(100, "A"), "length": q(150, "m")},
        "V",
        16.5,
        0.05,
    ),
    # the same tables: the largest drop per metre for 10.5 V
    (
        appendix_4.voltage_drop,
        {"per_metre": q(0.7, "mV/A/m"), "current": q(100, "A"), "length": q(150, "m")},
        "V",
        10.5,
        0.05,
    ),
    # own arithmetic: 32 A over 25 m of 6 mm² twin and earth
    (
        appendix_4.voltage_drop,
        {"per_metre": q(7.3, "mV/A/m"), "current": q(32, "A"), "length": q(25, "m")},
        "V",
        5.84,
        0.005,
    ),
    (annex_g.voltage_drop_share, {"drop": q(5.84, "V"), "voltage": q(230, "V")}, "%", 2.54, 0.005),
    # instructions of a loop tester: current from a reading (IEC 60364-6)
    (clause_411.fault_current, {"u_0": q(230, "V"), "z_s": q(1.14, "Ω")}, "A", 202, 0.5),
    # the same: largest loop impedance of a 16 A gG fuse, without C_min (IEC 60364-4-41, 411.4.4)
    (clause_411.largest_loop_impedance, {"c_min": 1, "u_0": q(230, "V"), "i_a": q(110, "A")}, "Ω", 2.1, 0.05),
    # a chain worked in a public forum: resistances up to board A, then to board B
    (clause_411.loop_impedance, {"z_e": q(5, "mΩ"), "r1_r2": (q(8, "mΩ"), q(8, "mΩ"))}, "Ω", 0.021, 0.0005),
    (clause_411.loop_impedance, {"z_e": q(21, "mΩ"), "r1_r2": (q(8, "mΩ"), q(32, "mΩ"))}, "Ω", 0.061, 0.0005),
    # a technical page on fault levels: 50 m of 70 mm² (IEC 60228)
    (conductor_resistance, {"r": q(0.268, "Ω/km"), "length": q(50, "m")}, "mΩ", 13, 0.5),
    # a study thread after the table of a site guide: 22 m of 2.5/1.5 mm² (IEC 60228)
    (conductor_resistance, {"r": q(7.41, "Ω/km"), "length": q(22, "m")}, "Ω", 0.163, 0.0005),
    (conductor_resistance, {"r": q(12.1, "Ω/km"), "length": q(22, "m")}, "Ω", 0.266, 0.0005),
    (pair_resistance, {"r_1": q(7.41, "Ω/km"), "r_2": q(12.1, "Ω/km"), "length": q(22, "m")}, "Ω", 0.429, 0.0005),
    # a site guide to BS 7671: the RCD that 200 Ω allows (IEC 60364-4-41, 411.5.3)
    (clause_411.largest_residual_rating, {"u_l": q(50, "V"), "r_a": q(200, "Ω")}, "mA", 250, 0.5),
    (clause_411.touch_voltage, {"r_a": q(200, "Ω"), "i_dn": q(250, "mA")}, "V", 50, 0.005),
    # a lesson on capacities at 46 to 50 °C: 40 A by 0.82
    (
        effective_capacity,
        {"i_t": q(40, "A"), "c_a": 0.82, "c_g": 1, "c_i": 1, "c_c": 1, "c_s": 1},
        "A",
        32.8,
        0.05,
    ),
    # an article on electrical safety: an immersion heater of 3 kW
    (current_of_power, {"power": q(3, "kW"), "phases": 1, "u_0": q(230, "V")}, "A", 13, 0.5),
    # two published examples of BS 7430, 9.5.3
    (rod_resistance, {"rho": q(55, "Ω·m"), "length": q(3, "m"), "diameter": q(25, "mm")}, "Ω", 17.12, 0.005),
    (rod_resistance, {"rho": q(244, "Ω·m"), "length": q(15, "m"), "diameter": q(60.3, "mm")}, "Ω", 17.08, 0.005),
    # own arithmetic for the rods of the trade
    (rod_resistance, {"rho": q(100, "Ω·m"), "length": q(1.2, "m"), "diameter": q(15.9, "mm")}, "Ω", 71.66, 0.005),
    (rod_resistance, {"rho": q(100, "Ω·m"), "length": q(2.4, "m"), "diameter": q(15.9, "mm")}, "Ω", 40.43, 0.005),
    # the trade's rule and the exact factor of IEC 60228
    (resistance_factor, {"theta": q(70, "°C")}, "", 1.20, 1e-9),
    (resistance_factor, {"theta": q(90, "°C")}, "", 1.28, 1e-9),
    (exact_factor, {"theta": q(70, "°C")}, "", 1.1965, 5e-5),
    (exact_factor, {"theta": q(90, "°C")}, "", 1.2750, 5e-5),
    # own arithmetic, IEC 60364-5-52, Annex G: 2 ρ_1 / S and ρ_1 / S
    (annex_g.voltage_drop, {"b": 2, "z": q(3.75, "mΩ/m"), "length": q(25, "m"), "current": q(32, "A")}, "V", 6, 1e-9),
    # own arithmetic: bounds of a three-phase fault current
    (three_phase_by_neutral, {"current": q(1.2, "kA")}, "kA", 2.4, 1e-9),
    (three_phase_by_lines, {"current": q(2, "kA")}, "kA", 2.31, 1e-9),
]


@pytest.mark.parametrize(("relation", "given", "unit", "printed", "within"), EXAMPLES)
def test_a_printed_example_is_met_at_its_printed_digits(relation, given, unit, printed, within):
    assert magnitude(relation(**given).quantity, unit) == pytest.approx(printed, abs=within)


# one table printed by two makers of loop testers: largest R_A at 50 V and 25 V, whole ohms (411.5.3)
@pytest.mark.parametrize(
    ("i_dn", "at_50", "at_25"),
    [(10, 5000, 2500), (30, 1667, 833), (100, 500, 250), (300, 167, 83), (500, 100, 50), (1000, 50, 25)],
)
def test_electrode_limits_round_to_the_printed_ones(i_dn, at_50, at_25):
    for volts, printed in ((50, at_50), (25, at_25)):
        worked = clause_411.largest_electrode_resistance(u_l=q(volts, "V"), i_dn=q(i_dn, "mA"))
        assert round(worked.quantity.magnitude) == printed


def test_the_constant_of_copper_is_that_of_the_thermal_standard():
    """Lecture notes on IEC 60949 print K = 225.669 for copper, before the temperatures come in."""
    worked = k_factor(
        heat=q(0.00345, "J/K·mm³"),
        beta=q(234.5, "K"),
        rho=q(0.017241, "Ω·mm²/m"),
        initial=q(90, "°C"),
        final=q(250, "°C"),
    )
    assert worked.quantity.magnitude / sqrt(log(484.5 / 324.5)) == pytest.approx(225.669, abs=5e-4)


def test_an_electrode_sheet_that_is_wrong_in_print_is_not_met():
    """A project sheet to IS 3043 prints 0.7994 Ω for 72.44 Ω·m, 3 m, 100 mm: millimetres and a decimal logarithm."""
    worked = rod_resistance(rho=q(72.44, "Ω·m"), length=q(3, "m"), diameter=q(100, "mm"))
    assert worked.quantity.magnitude == pytest.approx(17.2, abs=0.1)
    assert worked.quantity.magnitude > 20 * 0.7994


def test_a_limit_of_two_and_a_half_per_cent_of_415_volts_is_no_ten_and_a_half():
    """The trader's tables round 10.375 V up to 10.5 V: a cable at 10.5 V is over the limit here."""
    share = annex_g.voltage_drop_share(drop=q(10.5, "V"), voltage=q(415, "V"))
    assert share.quantity.magnitude > 2.5


def test_conductors_at_their_own_temperatures_add_up():
    worked = warm_pair_resistance(r_1=q(3.08, "Ω/km"), f_1=1.2, r_2=q(7.41, "Ω/km"), f_2=1.2, length=q(14, "m"))
    assert worked.numbers == "(3.08 mΩ/m × 1.2 + 7.41 mΩ/m × 1.2) × 14 m"
    assert worked.quantity.magnitude == pytest.approx(0.17623, abs=5e-6)


def test_armour_has_the_resistance_of_its_steel():
    """Own arithmetic: 60 mm² of steel at 0.138 Ω·mm²/m, a tenth more for the lay."""
    worked = armour_resistance(rho=q(0.138, "Ω·mm²/m"), lay=1.1, area=q(60, "mm²"))
    assert worked.quantity.magnitude == pytest.approx(2.53, abs=0.005)


def test_impedance_counts_reactance_only_off_unity():
    unity = {"rho": q(0.0225, "Ω·mm²/m"), "area": q(6, "mm²"), "reactance": q(0.08, "mΩ/m")}
    assert annex_g.effective_impedance(**unity, cosine=1, sine=0).shown == "3.75 mΩ/m"
    assert annex_g.effective_impedance(**unity, cosine=0.8, sine=0.6).shown == "3.048 mΩ/m"
