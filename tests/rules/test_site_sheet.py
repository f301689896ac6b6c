"""What the electrician is asked for on the honest jobs: where, how it is found, what to expect, and its limit."""

import pytest
from rules.honest import (
    TODAY,
    build,
    but,
    change,
    circuit_row,
    electrode_row,
    model_row,
    planned,
    point_row,
    readings_row,
    three_phase_tt,
)

from pipeline.editions import edition
from pipeline.facts.job import Job
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.supply import Supply
from pipeline.rules.base import Case
from pipeline.rules.visit import asked_for

NINE, CP1, HOME, INTAKE = "Board MAIN, circuit 9", "Charge point CP1", "Board MAIN", "J1"


def asked(job, by="uk_2018_a2"):
    """How each cell is found, with what to expect and its limit, by its row and the begin of its heading."""
    found = asked_for(Case(job, edition(by), TODAY))
    return {(each.row, each.column.partition(" (")[0]): (each.how, each.expected, each.limit) for each in found}


def tt(**cells):
    """The planned TT job with the designer's estimate of its electrode."""
    return but(planned(three_phase_tt()), "electrodes", **({"expected": 80, "resistance": None} | cells))


DOMESTIC = [
    (INTAKE, "Work finished", "look", "", ""),
    (INTAKE, "Limitations", "look", "", ""),
    (INTAKE, "Measured voltage L1", "live", "230 V", "216.2 V to 253 V"),
    (INTAKE, "Ze", "live", "up to 0.24 Ω", "0.24 Ω, by which the design was checked"),
    (INTAKE, "Ze found", "look", "measured", ""),
    (INTAKE, "Fault current found", "look", "measured", ""),
    (INTAKE, "Prospective fault current, line to earth", "live", "", ""),
    (INTAKE, "Meter number", "look", "", ""),
    # dead or live, the intake is looked at
    (INTAKE, "Bonding continuity", "look", "", "about 0.05 Ω or less"),
    (HOME, "Largest fault current at the board", "live", "up to 1.02 kA", "1.02 kA, by which the devices were chosen"),
    (HOME, "Loop impedance at the board", "live", "", ""),
    (HOME, "Insulation of the whole board", "dead", "", ""),
    # (3.08 + 7.41) mΩ/m × 14 m; 0.6 of it less 0.01 Ω, and 0.05 Ω more
    (NINE, "R1+R2", "dead", "0.1469 Ω at 20 °C", "0.07812 Ω to 0.1969 Ω"),
    (NINE, "Insulation test voltage", "dead", "500 V", ""),
    (NINE, "Insulation, live to live", "dead", "above 50 MΩ", "at least 1 MΩ"),
    (NINE, "Insulation, live to earth", "dead", "above 50 MΩ", "at least 1 MΩ"),
    (NINE, "Point connected during it", "dead", "no", ""),
    (NINE, "Polarity", "dead", "confirmed", ""),
    # 0.24 Ω + 0.1469 Ω
    (NINE, "Zs", "live", "up to 0.3869 Ω", "at most 0.874 Ω"),
    (NINE, "RCD time at I_Δn, 0°", "live", "above 5 ms", "at most 300 ms"),
    (NINE, "RCD test button", "live", "works", ""),
    (NINE, "Temperature at test", "look", "", ""),
    (CP1, "Terminal torque applied", "dead", "2.0 N·m", "2.0 N·m ± 10 %"),
    (CP1, "Charging power", "live", "up to 7.4 kW", ""),
    (CP1, "Pilot duty cycle", "live", "", ""),
    (CP1, "Limit locked by", "look", "", ""),
    (CP1, "Default charging hours set", "look", "", ""),
    (CP1, "Random delay", "look", "", "at most 1800 s"),
]


@pytest.mark.parametrize(("row", "column", "how", "expected", "limit"), DOMESTIC, ids=[each[1] for each in DOMESTIC])
def test_a_dwelling_is_asked_for(row, column, how, expected, limit):
    job = but(planned(build()), "points", torque=None, charge_power=None, duty_cycle=None, random_delay=None)
    assert asked(job)[row, column] == (how, expected, limit)


