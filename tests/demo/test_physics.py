"""The demo's readings obey the physics that they are drawn from."""

import pytest

from pipeline.demo.physics import Loops, between, rcd_time, resistance, scatter, supply_voltage, whole


def test_a_conductor_has_the_resistance_of_its_size_and_length():
    assert resistance(10, 1000, 20) == pytest.approx(1.83 * 0.97)
    assert resistance(10, 1000, 70) == pytest.approx(1.83 * 0.97 * 1.2)


def test_a_loop_grows_by_what_the_fault_flows_through():
    far = Loops(0.2, 0.15).through(6, 2.5, 20, 20)
    line, protective = resistance(6, 20, 20), resistance(2.5, 20, 20)
    assert far.earth == pytest.approx(0.2 + line + protective)
    assert far.neutral == pytest.approx(0.15 + 2 * line)


def test_an_electrode_replaces_the_earth_path_and_leaves_the_neutral_alone():
    far = Loops(0.3, 0.3).at_electrode(60)
    assert far.earth > 60
    assert far.neutral == pytest.approx(0.3)


def test_a_fault_current_follows_from_voltage_and_loop():
    assert Loops(0.5, 0.23).fault_current(230) == pytest.approx(1.0)


def test_scatter_depends_on_names_alone_and_stays_in_its_band():
    values = [scatter("job", number) for number in range(200)]
    assert all(-1 <= value <= 1 for value in values)
    assert max(values) > 0.9
    assert min(values) < -0.9
    assert scatter("job", 7) == scatter("job", 7) != scatter("job", 8)


def test_instruments_show_plausible_figures():
    for name in range(50):
        assert 216.2 < supply_voltage(name) < 253
        assert 5 < rcd_time(name) < 40
        assert 3 <= whole(3, 9, name) <= 9
        assert 0.5 <= between(0.5, 0.6, name) <= 0.6
