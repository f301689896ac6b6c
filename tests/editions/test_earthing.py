"""Sizes of protective, earthing and bonding conductors."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline.editions import Missing, edition
from pipeline.facts.choices import CableType, EarthingSystem, Insulation
from pipeline.facts.choices import ProtectiveConductor as Cpc
from pipeline.facts.quantities import quantity as q

UK, IEC = edition("uk_2018_a2"), edition("iec")


# BS 7671, Table 54.7, and IEC 60364-5-54, Table 54.2: S to 16, 16 to 35, then half
@pytest.mark.parametrize(("line", "least"), [(2.5, 2.5), (6, 6), (16, 16), (25, 16), (35, 16), (50, 25), (150, 75)])
def test_copper_for_copper_follows_the_size_table(run, line, least):
    for book in (UK, IEC):
        assert book.earthing.protective_size(run(live_size=q(line, "mm²"))).quantity.magnitude == pytest.approx(least)
        assert book.earthing.earthing_size(q(line, "mm²")).quantity.magnitude == pytest.approx(least)


@pytest.mark.parametrize("line", [16.1, 25, 35])
def test_the_flat_band_of_the_size_table_is_printed_as_one_size_and_not_as_a_share(run, line):
    for book in (UK, IEC):
        for found in (
            book.earthing.earthing_size(q(line, "mm²")),
            book.earthing.protective_size(run(live_size=q(line, "mm²"))),
        ):
            assert found.worked.symbols.startswith("S_p,min = 16 mm² (for 16 mm² < S ≤ 35 mm²)")
            assert found.worked.numbers.startswith("16 mm²")


# k_1 / k_2 of BS 7671, Tables 54.3 and 54.4: 115/51 and 143/46
@pytest.mark.parametrize(("insulation", "ratio"), [(Insulation.PVC_70, 115 / 51), (Insulation.XLPE_90, 143 / 46)])
def test_steel_for_copper_takes_the_ratio_of_the_factors(run, insulation, ratio):
    armoured = run(cable=CableType.ARMOURED, insulation=insulation, cpc=Cpc.ARMOUR, live_size=q(10, "mm²"))
    assert UK.earthing.protective_size(armoured).quantity.magnitude == pytest.approx(10 * ratio)


@pytest.mark.parametrize(
    ("cpc", "insulation", "k"),
    [
        (Cpc.CORE, Insulation.PVC_70, 115),
        (Cpc.CORE, Insulation.XLPE_90, 143),
        (Cpc.SEPARATE, Insulation.PVC_70, 143),
        (Cpc.ARMOUR, Insulation.XLPE_90, 46),
        (Cpc.CORE_AND_ARMOUR, Insulation.PVC_70, 115),
    ],
)
def test_the_k_factor_is_that_of_the_conductor_as_it_lies(run, cpc, insulation, k):
    assert UK.earthing.protective_factor(run(cpc=cpc, insulation=insulation)).quantity.magnitude == k


# BS 7671, Tables 54.2 to 54.4: k holds for conductors up to 300 mm²
@pytest.mark.parametrize("size", [301, 400])
def test_past_300_square_millimetres_there_is_no_factor(run, size):
    assert UK.earthing.line_factor(run(live_size=q(300, "mm²"))).quantity.magnitude == 115
    thick = run(live_size=q(size, "mm²"))
    assert isinstance(UK.earthing.line_factor(thick), Missing)
    assert isinstance(UK.earthing.protective_size(thick), Missing)


# BS 7671, Table 54.8 on TN-C-S; else 544.1.1: half the earthing conductor, 6 at least, 25 at most
@pytest.mark.parametrize(
    ("book", "system", "neutral", "earthing", "least"),
    [
        (UK, EarthingSystem.TN_C_S, 25, 16, 10),
        (UK, EarthingSystem.TN_C_S, 70, 16, 25),
        (UK, EarthingSystem.TN_S, 25, 16, 8),
        (UK, EarthingSystem.TT, 25, 6, 6),
        (UK, EarthingSystem.TN_S, 120, 70, 25),
        (IEC, EarthingSystem.TN_C_S, 25, 16, 8),
    ],
)
def test_main_bonding_follows_neutral_or_earthing_conductor(book, system, neutral, earthing, least):
    found = book.earthing.bonding_size(system, q(neutral, "mm²"), q(earthing, "mm²"))
    assert found.quantity.magnitude == least


@pytest.mark.parametrize("system", [EarthingSystem.TN_C_S, EarthingSystem.TT])
def test_a_blank_size_leaves_bonding_unjudged(system):
    found = UK.earthing.bonding_size(system, None, None)
    assert isinstance(found, Missing)
    assert "is blank" in found.reason


def test_separate_and_buried_conductors_have_floors_of_their_own():
    assert UK.earthing.separate_size(protected=True).shown == "2.5 mm²"
    assert UK.earthing.separate_size(protected=False).shown == "4 mm²"
    assert UK.earthing.buried_size(sheathed=True).shown == "16 mm²"
    assert UK.earthing.buried_size(sheathed=False).shown == "25 mm²"


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.floats(1, 299), st.floats(0, 1))
def test_a_thicker_line_never_asks_for_less(run, size, more):
    thin, thick = (UK.earthing.protective_size(run(live_size=q(each, "mm²"))) for each in (size, size + more))
    assert thin.quantity <= thick.quantity
