"""Limits of readings, control pilot and proximity, and what charge points add."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.editions import Missing, Value, edition
from pipeline.facts.quantities import quantity as q

UK, IEC = edition("uk_2018_a2"), edition("iec")


# IEC 61851-1, Annex A, the band ends settled by its full table
@pytest.mark.parametrize(
    ("duty", "amperes"),
    [
        (8, 6),
        (9.9, 6),
        (10, 6),
        (10.5, 6.3),
        (16, 9.6),
        (26.7, 16.02),
        (53.3, 31.98),
        (80, 48),
        (85, 51),
        (85.5, 53.75),
        (89.2, 63),
        (95.5, 78.75),
        (96, 80),
        (96.5, 80),
        (97, 80),
    ],
)
def test_a_duty_cycle_allows_its_current(duty, amperes):
    assert UK.testing.pilot_current(q(duty, "%")).quantity.magnitude == pytest.approx(amperes)


# the same table: 96 % is the last one that is worked out
def test_the_current_of_the_longest_band_shows_its_working_and_beyond_it_there_is_none():
    last, beyond = (UK.testing.pilot_current(q(each, "%")) for each in (96, 96.1))
    assert last.worked is not None
    assert beyond.worked is None


# the same table: bands that stand for no current
@pytest.mark.parametrize(
    ("duty", "meaning"),
    [
        (2.9, "no charging"),
        (3, "digital communication only"),
        (5, "digital communication only"),
        (7, "digital communication only"),
        (7.5, "an error of the pilot"),
        (97.5, "an error of the pilot"),
        (99.5, "an error of the pilot"),
        (100, "no charging"),
    ],
)
def test_a_duty_cycle_without_current_says_what_it_means(duty, meaning):
    found = UK.testing.pilot_current(q(duty, "%"))
    assert isinstance(found, Missing)
    assert meaning in found.reason


# IEC 61851-1, Annex B: the nominal resistors 100, 220, 680, 1500 Ω and the ends of their bands
@pytest.mark.parametrize(
    ("ohms", "amperes"), [(100, 63), (75, 63), (150, 63), (220, 32), (330, 32), (680, 20), (1500, 13), (2200, 13)]
)
def test_a_resistor_stands_for_its_current(ohms, amperes):
    assert UK.testing.proximity_current(q(ohms, "Ω")).quantity.magnitude == amperes


@pytest.mark.parametrize("ohms", [0, 74, 2201])
def test_a_resistor_outside_the_bands_stands_for_none(ohms):
    assert isinstance(UK.testing.proximity_current(q(ohms, "Ω")), Missing)


def test_insulation_is_tested_at_500_volts_against_one_megohm():
    for book in (UK, IEC):
        assert book.testing.insulation_voltage().shown == "500 V"
        assert book.testing.insulation_resistance().shown == "1 MΩ"


def test_the_voltage_band_is_that_of_the_family():
    assert [each.shown for each in UK.testing.voltage_band()] == ["216.2 V", "253 V"]
    assert [each.shown for each in IEC.testing.voltage_band()] == ["207 V", "253 V"]


# BS 7671, 722.411.4.1 and 722.531.3.101
def test_charge_points_ask_for_their_own_protection():
    charging = UK.charging
    assert charging.point_rcd().shown == "30 mA"
    assert charging.dc_detection().shown == "6 mA"
    assert [each.shown for each in charging.open_pen_voltages()] == ["207 V", "253 V"]
    assert charging.open_pen_touch_voltage().shown == "70 V"
    assert charging.open_pen_time().shown == "5 s"


@settings(max_examples=40)
@given(st.floats(8, 97), st.floats(0, 20))
def test_a_longer_duty_cycle_never_allows_less(duty, more):
    short, long = UK.testing.pilot_current(q(duty, "%")), UK.testing.pilot_current(q(min(97, duty + more), "%"))
    assert isinstance(short, Value)
    assert short.quantity.magnitude <= long.quantity.magnitude + 1e-9
