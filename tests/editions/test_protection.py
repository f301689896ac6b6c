"""Disconnection by device, time and system."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.editions import Device, Missing, Value, edition
from pipeline.facts.choices import CircuitKind, DeviceStandard, DeviceType, EarthingSystem, RcdDelay
from pipeline.facts.findings import Confidence
from pipeline.facts.quantities import quantity as q

UK, NEW, IEC = edition("uk_2018_a2"), edition("uk_2018_a4"), edition("iec")
U_0, SOON, LATE = q(230, "V"), q(0.4, "s"), q(5, "s")
FINAL, DISTRIBUTION = CircuitKind.FINAL, CircuitKind.DISTRIBUTION


def breaker(type_=DeviceType.B, rating=40, standard=DeviceStandard.RCBO):
    return Device(standard, type_, q(rating, "A"))


def fuse(standard=DeviceStandard.FUSE_88_3, rating=100):
    return Device(standard, DeviceType.GG, q(rating, "A"))


# BS 7671, Table 41.3, unrounded: C_min U_0 / (5, 10, 20) I_n
@pytest.mark.parametrize(
    ("type_", "rating", "limit"),
    [("B", 32, 1.365625), ("B", 40, 1.0925), ("B", 20, 2.185), ("C", 32, 0.6828125), ("D", 32, 0.34140625)],
)
def test_a_breaker_is_judged_by_the_unrounded_relation(type_, rating, limit):
    found = UK.protection.loop_limit(breaker(DeviceType(type_), rating), SOON, U_0)
    assert found.quantity.magnitude == pytest.approx(limit)
    assert found.confidence is Confidence.CONFIRMED


def test_the_time_does_not_matter_to_a_breaker():
    limits = [UK.protection.loop_limit(breaker(), time, U_0).quantity for time in (SOON, LATE, q(0.2, "s"))]
    assert limits[0] == limits[1] == limits[2]


def test_the_series_of_the_iec_knows_no_voltage_factor():
    found = IEC.protection.loop_limit(breaker(), SOON, U_0)
    assert found.worked.numbers == "1 × 230 V / 200 A"
    assert found.shown == "1.15 Ω"


# 80 % of the unrounded limit as published lists give it, and two thirds (IEC 60364-6), within 0.01 Ω
@pytest.mark.parametrize(
    ("book", "type_", "rating", "published"),
    [(UK, "B", 32, 1.09), (UK, "B", 40, 0.87), (UK, "C", 32, 0.55), (IEC, "B", 32, 0.96), (IEC, "C", 40, 0.38)],
)
def test_the_share_for_cold_readings_gives_the_published_lists(book, type_, rating, published):
    limit = book.protection.loop_limit(breaker(DeviceType(type_), rating), SOON, U_0).quantity
    share = book.protection.loop_share().quantity
    assert (limit * share).magnitude == pytest.approx(published, abs=0.0101)


# BS 7671, Tables 41.2 and 41.4
@pytest.mark.parametrize(
    ("standard", "rating", "time", "limit"),
    [
        (DeviceStandard.FUSE_88_3, 100, LATE, 0.38),
        (DeviceStandard.FUSE_88_3, 32, SOON, 0.91),
        (DeviceStandard.FUSE_88_2, 63, LATE, 0.78),
        (DeviceStandard.FUSE_3036, 30, SOON, 1.04),
    ],
)
def test_a_fuse_is_looked_up(standard, rating, time, limit):
    found = UK.protection.loop_limit(fuse(standard, rating), time, U_0)
    assert found.quantity.magnitude == limit
    assert found.confidence is Confidence.CARRIED_OVER


def test_the_disconnecting_current_of_a_fuse_follows_from_its_loop_limit():
    found = UK.protection.disconnecting_current(fuse(), LATE)
    assert found.quantity.magnitude == pytest.approx(0.95 * 230 / 0.38)
    assert str(found.reference) == "BS 7671:2018+A2:2022, Table 41.4"


def test_at_another_voltage_a_fuse_is_judged_by_its_current():
    found = UK.protection.loop_limit(fuse(), LATE, q(240, "V"))
    assert found.quantity.magnitude == pytest.approx(0.38 * 240 / 230)


@pytest.mark.parametrize(
    ("book", "device", "time"),
    [
        (UK, fuse(rating=25), LATE),  # a rating that the table lacks
        (UK, fuse(), q(0.2, "s")),  # a time that is not tabulated
        (UK, fuse(DeviceStandard.FUSE_1361), LATE),
        (UK, breaker(standard=DeviceStandard.MCCB), SOON),  # its setting is the maker's business
        (UK, breaker(DeviceType.GG), SOON),
        (IEC, fuse(), LATE),
    ],
)
def test_a_device_that_no_table_knows_has_no_limit_but_a_reason(book, device, time):
    for found in (book.protection.loop_limit(device, time, U_0), book.protection.disconnecting_current(device, time)):
        assert isinstance(found, Missing)
        assert found.reason


# BS 7671, 411.3.2.2 to 411.3.2.4 and Table 41.1
@pytest.mark.parametrize(
    ("system", "kind", "rating", "socket", "volts", "seconds"),
    [
        (EarthingSystem.TN_S, FINAL, 32, False, 230, 0.4),
        (EarthingSystem.TN_C_S, FINAL, 32, False, 230, 0.4),
        (EarthingSystem.TN_C_S, FINAL, 40, False, 230, 5),
        (EarthingSystem.TN_C_S, FINAL, 40, True, 230, 0.4),
        (EarthingSystem.TN_C_S, FINAL, 80, True, 230, 5),
        (EarthingSystem.TT, FINAL, 32, False, 230, 0.2),
        (EarthingSystem.TT, FINAL, 40, False, 230, 1),
        (EarthingSystem.TT, DISTRIBUTION, 32, False, 230, 1),
        (EarthingSystem.TN_S, DISTRIBUTION, 32, False, 230, 5),
        (EarthingSystem.TN_S, FINAL, 32, False, 240, 0.2),
        (EarthingSystem.TN_S, FINAL, 32, False, 120, 0.8),
    ],
)
def test_the_time_follows_from_system_circuit_rating_and_voltage(system, kind, rating, socket, volts, seconds):
    for book in (UK, IEC):
        found = book.protection.disconnection_time(system, kind, q(rating, "A"), q(volts, "V"), socket_outlet=socket)
        assert found.quantity.magnitude == seconds


# IEC 61008-1, Table 1
def test_residual_devices_break_within_their_times():
    assert [UK.protection.rcd_time(RcdDelay.NONE, each).shown for each in (1, 2, 5)] == ["300 ms", "150 ms", "40 ms"]
    assert UK.protection.rcd_time(RcdDelay.S, 1).shown == "500 ms"
    assert UK.protection.rcd_least_time(1).shown == "130 ms"
    assert isinstance(UK.protection.rcd_time(RcdDelay.NONE, 3), Missing)


# IEC 60364-4-41, 411.5.3, and BS 7671, Table 41.5
@pytest.mark.parametrize(("i_dn", "printed"), [(30, 1667), (100, 500), (300, 167), (500, 100)])
def test_an_electrode_may_be_as_high_as_fifty_volts_allow(i_dn, printed):
    found = UK.protection.largest_electrode_resistance(q(i_dn, "mA"))
    assert round(found.quantity.magnitude) == printed
    assert UK.protection.residual_disconnecting_current(q(i_dn, "mA")).quantity.magnitude == pytest.approx(i_dn / 200)


@settings(max_examples=40)
@given(
    st.sampled_from([UK, NEW, IEC]),
    st.sampled_from([DeviceType.B, DeviceType.C, DeviceType.D]),
    st.floats(1, 125),
    st.floats(1.001, 5),
)
def test_a_larger_breaker_asks_for_a_lower_loop(book, type_, rating, times):
    small, large = (book.protection.loop_limit(breaker(type_, each), SOON, U_0) for each in (rating, rating * times))
    assert isinstance(small, Value)
    assert large.quantity < small.quantity


# class 3, type and rating, at the next fault current of 3, 6 and 10 kA: from memory
@pytest.mark.parametrize(
    ("type_", "rating", "kiloamperes", "energy"),
    [
        ("B", 16, 3, 15_000),
        ("B", 16, 3.01, 35_000),
        ("B", 20, 6, 45_000),
        ("B", 32, 10, 90_000),
        ("B", 40, 6, 54_000),
        ("C", 32, 6, 55_000),
        ("C", 40, 10, 132_000),
    ],
)
def test_let_through_energy_by_type_rating_and_fault_current(type_, rating, kiloamperes, energy):
    found = UK.protection.let_through(breaker(DeviceType(type_), rating), q(kiloamperes, "kA"))
    assert found.quantity.magnitude == energy
    assert found.confidence is Confidence.MEMORY


@pytest.mark.parametrize(
    ("device", "kiloamperes", "said"),
    [
        (breaker(rating=50), 6, "type B, 50 A"),
        (breaker(DeviceType.D), 6, "type D, 40 A"),
        (fuse(), 6, "type gG, 100 A"),
        (breaker(), 10.1, "10.1"),
    ],
    ids=["50 A", "type D", "fuse", "above 10 kA"],
)
def test_no_let_through_energy_is_invented(device, kiloamperes, said):
    found = UK.protection.let_through(device, q(kiloamperes, "kA"))
    assert isinstance(found, Missing)
    assert said in found.reason


def test_a_device_surely_clears_at_the_points_that_are_tabulated():
    (current, time), *others = UK.protection.clearing_points(breaker())
    assert (current.quantity, time.quantity, others) == (q(200, "A"), q(0.1, "s"), [])
    # BS 88-3, 32 A: 0.95 × 230 V / 0.91 Ω and / 1.6 Ω (BS 7671, Tables 41.2 and 41.4)
    points = UK.protection.clearing_points(fuse(rating=32))
    assert [round(current.quantity.magnitude, 1) for current, _ in points] == [240.1, 136.6]
    assert [time.quantity.magnitude for _, time in points] == [0.4, 5]
    assert len(UK.protection.clearing_points(fuse(rating=100))) == 1
    assert isinstance(UK.protection.clearing_points(fuse(rating=99)), Missing)
    assert isinstance(IEC.protection.clearing_points(fuse()), Missing)


def test_of_a_fuse_that_no_table_knows_the_longest_time_is_named():
    found = UK.protection.clearing_points(fuse(DeviceStandard.FUSE_1361))
    assert isinstance(found, Missing)
    assert "at 5 s" in found.reason