THREE = [
    (INTAKE, "Measured voltage L3", "live", "230 V", "216.2 V to 253 V"),
    (INTAKE, "Prospective fault current, line to line", "live", "", ""),
    ("Earth electrode of the installation", "R_A", "dead", "80 Ω", "at most 1666 Ω"),
    ("Earth electrode of the installation", "Measured on", "look", "", ""),
    (NINE, "Zs", "live", "about 80 Ω", "at most 1666 Ω"),
    (NINE, "Phase sequence", "live", "confirmed", ""),
    # beside armour 0.8 × 1.83 mΩ/m × 30 m, a share of the line
    (NINE, "R1+R2", "dead", "0.1098 Ω at 20 °C", "0.04392 Ω to 0.1598 Ω"),
    (CP1, "Charging power", "live", "up to 22 kW", ""),
]


@pytest.mark.parametrize(("row", "column", "how", "expected", "limit"), THREE, ids=[each[1] for each in THREE])
def test_a_three_phase_point_on_tt_is_asked_for(row, column, how, expected, limit):
    assert asked(tt())[row, column] == (how, expected, limit)


@pytest.mark.parametrize(
    ("cells", "asked_for_it"),
    [({"phases": 1}, False), ({"phases": 3}, True), ({"phases": None}, False)],
)
def test_a_phase_sequence_is_asked_for_where_the_circuit_has_several_phases(cells, asked_for_it):
    assert ((NINE, "Phase sequence") in asked(but(tt(), "circuits", **cells))) is asked_for_it
    assert (INTAKE, "Measured voltage L2") in asked(but(tt(), "circuits", **cells))


def test_without_an_estimate_of_the_electrode_nothing_is_said_to_expect():
    found = asked(tt(expected=None))
    assert found[NINE, "Zs"] == ("live", "", "at most 1666 Ω")
    assert found["Earth electrode of the installation", "R_A"] == ("dead", "", "at most 1666 Ω")


def test_an_electrode_is_held_against_the_rcd_that_needs_the_lowest_resistance():
    # 50 V / 500 mA = 100 Ω
    job = tt()
    second = change(job.circuits[0], circuit="10", rcd_rating=500)
    found = asked(job.model_copy(update={"circuits": (*job.circuits, second)}))
    assert found["Earth electrode of the installation", "R_A"][2] == "at most 100 Ω"
    alone = asked(job.model_copy(update={"electrodes": (electrode_row(circuit="77", board="MAIN"),)}))
    assert alone["Earth electrode of board MAIN", "R_A"] == ("dead", "", "")


@pytest.mark.parametrize(
    ("circuit", "point", "asked_for_it"),
    [("A", None, True), (None, "A", True), (None, None, False)],
)
def test_rcd_times_are_asked_for_where_the_circuit_or_its_point_has_an_rcd(circuit, point, asked_for_it):
    job = but(but(planned(build()), "circuits", rcd_type=circuit), "points", rcd_type=point)
    for column in ("RCD time at I_Δn, 0°", "RCD time at I_Δn, 180°", "RCD test button"):
        assert ((NINE, column) in asked(job)) is asked_for_it


def test_an_rcd_that_waits_is_asked_for_its_longer_times():
    # IEC 61008-1, Table 1, type S: 130 ms to 500 ms
    job = but(planned(build()), "circuits", rcd_delay="S", rcd_rating=300)
    assert asked(job)[NINE, "RCD time at I_Δn, 0°"] == ("live", "above 130 ms", "at most 500 ms")


@pytest.mark.parametrize(("connection", "asked_for_it"), [("socket-outlet", True), ("tethered cable", False)])
def test_the_lock_of_a_socket_outlet_is_asked_for_where_there_is_one(connection, asked_for_it):
    job = but(but(planned(build()), "models", connection=connection), "points", proximity=None, socket_lock=None)
    heads = {Point.fields()[name].heading.partition(" (")[0] for name in ("proximity", "socket_lock")}
    assert ({(CP1, each) for each in heads} <= asked(job).keys()) is asked_for_it
    assert not asked_for_it or (CP1, Point.fields()["proximity"].heading.partition(" (")[0]) in asked(job)
    lost = but(job, "points", model="EX-8")
    assert not {(CP1, each) for each in heads} & asked(lost).keys()


