"""Voltage drop by the family's own method, and its limit."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline.editions import Drop, Load, Missing, edition
from pipeline.editions.book import Book
from pipeline.editions.drops import Drops
from pipeline.facts.choices import CableType, Insulation
from pipeline.facts.quantities import quantity as q

UK, IEC = edition("uk_2018_a2"), edition("iec")
U_0 = q(230, "V")
QUICK = settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)


def drop(book, run, amperes=32, phases=1) -> Drop:
    found = book.drops.drop(Load(run, q(amperes, "A"), phases), U_0)
    assert isinstance(found, Drop), found
    return found


def test_the_uk_drop_is_that_of_the_table(run):
    """Own arithmetic with BS 7671, Table 4D5: 7.3 mV/A/m × 32 A × 25 m."""
    found = drop(UK, run(length=q(25, "m")))
    assert found.volts.shown == "5.84 V"
    assert found.volts.worked.numbers == "7.3 mV/A/m × 32 A × 25 m"
    assert found.share.quantity.magnitude == pytest.approx(2.54, abs=0.005)


def test_the_iec_drop_is_that_of_annex_g(run):
    """Own arithmetic with IEC 60364-5-52, Annex G: 2 × 0.0225 × 25 / 6 × 32."""
    found = drop(IEC, run(length=q(25, "m")))
    assert found.volts.quantity.magnitude == pytest.approx(6.0)
    assert found.share.quantity.magnitude == pytest.approx(2.61, abs=0.005)


class Lagging(Book):
    """An edition whose loads lag by the usual power factor of IEC 60364-5-52, Annex G: cos φ = 0.8, sin φ = 0.6."""

    def figure(self, name):
        found = super().figure(name)
        return replace(found, quantity=q(0.8, "")) if name == "power_factor" else found


def test_a_load_that_lags_drops_over_the_reactance_as_well(run):
    """Own arithmetic with Annex G: 2 × (0.0225 × 25 / 6 × 0.8 + 0.08 mΩ/m × 25 × 0.6) × 32."""
    lagging = Drops(Lagging(IEC.book.content, IEC.book.ceiling))
    found = lagging.drop(Load(run(length=q(25, "m")), q(32, "A"), 1), U_0)
    assert found.volts.quantity.magnitude == pytest.approx(2 * (0.0225 * 25 / 6 * 0.8 + 0.00008 * 25 * 0.6) * 32)


def test_a_three_phase_drop_is_taken_from_its_own_voltage(run):
    cable = run(cable=CableType.MULTICORE, phases=3, live_size=q(10, "mm²"), length=q(25, "m"))
    uk, iec = drop(UK, cable, phases=3), drop(IEC, cable, phases=3)
    assert uk.volts.quantity.magnitude == pytest.approx(3.8 * 32 * 25 / 1000)  # 4D2B
    assert uk.voltage.magnitude == pytest.approx(398.4, abs=0.05)
    assert iec.voltage == U_0
    assert uk.share.quantity.magnitude == pytest.approx(iec.share.quantity.magnitude, rel=0.05)


def test_a_single_phase_vehicle_on_a_three_phase_point_drops_twice_as_much(run):
    cable = run(cable=CableType.MULTICORE, phases=3, live_size=q(10, "mm²"))
    ratio = drop(IEC, cable, phases=1).share.quantity / drop(IEC, cable, phases=3).share.quantity
    assert ratio.magnitude == pytest.approx(2)
    assert drop(UK, cable, phases=1).share.quantity > drop(UK, cable, phases=3).share.quantity


def test_a_thermosetting_flat_cable_on_70_degree_terminals_takes_the_table_for_70(run):
    assert drop(UK, run(insulation=Insulation.XLPE_90)).volts.quantity.magnitude == pytest.approx(7.3 * 32 * 14 / 1000)


@pytest.mark.parametrize(
    ("other", "phases", "said"),
    [
        ({"live_size": q(5, "mm²")}, 1, "row 5"),
        ({}, 3, "column 3"),
        ({"insulation": Insulation.XLPE_90, "terminal_rating": q(90, "°C")}, 1, "so warm"),
    ],
)
def test_what_no_table_gives_is_missing_with_its_reason(run, other, phases, said):
    found = UK.drops.drop(Load(run(**other), q(32, "A"), phases), U_0)
    assert isinstance(found, Missing)
    assert said in found.reason


# BS 7671, Table 4Ab, and IEC 60364-5-52, Table G.52.1: 5 %, past 100 m a little more, at most 0.5 % more
@pytest.mark.parametrize("book", [UK, IEC])
@pytest.mark.parametrize(("metres", "limit"), [(1, 5), (100, 5), (130, 5.15), (200, 5.5), (201, 5.5), (900, 5.5)])
def test_the_limit_grows_a_little_past_a_hundred_metres(book, metres, limit):
    assert book.drops.limit(q(metres, "m")).quantity.magnitude == pytest.approx(limit)
    assert book.drops.greatest().quantity.magnitude == 8


@QUICK
@given(st.sampled_from([UK, IEC]), st.floats(1, 200), st.floats(1, 63), st.floats(1.01, 2))
def test_more_current_over_more_metres_drops_more(run, book, metres, amperes, times):
    less = drop(book, run(length=q(metres, "m")), amperes)
    assert drop(book, run(length=q(metres, "m")), amperes * times).share.quantity > less.share.quantity
    assert drop(book, run(length=q(metres * times, "m")), amperes).share.quantity > less.share.quantity


def test_the_limit_grows_only_beyond_the_free_length_and_shows_its_working_up_to_the_cap():
    """5 % up to 100 m; 5 % + 0.005 % × 100 m = 5.5 % at 200 m, where the cap (0.5 %) is just reached."""
    plain, longest, beyond = (UK.drops.limit(q(each, "m")) for each in (100, 200, 201))
    assert plain.worked is None
    assert plain.shown == "5 %"
    assert longest.worked is not None
    assert longest.shown == "5.5 %"
    assert beyond.worked is None
    assert beyond.shown == "5.5 %"
