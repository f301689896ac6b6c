"""What is committed is safe before anything relies on it; whoever takes out a sync or swaps two steps is found."""

import shutil
import sys

import pytest

from tests.crash.acts import ALL_ACTS, SIGNING, killed_everywhere
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


# changes of which no run, no death and no cut of power shows anything, each with the reason
HARMLESS = {
    "disk.sync_folder: without 'os.close(handle)'": "the end of the process closes it",
    "disk.sync_tree: 'for path in sorted(folder.rglob('*')):' after 'sync_folder(folder)'": "all before the move",
    "disk.move_new: 'make_folder(target.parent)' after 'if target.exists():'": "both before the move",
    "release.release: 'if target.exists() and (not (is_whole(target) and _content(t' after "
    "'if not target.exists():'": "a bag that was moved in a moment ago is whole",
    "issue.issue: 'for each in chosen:' after 'wishes = [Wish(each.reference, each.key, record_bytes(each, '": (
        "a wish only computes"
    ),
    "issue._complete: 'for each in reserved:' after 'tools = made_by(shop.templates)'": "the tools only read",
    "issue._complete: 'if not made.trouble:' after 'yield (made.envelope.name, f'{made.trouble} {made.remedy}'.s'": (
        "whoever asks takes all"
    ),
    "book.Register.open: 'connection.execute('PRAGMA synchronous = EXTRA')' after "
    "'register.is_new = not connection.execute('SELECT count(*) FR'": "nothing is written in between",
    "book.Register.open: without 'connection.close()'": "the end of the process closes it",
    "book.Register.awaiting: 'self._enter(now, Kind.AWAITING, keys=keys, body=body)' after "
    "'self._supersede(reservation.envelope, Kind.AWAITING, now)'": "both in one transaction",
    "book.Register.issue: 'self._enter(now, Kind.ISSUED, keys=keys, body=body, personal' after "
    "'self._supersede(self._envelope(standing.name), Kind.ISSUED, '": "both in one transaction",
}
# changes that other tests notice: where
ELSEWHERE = {
    "disk.write_durably: without 'beside.unlink": "tests/test_disk.py: a disk that is full",
    "release.release: ": "tests/system/test_release.py: who may release, and on which day",
    "issue.finish_interrupted: without 'refuse_unknown": "tests/crash/test_points.py: an older register put back",
    "book.Register.open: without 'register.prove_chain": "tests/register/test_book.py: an entry edited by hand",
    "book.Register._writing: ": "tests/register/test_book.py: a reservation that fails half way",
    "book.Register.issue: without": "tests/register/test_states.py: a revision that is issued",
}


# a signature by key is released by the same code as one in ink
QUICK = [each for each in ALL_ACTS if each != SIGNING]


def is_known(mutant):
    """Whether a change is harmless, or for other tests to notice."""
    return str(mutant) in HARMLESS or str(mutant).startswith(tuple(ELSEWHERE))


def unnoticed(scene, begun, mutant):
    """Whether neither the order of calls, nor the end of a run, nor any death shows a change of the commit code."""
    scene.change = mutant.put_in
    try:
        for act in QUICK:
            one = begun(act)
            if disorder(one):
                return False
            try:
                one.is_complete()
            except AssertionError:
                return False
        for act in QUICK:
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
        if not is_known(mutant) and unnoticed(scene, begun, mutant):
            found.append(str(mutant))
    known = sum(map(is_known, mutants()))
    told = f"{count} changes of the commit code, {known} harmless or for other tests, unnoticed: {len(found)}"
    record_property("told", told)
    assert found == []


@pytest.mark.parametrize("change", ["os.fsync(file.fileno())", "source.rename(target)", "beside.replace(path)"])
def test_a_sync_or_a_rename_left_out_is_noticed(scene, begun, change):
    chosen = [each for each in mutants() if each.change == f"without '{change}'"]
    assert chosen
    for mutant in chosen:
        assert not unnoticed(scene, begun, mutant), mutant
