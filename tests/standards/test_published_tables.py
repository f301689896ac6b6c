"""Transcribed tables against published figures and against each other, by routes that a slip of the pen breaks."""

from decimal import ROUND_HALF_UP, Decimal
from itertools import pairwise
from math import log, sqrt

import pytest

from pipeline.facts.findings import Confidence
from pipeline.facts.quantities import quantity
from pipeline.standards.bs_7671_2018_a2.appendix_4 import line_voltage
from pipeline.standards.iec_60364_4_41_2005.clause_411 import (
    largest_electrode_resistance,
    largest_loop_impedance,
)
from pipeline.standards.iec_60364_5_54_2011.annex_a import k_factor
from pipeline.standards.iec_60898_1_2015.tripping import instantaneous_current
from pipeline.standards.table import figures, load

BS = "bs_7671_2018_a2"
C52 = "iec_60364_5_52_2009"


def cell(name, row, column):
    return load(name).cell(row, column).quantity.magnitude


# IEC 60228, Tables 1 and 2, plain copper, Ω/km at 20 °C
@pytest.mark.parametrize(
    ("size", "resistance"),
    [(1.5, 12.1), (2.5, 7.41), (4, 4.61), (6, 3.08), (10, 1.83), (16, 1.15), (25, 0.727), (50, 0.387), (120, 0.153)],
)
def test_conductor_resistances_are_those_of_the_cable_standard(size, resistance):
    assert cell("iec_60228_2004/table_1_2", float(size), "copper") == resistance


# R_1 + R_2 of flat twin and earth at 20 °C as tabulated in guides to BS 7671, mΩ/m; cpc sizes of BS 6004
@pytest.mark.parametrize(
    ("line", "cpc", "pair"),
    [(1.5, 1, 30.2), (2.5, 1.5, 19.51), (4, 1.5, 16.71), (6, 2.5, 10.49), (10, 4, 6.44), (16, 6, 4.23)],
)
def test_pairs_of_twin_and_earth_add_up_to_the_tabulated_ones(line, cpc, pair):
    both = sum(cell("iec_60228_2004/table_1_2", float(each), "copper") for each in (line, cpc))
    assert both == pytest.approx(pair, abs=0.005)


# capacities in amperes, each from the table named; 6 mm² unless said
@pytest.mark.parametrize(
    ("name", "size", "column", "capacity"),
    [
        (f"{BS}/table_4d5", 6, "C 2", 47),
        (f"{BS}/table_4d5", 6, "100 2", 34),
        (f"{BS}/table_4d5", 10, "103 2", 32),
        (f"{BS}/table_4d5", 10, "C 2", 64),
        (f"{BS}/table_4d2a", 6, "B 2", 38),
        (f"{BS}/table_4d2a", 10, "C 3", 57),
        (f"{BS}/table_4e4a", 6, "D 2", 53),
        (f"{BS}/table_4e4a", 6, "C 2", 62),
        (f"{BS}/table_4e4a", 10, "E 3", 78),
        (f"{BS}/table_4d4a", 6, "C 2", 49),
        (f"{C52}/table_b_52_2", 6, "C 2", 46),
        (f"{C52}/table_b_52_2", 4, "B2 2", 30),
        (f"{C52}/table_b_52_3", 6, "D1 2", 53),
        (f"{C52}/table_b_52_4", 10, "C 3", 57),
        (f"{C52}/table_b_52_5", 10, "D2 3", 65),
        (f"{C52}/table_b_52_10", 6, "E 2", 51),
        (f"{C52}/table_b_52_12", 6, "E 3", 54),
    ],
)
def test_capacities_are_those_of_the_named_table(name, size, column, capacity):
    assert cell(name, float(size), column) == capacity


