"""Capacity as installed and resistance of conductors, by edition."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline.editions import Capacity, Missing, Value, edition
from pipeline.facts.choices import CableType, DeviceStandard, Grouping, Insulation, Method
from pipeline.facts.choices import ProtectiveConductor as Cpc
from pipeline.facts.findings import Confidence
from pipeline.facts.quantities import quantity as q
from pipeline.standards.table import load

UK, NEW, IEC = edition("uk_2018_a2"), edition("uk_2018_a4"), edition("iec")
ARMOURED = {"cable": CableType.ARMOURED, "insulation": Insulation.XLPE_90, "cpc": Cpc.ARMOUR, "cpc_size": q(40, "mm²")}
QUICK = settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)


def capacity(book, run) -> Capacity:
    found = book.cables.capacity(run)
    assert isinstance(found, Capacity), found
    return found


def amperes(book, run) -> float:
    return capacity(book, run).effective.quantity.magnitude


# capacities from the tables named in the comments, no factor applied
@pytest.mark.parametrize(
    ("book", "given", "expected"),
    [
        (UK, {}, 47),  # BS 7671 4D5, C
        (UK, {"method": Method.LOFT_100}, 34),  # 4D5, 100
        (UK, {"method": Method.WALL_103}, 23.5),  # 4D5, 103
        (UK, {"method": Method.B}, 38),  # 4D2A, B
        (UK, {"cable": CableType.MULTICORE, "method": Method.E}, 51),  # 4D2A, E
        (UK, {"cable": CableType.MULTICORE, "phases": 3}, 41),  # 4D2A, C, three loaded
        (UK, {"cable": CableType.SINGLES, "method": Method.B}, 41),  # 4D1A, B
        (UK, {**ARMOURED, "terminal_rating": q(90, "°C")}, 62),  # 4E4A, C
        (UK, {**ARMOURED, "terminal_rating": q(90, "°C"), "phases": 3, "method": Method.E}, 56),  # 4E4A, E
        (UK, ARMOURED, 49),  # on 70 °C terminals: 4D4A, C
        (UK, {**ARMOURED, "terminal_rating": q(89, "°C")}, 49),  # terminals just below 90 °C count as 70 °C
        (IEC, {}, 46),  # IEC 60364-5-52 B.52.2, C
        (IEC, {"method": Method.B}, 38),  # B.52.2, B2 for a multicore cable
        (IEC, {"cable": CableType.SINGLES, "method": Method.B}, 41),  # B.52.2, B1 for single cores
        (IEC, {**ARMOURED, "terminal_rating": q(90, "°C"), "method": Method.E, "phases": 3}, 54),  # B.52.12
    ],
)
def test_a_cable_carries_what_its_table_says(run, book, given, expected):
    assert amperes(book, run(**given)) == expected


def test_the_factors_multiply_and_each_is_shown(run):
    crowded = run(grouped=3, grouping=Grouping.BUNCHED, ambient=q(35, "°C"), insulation_run=q(100, "mm"))
    found = capacity(UK, crowded)
    # 4B1 at 35 °C, 4C1 bunched three, 52.2 at 100 mm
    assert [each.quantity.magnitude for each in (found.ambient, found.grouping, found.insulation)] == [0.94, 0.7, 0.78]
    assert found.effective.quantity.magnitude == pytest.approx(47 * 0.94 * 0.7 * 0.78)
    assert found.effective.worked.numbers == "47 A × 0.94 × 0.7 × 0.78 × 1 × 1"
    assert found.effective.confidence is Confidence.MEMORY


def test_a_usual_domestic_cable_rests_on_confirmed_figures(run):
    assert capacity(UK, run()).effective.confidence is Confidence.CONFIRMED
    assert capacity(NEW, run()).effective.confidence is Confidence.CARRIED_OVER


def test_in_the_ground_the_uk_factor_for_burial_is_told_apart(run):
    buried = run(**ARMOURED, method=Method.D2, ambient=q(20, "°C"), terminal_rating=q(90, "°C"))
    found = capacity(UK, buried)
    assert found.effective.quantity.magnitude == pytest.approx(53 * 0.9)
    assert found.unburied.quantity.magnitude == 53
    assert capacity(IEC, buried).buried.quantity.magnitude == 1


def test_in_the_ground_the_ground_temperature_counts(run):
    buried = run(**ARMOURED, method=Method.D1, ambient=q(30, "°C"))
    assert capacity(IEC, buried).ambient.quantity.magnitude == 0.89  # B.52.15, 70 °C


# IEC 60364-5-52, Table B.52.16, which BS 7671, Table 4B3, follows: buried ducts, or cables in the soil itself
@pytest.mark.parametrize(
    ("method", "soil", "factor"),
    [
        (Method.D1, 1.5, 1.1),
        (Method.D1, 3, 0.96),
        (Method.D2, 1.5, 1.28),
        (Method.D2, 2.9, 0.9),
        (Method.D2, None, 1),
        (Method.C, 1.5, 1),
    ],
)
def test_in_the_ground_the_soil_counts_as_the_cable_lies_in_it(run, method, soil, factor):
    buried = run(**ARMOURED, method=method, soil=soil and q(soil, "K·m/W"))
    for book in (UK, IEC):
        assert book.cables.soil(buried).quantity.magnitude == factor


@pytest.mark.parametrize(
    ("method", "said"), [(Method.D2, "2.5 K·m/W, as the tables take it"), (Method.C, "not buried")]
)
def test_a_soil_that_nobody_asked_about_is_said_to_be_so(run, method, said):
    assert said in str(UK.cables.soil(run(**ARMOURED, method=method)).reference)


@pytest.mark.parametrize(
    ("book", "given", "said"),
    [
        (UK, {"method": Method.D1}, "D1 in duct"),
        (IEC, {"method": Method.LOFT_100}, "100 above ceiling"),
        (UK, {"phases": 3}, "no three line conductors"),
        (UK, {"terminal_rating": q(60, "°C")}, "below 70 °C"),
        (UK, {"terminal_rating": q(69, "°C")}, "below 70 °C"),
        (UK, {"live_size": q(5, "mm²")}, "gives no figure in row 5"),
        (UK, {"ambient": q(65, "°C")}, "gives no figure in row 65"),
        (UK, {"grouped": 2}, "How the circuits are grouped is blank"),
        (UK, {"grouped": 25, "grouping": Grouping.BUNCHED}, "Table 4C1"),
        (IEC, {"insulation_run": q(100, "mm")}, "thermal insulation"),
        (UK, {"insulation": Insulation.XLPE_90, "terminal_rating": q(90, "°C")}, "at 90 °C"),
    ],
)
def test_what_no_table_gives_is_missing_with_its_reason(run, book, given, said):
    found = book.cables.capacity(run(**given))
    assert isinstance(found, Missing)
    assert said in found.reason


def test_insulation_that_the_method_counts_in_is_not_counted_twice(run):
    lofted = run(method=Method.LOFT_101, insulation_run=q(5000, "mm"))
    assert amperes(UK, lofted) == 27


def test_a_cable_alone_under_a_ceiling_is_still_reduced(run):
    assert amperes(UK, run(grouping=Grouping.CEILING)) == pytest.approx(47 * 0.95)


def test_a_semi_enclosed_fuse_takes_its_share(run):
    assert UK.cables.fuse_factor(DeviceStandard.FUSE_3036).quantity.magnitude == 0.725
    assert UK.cables.fuse_factor(DeviceStandard.MCB).quantity.magnitude == 1


def test_dead_test_resistance_is_that_of_the_cold_pair(run):
    found = UK.cables.pair_resistance(run())
    assert found.quantity.magnitude == pytest.approx((3.08 + 7.41) * 14 / 1000)
    assert found.confidence is Confidence.CONFIRMED


def test_hot_resistance_follows_the_rule_of_the_family(run):
    cold = UK.cables.pair_resistance(run()).quantity
    assert (UK.cables.warm_pair_resistance(run()).quantity / cold).magnitude == pytest.approx(1.20)
    assert (IEC.cables.warm_pair_resistance(run()).quantity / cold).magnitude == pytest.approx(1.1965, abs=5e-5)


def test_the_neutral_returns_through_a_conductor_like_the_line(run):
    found = UK.cables.warm_live_resistance(run())
    assert found.quantity.magnitude == pytest.approx(2 * 3.08 * 1.2 * 14 / 1000)


def test_armour_counts_as_steel_and_says_that_it_is_an_estimate(run):
    found = UK.cables.pair_resistance(run(**ARMOURED))
    assert found.quantity.magnitude == pytest.approx((3.08 + 138 * 1.1 / 40) * 14 / 1000)
    assert found.confidence is Confidence.MEMORY


def test_armour_on_a_loaded_cable_stays_ten_kelvin_below_its_conductors(run):
    """BS 7671, Table 54.4: 80 °C about conductors at 90 °C; steel by IEC 60364-5-54, Table A.54.1: β = 202 K."""
    cold, warm = (IEC.cables.pair_resistance(run(**ARMOURED)), IEC.cables.warm_pair_resistance(run(**ARMOURED)))
    steel, copper = 138 * 1.1 / 40 * (202 + 80) / (202 + 20), 3.08 * (1 + 0.00393 * (90 - 20))
    assert warm.quantity.magnitude == pytest.approx((copper + steel) * 14 / 1000, rel=1e-4)
    assert warm.quantity > cold.quantity


def test_beside_a_core_the_armour_is_left_out(run):
    both = run(**{**ARMOURED, "cpc": Cpc.CORE_AND_ARMOUR, "cpc_size": q(6, "mm²")})
    assert UK.cables.pair_resistance(both).quantity.magnitude == pytest.approx(2 * 3.08 * 14 / 1000)


@pytest.mark.parametrize("name", ["pair_resistance", "warm_pair_resistance", "warm_live_resistance"])
def test_a_size_that_is_not_standard_has_no_resistance(run, name):
    found = getattr(UK.cables, name)(run(live_size=q(5, "mm²")))
    assert isinstance(found, Missing)


def test_a_live_conductor_has_the_resistance_of_the_cable_standard(run):
    assert UK.cables.line_resistance(run()).shown == "3.08 Ω/km"


@QUICK
@given(
    st.sampled_from([UK, NEW, IEC]),
    st.sampled_from(["2.5", "4", "6", "10"]),
    st.integers(1, 12),
    st.floats(20, 59),
    st.floats(0, 10),
)
def test_a_worse_place_never_raises_the_capacity(run, book, size, grouped, ambient, more):
    given = {"live_size": q(float(size), "mm²"), "grouping": Grouping.BUNCHED, "ambient": q(ambient, "°C")}
    better = book.cables.capacity(run(**given, grouped=grouped))
    worse = book.cables.capacity(run(**{**given, "ambient": q(ambient + more, "°C")}, grouped=grouped + 3))
    assert isinstance(worse, Missing) or worse.effective.quantity <= better.effective.quantity


@QUICK
@given(st.sampled_from([UK, IEC]), st.floats(0.5, 500), st.floats(0.1, 100))
def test_a_longer_run_resists_more(run, book, length, more):
    short, long = (book.cables.warm_pair_resistance(run(length=q(each, "m"))) for each in (length, length + more))
    assert isinstance(short, Value)
    assert short.quantity < long.quantity


def test_capacities_in_the_ground_are_those_of_the_international_tables():
    """So 4D4A, columns D, count as carried over though the page itself is from memory; its other columns do not."""
    own = load("bs_7671_2018_a2/table_4d4a")
    for phases, other in (("2", "iec_60364_5_52_2009/table_b_52_2"), ("3", "iec_60364_5_52_2009/table_b_52_4")):
        for size in own.rows:
            mine, theirs = own.cell(size, f"D {phases}"), load(other).cell(size, f"D1 {phases}")
            assert mine.quantity == theirs.quantity
            assert mine.confidence is Confidence.CARRIED_OVER
            assert own.cell(size, f"C {phases}").confidence is Confidence.MEMORY
