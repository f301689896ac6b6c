"""The system refuses a call – no room, no right, a broken disk – anywhere: told plainly, and completed later."""

import shutil
import sys
from itertools import count, cycle

import pytest

from tests.crash.acts import ACTS
from tests.crash.invariants import impolite
from tests.crash.scene import Tracer

pytestmark = [
    pytest.mark.xdist_group("crash"),
    pytest.mark.skipif(sys.platform != "linux" or not shutil.which("strace"), reason="strace is not on this machine"),
]
CALLS = {
    "write": ("write", "pwrite64", "ftruncate"),
    "fsync": ("fsync", "fdatasync"),
    "rename": ("rename", "renameat", "renameat2"),
    "link": ("link", "linkat", "symlink"),
    "unlink": ("unlink", "unlinkat", "rmdir"),
    "make": ("mkdir", "chmod", "fchmodat"),
}
ERRORS = ("ENOSPC", "EIO", "EACCES")


def refused(begun, call, error, place):
    """Whether there was such a call to refuse; whatever came of it is completed by the next runs."""
    ended = begun.scene.run(begun.command, tracer=Tracer(call, f"error={error}:when={place}"))
    hit = [each for each in ended.calls.splitlines() if "(INJECTED)" in each]
    if not hit:
        return False
    where = f"{call} {place} {error}: {hit}"
    assert ended.code in {0, 3}, f"{where}\n{ended}"
    if ended.code:
        assert impolite(ended.code, ended.said, ended.sighed) == [], where
    assert not (begun.out / "fault.txt").exists(), where
    begun.is_sound(ended.mark)
    begun.complete()
    begun.is_complete()
    return True


@pytest.mark.parametrize(("kind", "act"), list(zip(CALLS, cycle(ACTS), strict=False)))
def test_a_refused_call_is_told_and_the_next_run_completes_the_work(begun, act, kind):
    for number, call in enumerate(CALLS[kind]):
        for place in (1, 6):
            if not refused(begun(act), call, ERRORS[(number + place) % 3], place):
                break


@pytest.mark.long
@pytest.mark.parametrize("act", ACTS)
@pytest.mark.parametrize("error", ERRORS)
@pytest.mark.parametrize("kind", CALLS)
def test_the_same_for_every_single_call(begun, act, error, kind, record_property):
    done = 0
    for call in CALLS[kind]:
        for place in count(1):
            if not refused(begun(act), call, error, place):
                break
            done += 1
    record_property("told", f"{act}, {kind} {error}: {done} refusals, completed each time")
