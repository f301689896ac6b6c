"""A job finds its way from the origin to each point."""

import pytest

from pipeline.facts.choices import EarthingSystem
from pipeline.facts.job import Job
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.supply import Supply

SUBMAIN = Circuit(board="MAIN", circuit="1")
FINAL = Circuit(board="GARAGE", circuit="2")
MAIN = Board(board="MAIN")
GARAGE = Board(board="GARAGE", fed_board="MAIN", fed_circuit="1")
POINT = Point(point="CP1", board="GARAGE", circuit="2")
JOB = Job(
    row=JobRow(job="A"),
    supply=Supply(earthing_system=EarthingSystem.TN_C_S),
    boards=(MAIN, GARAGE),
    circuits=(FINAL, SUBMAIN),
    points=(POINT,),
    readings=(
        CircuitReadings(board="GARAGE", circuit="2", attempt=2),
        CircuitReadings(board="GARAGE", circuit="2", attempt=1),
    ),
)


def test_the_path_runs_from_the_origin_to_the_circuit():
    assert JOB.path(FINAL) == (SUBMAIN, FINAL)
    assert JOB.path(SUBMAIN) == (SUBMAIN,)


def test_a_loop_of_boards_ends_where_it_closes():
    loop = JOB.model_copy(update={"boards": (MAIN.with_values(fed_board="GARAGE", fed_circuit="2"), GARAGE)})
    assert loop.path(FINAL) == (SUBMAIN, FINAL)
    assert loop.earthing_of(FINAL) is EarthingSystem.TN_C_S


def test_the_last_attempt_counts_and_the_first_is_kept():
    assert [each.attempt for each in JOB.attempts(FINAL)] == [1, 2]
    assert JOB.latest(FINAL).attempt == 2


def test_points_are_found_behind_every_board_on_their_way():
    assert JOB.points_behind(MAIN) == JOB.points_behind(GARAGE) == (POINT,)
    assert JOB.fed_boards(SUBMAIN) == (GARAGE,)


@pytest.mark.parametrize(
    ("board", "circuit", "system"),
    [(None, None, "TN-C-S"), (EarthingSystem.TT, None, "TT"), (EarthingSystem.TN_S, EarthingSystem.TT, "TT")],
)
def test_the_earthing_system_is_inherited_unless_it_changes(board, circuit, system):
    changed = JOB.model_copy(update={"boards": (MAIN, GARAGE.with_values(earthing_system=board))})
    assert changed.earthing_of(FINAL.with_values(earthing_system=circuit)) == system


def test_a_change_on_the_feeding_circuit_holds_for_the_board_behind_it():
    changed = JOB.model_copy(update={"circuits": (FINAL, SUBMAIN.with_values(earthing_system=EarthingSystem.TT))})
    assert changed.earthing_of(FINAL) is EarthingSystem.TT
    assert changed.earthing_of_board(MAIN) is EarthingSystem.TN_C_S


def test_the_nearest_electrode_earths_a_circuit():
    own, whole = Electrode(board="GARAGE", circuit="2"), Electrode()
    assert JOB.model_copy(update={"electrodes": (whole, own)}).electrode(FINAL) == own
    assert JOB.model_copy(update={"electrodes": (whole,)}).electrode(FINAL) == whole
    assert JOB.electrode(FINAL) is None


def test_a_changed_copy_of_a_job_looks_its_rows_up_anew():
    one = Circuit(board="CU", circuit="1")
    job = Job(
        row=JobRow(job="J1"),
        boards=(Board(board="CU"),),
        circuits=(one,),
        readings=(CircuitReadings(board="CU", circuit="1"),),
    )
    assert job.circuit("CU", "1") is one
    assert len(job.attempts(one)) == 1
    other = Circuit(board="CU", circuit="1", description="changed")
    copy = job.model_copy(update={"circuits": (other,), "readings": ()})
    assert copy.circuit("CU", "1") is other
    assert copy.attempts(other) == ()
    assert job.circuit("CU", "1") is one
    assert job == Job(row=job.row, boards=job.boards, circuits=job.circuits, readings=job.readings)