# factors: BS 7671 4B1 and 4C1, IEC 60364-5-52 B.52.14, B.52.15, B.52.18, B.52.19, BS 7671 52.2
@pytest.mark.parametrize(
    ("name", "row", "column", "factor"),
    [
        (f"{BS}/table_4b1", 25.0, 70.0, 1.03),
        (f"{BS}/table_4b1", 40.0, 70.0, 0.87),
        (f"{BS}/table_4b1", 40.0, 90.0, 0.91),
        (f"{C52}/table_b_52_14", 25.0, 70.0, 1.06),
        (f"{C52}/table_b_52_14", 50.0, 90.0, 0.82),
        (f"{C52}/table_b_52_15", 10.0, 70.0, 1.1),
        (f"{C52}/table_b_52_17", "bunched", 2.0, 0.8),
        (f"{C52}/table_b_52_17", "bunched", 9.0, 0.5),
        (f"{C52}/table_b_52_17", "perforated tray", 4.0, 0.77),
        (f"{C52}/table_b_52_17", "ladder", 5.0, 0.8),
        (f"{C52}/table_b_52_18", "touching", 3.0, 0.65),
        (f"{C52}/table_b_52_19", "touching", 3.0, 0.75),
        (f"{BS}/table_4c2", "touching", 2.0, 0.75),
        (f"{BS}/table_4c3", "touching", 2.0, 0.85),
        (f"{BS}/table_52_2", 50.0, "factor", 0.88),
        (f"{BS}/table_52_2", "400+", "factor", 0.5),
    ],
)
def test_factors_are_those_of_the_named_table(name, row, column, factor):
    assert cell(name, row, column) == factor


@pytest.mark.parametrize("row", load(f"{BS}/table_41_3").rows)
@pytest.mark.parametrize("characteristic", ["B", "C", "D"])
def test_loop_limits_of_breakers_equal_the_printed_ones_when_rounded(row, characteristic):
    """BS 7671, Table 41.3, is C_min U_0 / I_a rounded half up to 0.01 Ω: relation and page confirm each other."""
    multiple = load("iec_60898_1_2015/table_2").cell(characteristic, "trips").quantity
    current = instantaneous_current(multiple=multiple, i_n=quantity(row, "A")).quantity
    limit = largest_loop_impedance(c_min=figures(BS)["c_min"].quantity, u_0=quantity(230, "V"), i_a=current).quantity
    rounded = Decimal(repr(round(limit.magnitude, 9))).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert float(rounded) == cell(f"{BS}/table_41_3", row, characteristic)


# BS 7671, Tables 41.2 and 41.4, Ω; figures seen twice or more
@pytest.mark.parametrize(
    ("name", "rating", "standard", "limit"),
    [
        ("table_41_2", 32, "BS 88-3", 0.91),
        ("table_41_2", 20, "BS 88-2", 1.68),
        ("table_41_2", 30, "BS 3036", 1.04),
        ("table_41_4", 63, "BS 88-2", 0.78),
        ("table_41_4", 63, "BS 88-3", 0.68),
        ("table_41_4", 100, "BS 88-3", 0.38),
        ("table_41_4", 60, "BS 3036", 1.07),
    ],
)
def test_loop_limits_of_fuses_are_those_of_the_wiring_rules(name, rating, standard, limit):
    assert cell(f"{BS}/{name}", float(rating), standard) == limit


@pytest.mark.parametrize("row", load(f"{BS}/table_41_5").rows)
def test_electrode_limits_equal_the_printed_ones_when_rounded(row):
    """BS 7671, Table 41.5, is 50 V / I_Δn rounded to 1 Ω; the printed 1667 Ω lies above the true limit."""
    limit = largest_electrode_resistance(u_l=quantity(50, "V"), i_dn=quantity(row, "mA")).quantity.magnitude
    assert round(limit) == cell(f"{BS}/table_41_5", row, "impedance")


# IEC 61008-1, Table 1: general and S type at 1, 2 and 5 times I_Δn, ms
def test_break_times_are_those_of_the_device_standard():
    table = load("iec_61008_1_2010/table_1")
    assert [[table.cell(row, each).quantity.magnitude for each in (1.0, 2.0, 5.0)] for row in table.rows] == [
        [300, 150, 40],
        [500, 200, 150],
        [130, 60, 50],
    ]


# IEC 60364-6, Table 6.1, and BS 7671, Table 64
@pytest.mark.parametrize("name", ["iec_60364_6_2016/table_6_1", f"{BS}/table_64"])
def test_insulation_minima_are_those_of_the_verification_rules(name):
    for circuit, volts, least in (("SELV or PELV", 250, 0.5), ("up to 500 V", 500, 1), ("above 500 V", 1000, 1)):
        assert cell(f"{name}_voltage", circuit, "voltage") == volts
        assert cell(name, circuit, "resistance") == least