@pytest.mark.parametrize(("family", "asked_for_it"), [("uk", True), ("iec", False)])
def test_default_hours_are_asked_for_in_britain_alone(family, asked_for_it):
    job = but(planned(build()), "row", family=family)
    for column in ("Default charging hours set", "Random delay"):
        assert ((CP1, column) in asked(job)) is asked_for_it


def test_existing_circuits_are_not_asked_for_readings_and_old_readings_are_asked_for_anew():
    job = planned(build(circuits=(circuit_row(), circuit_row(circuit="1", new="existing"))))
    assert {row for row, _ in asked(job) if row.startswith("Board MAIN, circuit")} == {NINE}
    read = job.model_copy(update={"readings": (readings_row(),)})
    assert (NINE, "Zs") in asked(read)
    assert (NINE, "Polarity") not in asked(read)


def test_what_is_known_already_is_not_asked_for_again():
    found = asked(planned(build()))
    assert (CP1, "Place") not in found
    assert (CP1, Point.fields()["covers"].heading) not in found
    blank = but(planned(build()), "points", covers=None, level=None)
    assert asked(blank)[CP1, Point.fields()["covers"].heading] == ("look", "done", "")
    assert (CP1, Point.fields()["level"].heading) in asked(blank)


@pytest.mark.parametrize(
    ("cells", "name", "told"),
    [
        ({}, "height", ("look", "", "0.75 to 1.20 m")),
        ({}, "cable_diameter", ("look", "", "9 to 18 mm")),
        ({"height_lowest": None}, "height", ("look", "", "")),
        ({"entry_largest": None}, "cable_diameter", ("look", "", "")),
        ({"torque": None}, "torque", ("dead", "", "")),
        ({"torque_tolerance": None}, "torque", ("dead", "", "")),
        ({"rated_power": None}, "charge_power", ("live", "", "")),
        ({"model": "EX-8"}, "height", ("look", "", "")),
        ({"model": "EX-8"}, "random_delay", ("look", "", "at most 1800 s")),
    ],
)
def test_a_point_is_asked_for_within_what_its_maker_says(cells, name, told):
    job = but(planned(build()), "points", height=None, cable_diameter=None)
    job = job.model_copy(update={"models": (model_row(**cells),)})
    assert asked(job)[CP1, Point.fields()[name].heading.partition(" (")[0]] == told


def test_a_supply_of_which_nothing_is_known_has_nothing_to_expect():
    found = asked(but(planned(build()), "supply", ze=None, fault_current="LIM: no access"))
    for name in ("ze", "fault_current"):
        assert found[INTAKE, Supply.fields()[name].heading.partition(" (")[0]] == ("live", "", "")
    board = Board.fields()["fault_current"].heading.partition(" (")[0]
    lost = but(but(planned(build()), "supply", fault_current=None), "boards", fault_current=None)
    assert asked(lost)[HOME, board] == ("live", "", "")


@pytest.mark.parametrize("cells", [{"live_size": None}, {"live_size": 7}, {"length": None}])
def test_a_cable_of_which_too_little_is_known_has_no_continuity_to_expect(cells):
    found = asked(but(planned(build()), "circuits", **cells))
    assert found[NINE, "R1+R2"] == ("dead", "", "")
    assert found[NINE, "Zs"][1] == ""


def test_a_device_without_a_limit_leaves_the_limit_of_the_loop_open():
    found = asked(but(planned(build()), "circuits", device_rating=None))
    assert found[NINE, "Zs"] == ("live", "up to 0.3869 Ω", "")


def test_a_job_without_rows_is_asked_for_its_own_cells_alone():
    found = asked_for(Case(Job(row=planned(build()).row), edition("uk_2018_a2"), TODAY))
    assert {each.sheet for each in found} == {"Jobs", "Supplies", "Inspections"}
    assert {each.row for each in found if each.sheet == "Jobs"} == {"J1"}


def test_what_is_inspected_and_who_found_it_is_only_looked_at():
    found = asked_for(Case(planned(build()), edition("uk_2018_a2"), TODAY))
    inspected = [each for each in found if each.sheet == "Inspections"]
    assert {(each.how, each.expected, each.limit, each.row) for each in inspected} == {("look", "", "", "J1")}


def test_a_second_point_has_its_own_row():
    job = planned(build(points=(point_row(), point_row(point="CP2"))))
    assert {row for row, _ in asked(job) if row.startswith("Charge point")} == {CP1, "Charge point CP2"}
