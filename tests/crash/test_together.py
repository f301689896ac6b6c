"""Two runs at once on one outputs folder: the second waits, or says who holds it; a dead holder holds nothing."""

import os
import shutil
import signal
import sys
import time

import pytest

from pipeline import issue
from pipeline.points import Point
from tests.crash.invariants import broken, impolite, state_of

pytestmark = [
    pytest.mark.xdist_group("crash"),
    pytest.mark.skipif(sys.platform == "win32", reason="a process is forked"),
]


def lingering(folder, point=Point.RESERVED):
    """What keeps a run at a point until a file is there, and says by another that it has come so far."""

    def at(passed, _):
        if passed is point:
            (folder / "there").touch()
            while not (folder / "go").exists():
                time.sleep(0.01)

    return at


def wait_for(path):
    while not path.exists():
        time.sleep(0.01)


def test_the_second_run_waits_and_finds_the_work_done(scene, whole, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    first = scene.start(scene.build(out, scene.first), lingering(tmp_path))
    wait_for(tmp_path / "there")
    second = scene.start(scene.build(out, scene.first))
    time.sleep(0.3)
    (tmp_path / "go").touch()
    ends = [each.end() for each in (first, second)]
    assert [each.code for each in ends] == [0, 0]
    assert "unchanged" in ends[1].said
    assert broken(out, like=state_of(whole["first"])) == []


def test_a_second_run_that_waits_in_vain_says_who_holds_the_folder(scene, whole, tmp_path):
    out = shutil.copytree(whole["first"], tmp_path / "out")
    first = scene.start(scene.revise(out), lingering(tmp_path))
    wait_for(tmp_path / "there")
    scene.change = lambda: setattr(issue, "WAIT_FOR_LOCK_S", 0.2)
    before = state_of(out)
    for command in (scene.revise(out), scene.build(out), scene.release(out)):
        ended = scene.run(command)
        assert impolite(ended.code, ended.said, ended.sighed) == []
        assert f"in use by another run (process {first.number} on " in ended.sighed
    assert state_of(out) == before
    (tmp_path / "go").touch()
    assert first.end().code == 0
    assert broken(out, like=state_of(whole["second"])) == []


def test_a_run_that_is_killed_holds_nothing(scene, whole, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    first = scene.start(scene.build(out, scene.first), lingering(tmp_path))
    wait_for(tmp_path / "there")
    second = scene.start(scene.build(out, scene.first))
    os.kill(first.number, signal.SIGKILL)
    assert first.end().code == -signal.SIGKILL
    assert second.end().code in {0, 3}
    assert scene.run(scene.build(out, scene.first)).code == 0
    assert broken(out, like=state_of(whole["first"])) == []


@pytest.mark.long
def test_fifty_times_two_runs_that_start_in_the_same_moment(scene, whole, tmp_path):
    for time_ in range(50):
        out = tmp_path / str(time_) / "out"
        out.mkdir(parents=True)
        runs = [scene.start(scene.build(out, scene.first)) for _ in range(2)]
        for ended in [each.end() for each in runs]:
            assert ended.code == 0 or "in use by another run (process" in ended.sighed, ended
        assert broken(out, like=state_of(whole["first"])) == []