# IEC 60364-4-41 and BS 7671, Table 41.1, s
@pytest.mark.parametrize("name", ["iec_60364_4_41_2005/table_41_1", f"{BS}/table_41_1"])
def test_disconnection_times_are_those_of_table_41_1(name):
    assert [cell(name, row, "TN") for row in load(name).rows] == [0.8, 0.4, 0.2, 0.1]
    assert [cell(name, row, "TT") for row in load(name).rows] == [0.3, 0.2, 0.07, 0.04]


# BS 7671, Table 54.8: bonding by the supply's neutral
def test_bonding_sizes_are_those_of_table_54_8():
    table = load(f"{BS}/table_54_8")
    sizes = [table.next_row(neutral, "copper").quantity.magnitude for neutral in (25, 35, 36, 50, 95, 120, 150, 185)]
    assert sizes == [10, 10, 16, 16, 25, 35, 35, 50]


@pytest.mark.parametrize("name", ["iec_60364_5_54_2011/table_a_54", f"{BS}/table_54_2_to_54_6"])
@pytest.mark.parametrize(
    ("material", "row", "column", "initial", "final"),
    [
        ("copper", "core of a cable", 70.0, 70, 160),
        ("copper", "core of a cable", 90.0, 90, 250),
        ("copper", "separate conductor", 70.0, 30, 160),
        ("copper", "separate conductor", 90.0, 30, 250),
        ("copper", "bare", 70.0, 30, 200),
        ("steel", "armour", 70.0, 60, 200),
        ("steel", "armour", 90.0, 80, 200),
        ("steel", "separate steel", 70.0, 30, 160),
    ],
)
def test_k_factors_follow_from_the_constants_of_the_material(name, material, row, column, initial, final):
    """IEC 60364-5-54, Annex A: relation and table agree within one, the table being rounded down at times."""
    known = figures("iec_60364_5_54_2011")
    rho = quantity(0.138, "Ω·mm²/m") if material == "steel" else known["copper_resistivity"].quantity
    worked = k_factor(
        heat=known[f"{material}_heat"].quantity,
        beta=known[f"{material}_beta"].quantity,
        rho=rho,
        initial=quantity(initial, "°C"),
        final=quantity(final, "°C"),
    )
    assert worked.quantity.magnitude == pytest.approx(cell(name, row, column), abs=0.75)


@pytest.mark.parametrize(
    ("name", "factor"),
    [
        ("table_4d5_drop", 1.20),
        ("table_4d2b", 1.20),
        ("table_4d4b", 1.20),
        ("table_4d1b", 1.20),
        ("table_4e2b", 1.28),
        ("table_4e4b", 1.28),
        ("table_4e1b", 1.28),
    ],
)
def test_tabulated_drops_follow_from_the_hot_conductor(name, factor):
    """BS 7671, Appendix 4: 2 r or √3 r at operating temperature, within the rounding of the printed figure."""
    table = load(f"{BS}/{name}")
    for (size, loaded), value in table.cells.items():
        conductor = cell("iec_60228_2004/table_1_2", size, "copper")
        expected = conductor * factor * (2 if loaded == 2 else sqrt(3))
        assert value.quantity.magnitude == pytest.approx(expected, rel=0.045), (size, loaded)


CAPACITIES = [
    *(f"{BS}/table_4{each}a" for each in ("d1", "d2", "d4", "e1", "e2", "e4")),
    f"{BS}/table_4d5",
    *(f"{C52}/table_b_52_{each}" for each in (2, 3, 4, 5, 10, 12)),
]


@pytest.mark.parametrize("name", CAPACITIES)
def test_a_thicker_cable_carries_more(name):
    table = load(name)
    for column in table.columns:
        run = [table.cell(row, column).quantity.magnitude for row in table.rows]
        assert run == sorted(set(run)), column


@pytest.mark.parametrize("name", CAPACITIES)
def test_three_loaded_conductors_carry_less_than_two(name):
    table = load(name)
    pairs = [each for each in table.columns if each.endswith("2") and f"{each[:-1]}3" in table.columns]
    for column in pairs:
        for row in table.rows:
            assert cell(name, row, f"{column[:-1]}3") < cell(name, row, column)


