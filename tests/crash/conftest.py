"""One scene for all tests here, and what undisturbed runs leave."""

import shutil

import pytest

from tests.crash.acts import Begun
from tests.crash.invariants import broken, state_of
from tests.crash.scene import Scene, paper, real_paper


@pytest.fixture(scope="session")
def scene(tmp_path_factory):
    return Scene(tmp_path_factory.mktemp("scene"))


@pytest.fixture(scope="session")
def whole(scene, tmp_path_factory):
    """Outputs folders as undisturbed runs leave them: after the first week, the second, a release, signatures."""
    root = tmp_path_factory.mktemp("whole")
    names = ("first", "one", "second", "released", "signable", "signed")
    first, one, second, released, signable, signed = folders = [root / name for name in names]
    for folder in (first, one, signable):
        folder.mkdir()
    ended = scene.run(scene.build(first, scene.first))
    assert (ended.code, ended.sighed.count("Traceback")) == (0, 0), ended
    for folder in (second, released):
        shutil.copytree(first, folder)
    assert scene.run(scene.build(one, scene.one)).code == 0
    assert scene.run(scene.revise(second)).code == 0
    assert scene.run(scene.release(released)).code == 0
    scene.paper = real_paper
    assert scene.run(scene.build(signable, scene.first)).code == 0
    scene.paper = paper
    shutil.copytree(signable, signed)
    ended = scene.run(scene.sign(signed))
    assert ended.code == 0, ended
    for folder in folders:
        assert broken(folder, like=state_of(folder)) == []
    return dict(zip(names, folders, strict=True))


@pytest.fixture(autouse=True)
def unchanged(scene):
    """A change of the program is for one test."""
    scene.change = bool


@pytest.fixture
def begun(scene, whole, tmp_path):
    return lambda act: Begun(scene, whole, tmp_path, act)
