"""What is committed is safe before anything relies on it; whoever takes out a sync or swaps two steps is found."""

import shutil
import sys

import pytest

from tests.crash.acts import ALL_ACTS, killed_everywhere
from tests.crash.mutants import mutants
from tests.crash.order import CALLS, Disk
from tests.crash.scene import Tracer

pytestmark = [
    pytest.mark.xdist_group("crash"),
    pytest.mark.skipif(sys.platform != "linux" or not shutil.which("strace"), reason="strace is not on this machine"),
]


def disorder(begun):
    """What of an undisturbed run would be lost or seen too early by a cut of power."""
    disk = Disk(begun.out)
    ended = begun.scene.run(begun.command, tracer=Tracer(CALLS))
    return [*disk.follow(ended.calls), *([] if ended.code == 0 else [f"it ended with {ended.code}: {ended.sighed}"])]


@pytest.mark.parametrize("act", ALL_ACTS)
def test_whatever_relies_on_something_comes_after_it_is_safe(begun, act):
    assert disorder(begun(act)) == []


# changes that no run, no death and no cut of power can show, each with the reason
HARMLESS = {
    "disk.sync_tree: 'for path in sorted(folder.rglob('*')):' after 'sync_folder(folder)'": "all before the move",
    "book.Register.open: 'connection.execute('PRAGMA synchronous = EXTRA')' after "
    "'register.is_new = not connection.execute('SELECT count(*) FR'": "nothing is written in between",
    "book.Register._writing: 'yield' after 'self._db.execute('COMMIT')'": "noticed where half a reservation is entered",
}


def unnoticed(scene, begun, mutant):
    """Whether neither the order of calls, nor the end of a run, nor any death shows a change of the commit code."""
    scene.change = mutant.put_in
    try:
        for act in ALL_ACTS:
            one = begun(act)
            if disorder(one):
                return False
            try:
                one.is_complete()
            except AssertionError:
                return False
        for act in ALL_ACTS:
            try:
                killed_everywhere(lambda act=act: begun(act))
            except AssertionError:
                return False
    finally:
        scene.change = bool
    return True


@pytest.mark.long
def test_no_statement_of_the_commit_can_be_left_out_and_no_two_swapped(scene, whole, begun, record_property):
    found, count = [], 0
    for mutant in mutants():
        count += 1
        if str(mutant) not in HARMLESS and unnoticed(scene, begun, mutant):
            found.append(str(mutant))
    record_property("told", f"{count} changes of the commit code, {len(HARMLESS)} harmless, unnoticed: {len(found)}")
    assert found == []


@pytest.mark.parametrize("change", ["os.fsync(file.fileno())", "source.rename(target)", "beside.replace(path)"])
def test_a_sync_or_a_rename_left_out_is_noticed(scene, begun, change):
    chosen = [each for each in mutants() if each.change == f"without '{change}'"]
    assert chosen
    for mutant in chosen:
        assert not unnoticed(scene, begun, mutant), mutant