def test_the_harmonised_ground_method_is_the_same_in_both_books():
    """IEC 60364-5-52 D1 equals BS 7671 method D for armoured cables: a second witness for a table from memory."""
    for size in load(f"{BS}/table_4d4a").rows:
        assert cell(f"{BS}/table_4d4a", size, "D 2") == cell(f"{C52}/table_b_52_2", size, "D1 2")
        assert cell(f"{BS}/table_4d4a", size, "D 3") == cell(f"{C52}/table_b_52_4", size, "D1 3")
        assert cell(f"{BS}/table_4e4a", size, "D 2") == cell(f"{C52}/table_b_52_3", size, "D1 2")


def test_what_nobody_saw_is_marked_as_from_memory():
    assert load(f"{BS}/table_4d4a").cell(6.0, "C 2").confidence is Confidence.MEMORY
    assert load(f"{BS}/table_52_2").cell(100.0, "factor").confidence is Confidence.MEMORY
    assert load(f"{BS}/table_4e4a").cell(4.0, "D 2").confidence is Confidence.CARRIED_OVER


def test_the_line_voltage_of_230_volts_is_near_400():
    assert line_voltage(u_0=quantity(230, "V")).shown == "398.4 V"


@pytest.mark.parametrize("name", CAPACITIES)
def test_capacity_grows_with_a_steady_power_of_the_size(name):
    """Heat balance of a cable lets I_t follow S to a power between 0.44 and 0.73: digits swapped fall outside."""
    table = load(name)
    for column in table.columns:
        run = [(row, table.cell(row, column).quantity.magnitude) for row in table.rows]
        for (small, carries), (large, carries_more) in pairwise(run):
            assert 0.44 <= log(carries_more / carries) / log(large / small) <= 0.73, (column, large)


# IEC 60364-5-52, Table B.52.17, and BS 7671, Table 4C1: one to nine circuits, the bunch also 12, 16, 20
@pytest.mark.parametrize("name", [f"{C52}/table_b_52_17", f"{BS}/table_4c1"])
@pytest.mark.parametrize(
    ("row", "factors"),
    [
        ("bunched", [1, 0.8, 0.7, 0.65, 0.6, 0.57, 0.54, 0.52, 0.5, 0.45, 0.41, 0.38]),
        ("wall or floor", [1, 0.85, 0.79, 0.75, 0.73, 0.72, 0.72, 0.71, 0.7]),
        ("ceiling", [0.95, 0.81, 0.72, 0.68, 0.66, 0.64, 0.63, 0.62, 0.61]),
        ("perforated tray", [1, 0.88, 0.82, 0.77, 0.75, 0.73, 0.73, 0.72, 0.72]),
        ("ladder", [1, 0.87, 0.82, 0.8, 0.8, 0.79, 0.79, 0.78, 0.78]),
    ],
)
def test_grouping_factors_are_those_of_the_printed_row(name, row, factors):
    table = load(name)
    printed = [table.cell(row, column).quantity.magnitude for column in table.columns[: len(factors)]]
    assert printed == factors


@pytest.mark.parametrize(("name", "warmest"), [(f"{BS}/table_4b1", 30), (f"{C52}/table_b_52_14", 30)])
def test_factors_for_warm_air_follow_the_square_root_law(name, warmest):
    """C_a = √((θ_c − θ) / (θ_c − 30)): the law behind both tables, above their reference, within rounding."""
    for (ambient, conductor), value in load(name).cells.items():
        if ambient >= warmest:
            law = sqrt((conductor - ambient) / (conductor - 30))
            assert value.quantity.magnitude == pytest.approx(law, abs=0.006), (ambient, conductor)


@pytest.mark.parametrize("name", [f"{BS}/table_4b2", f"{C52}/table_b_52_15"])
def test_factors_for_the_ground_follow_the_square_root_law(name):
    """C_a = √((θ_c − θ) / (θ_c − 20)) within rounding."""
    for (ground, conductor), value in load(name).cells.items():
        law = sqrt((conductor - ground) / (conductor - 20))
        assert value.quantity.magnitude == pytest.approx(law, abs=0.006), (ground, conductor)
