"""Whatever the converter does, the document at fault is named, the others are made, and no process is left."""

import os
import signal
import sys
import time
from pathlib import Path

import pytest

from pipeline.documents.catalogue import text
from pipeline.points import Point
from tests.crash.acts import ACTS, audited
from tests.crash.converter import HOW, Converter
from tests.crash.invariants import broken, state_of, survivors
from tests.crash.scene import FIRST, SECOND, Scene
from tests.tools.test_process import vanish

pytestmark = [
    pytest.mark.xdist_group("crash"),
    pytest.mark.skipif(sys.platform == "win32", reason="a process is forked"),
]
USUAL = ("hang", "nothing", "late")
INSTANT_S = 1.5  # a second, and what a busy machine adds


@pytest.fixture(scope="session")
def office_scene(tmp_path_factory):
    """The scene with the real make, over a stand-in for the converter alone."""
    return Scene(tmp_path_factory.mktemp("office"), real=True)


def convert_with(scene, converter, command):
    scene.change = converter.put_in
    ended = scene.run(command)
    assert vanish(converter.processes())
    assert survivors(ended.mark) == []
    return ended


@pytest.mark.parametrize("how", [each if each in USUAL else pytest.param(each, marks=pytest.mark.long) for each in HOW])
def test_the_document_at_fault_is_named_the_others_are_made_and_nothing_survives(office_scene, tmp_path, how):
    out = tmp_path / "out"
    out.mkdir()
    # the cover alone names two others
    wanted = [text(f"{each}.title").encode() for each in ("user-instructions", "commissioning")]
    bad = Converter(tmp_path / "bad", how, (b"0002-1", *wanted))
    ended = convert_with(office_scene, bad, office_scene.build(out, office_scene.first))
    assert ended.code == 3
    [told] = [line for line in ended.said.splitlines() if line.startswith("Failed on this machine")]
    assert "0002-1-cover" in told
    assert ("come to an end" in told) is (how == "hang")
    histories = {job: kinds[-1] for (_, job), kinds in state_of(out).histories.items()}
    assert histories == {FIRST: "awaiting signature", SECOND: "reserved"}
    assert broken(out) == []
    assert audited(out) == []
    good = Converter(tmp_path / "good")
    assert convert_with(office_scene, good, office_scene.build(out)).code == 0
    assert broken(out, like=state_of(out)) == []


def test_ctrl_c_while_documents_are_converted_ends_at_once_and_can_be_taken_up_again(office_scene, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    bad = Converter(tmp_path / "bad", "hang", seconds=60)
    office_scene.change = bad.put_in
    run = office_scene.start(office_scene.build(out, office_scene.first))
    while len(bad.processes()) < 2:
        time.sleep(0.02)
    start = time.monotonic()
    os.kill(run.number, signal.SIGINT)
    ended = run.end()
    assert time.monotonic() - start < INSTANT_S
    assert ended.code == 130
    assert "Run the same command again" in ended.sighed
    assert vanish(bad.processes())
    assert survivors(ended.mark) == []
    assert broken(out) == []
    good = Converter(tmp_path / "good")
    assert convert_with(office_scene, good, office_scene.build(out)).code == 0
    assert broken(out, like=state_of(out)) == []


def test_a_run_killed_while_documents_are_converted_leaves_no_process(office_scene, tmp_path):
    bad = Converter(tmp_path / "bad", "hang", seconds=60)
    office_scene.change = bad.put_in
    (tmp_path / "out").mkdir()
    run = office_scene.start(office_scene.build(tmp_path / "out", office_scene.first))
    while len(bad.processes()) < 2:
        time.sleep(0.02)
    os.kill(run.number, signal.SIGKILL)
    ended = run.end()
    assert vanish(bad.processes())
    assert survivors(ended.mark) == []
    assert broken(Path(tmp_path / "out")) == []


@pytest.mark.parametrize("act", ["a release", *(pytest.param(each, marks=pytest.mark.long) for each in list(ACTS)[:2])])
def test_ctrl_c_at_every_point_can_be_taken_up_again(begun, act):
    undisturbed = begun(act)
    passed = undisturbed.scene.run(undisturbed.command).passed
    for count, point in enumerate(passed):
        if point in passed[:count] or point is Point.LISTED:
            continue
        one = begun(act)
        ended = one.scene.run(one.command, lambda at, _, point=point: at is not point or interrupt())
        assert ended.code == 130, (point, ended)
        one.is_sound(ended.mark)
        one.complete()
        one.is_complete()


def interrupt():
    """Ctrl-C, as the process itself gets it."""
    os.kill(os.getpid(), signal.SIGINT)
    time.sleep(1)
