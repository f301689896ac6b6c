"""Killed at any named point, the next run completes the work: no number lost or doubled, no half pack to be seen."""

import shutil
import signal
import sys

import pytest

from pipeline.points import Point
from pipeline.stages.commit import Outputs
from pipeline.stages.release import publish_signed
from tests.crash.acts import ACTS, killed_everywhere
from tests.crash.invariants import impolite, state_of
from tests.crash.scene import dying

pytestmark = [
    pytest.mark.xdist_group("crash"),
    pytest.mark.skipif(sys.platform == "win32", reason="a process is forked"),
]


@pytest.mark.parametrize("act", ACTS)
def test_killed_at_every_point_the_next_run_completes_the_work(begun, act, record_property):
    count = killed_everywhere(lambda: begun(act))
    record_property("told", f"{act}: killed at {count} places, completed each time")


def test_every_named_point_is_passed_by_some_act(begun):
    passed = set()
    for act in ACTS:
        one = begun(act)
        passed |= set(one.scene.run(one.command).passed)
    assert passed == set(Point) - {Point.SENDING, Point.ANSWERED, Point.TOLD}  # for these: tests/mail/test_killed.py


def test_dying_again_and_again_loses_and_doubles_nothing(begun):
    one = begun("a revision and a new job")
    for point in (Point.RESERVED, Point.MADE, Point.BAGGED, Point.MOVED, Point.ENTERED, Point.COPIED, Point.BAGGED):
        assert one.scene.run(one.command, dying(point, 1)).code in {-signal.SIGKILL, 0}
        one.is_sound()
    one.complete()
    one.is_complete()


def test_a_completed_run_repeated_changes_nothing(scene, whole, tmp_path):
    out = shutil.copytree(whole["second"], tmp_path / "out")
    before = state_of(out)
    for command in (scene.revise(out), scene.build(out)):
        assert scene.run(command).code == 0
    assert state_of(out) == before


def test_an_older_register_put_back_over_a_newer_archive_numbers_nothing(scene, whole, tmp_path):
    out = shutil.copytree(whole["second"], tmp_path / "out")
    shutil.copy(whole["first"] / "register.sqlite", out / "register.sqlite")
    before = state_of(out)
    for command in (scene.revise(out), scene.build(out)):
        ended = scene.run(command)
        assert impolite(ended.code, ended.said, ended.sighed) == []
        assert "does not know: 0001-2, 0003-1" in ended.sighed
    assert state_of(out) == before


def test_a_photo_that_is_lost_on_the_way_stops_its_own_pack_alone(scene, begun):
    one = begun("the first week")
    scene.run(one.command, dying(Point.RESERVED, 1))
    photos = sorted((one.out / ".work" / "photos").iterdir())
    photos[0].write_bytes(b"torn")
    ended = scene.run(scene.build(one.out))
    assert ended.code == 3
    assert "is gone or damaged. Give its number up" in ended.said
    assert len(state_of(one.out).folders) == 1
    one.is_sound()


def test_an_unsigned_pack_left_beside_its_signed_one_is_taken_away(tmp_path):
    outputs = Outputs(tmp_path)
    folders = (outputs.archive / "0001-1-released" / "data", outputs.packs / "0001-1")
    for folder in folders:
        folder.mkdir(parents=True)
        (folder / "0001-1-signed-handover-pack.pdf").write_bytes(b"signed")
    (folders[1] / "0001-1-handover-pack.pdf").write_bytes(b"unsigned")
    publish_signed("0001-1", outputs)
    assert [each.name for each in folders[1].iterdir()] == ["0001-1-signed-handover-pack.pdf"]
