"""What is done to an outputs folder while it is disturbed, and what must hold afterwards."""

import shutil
import signal
from collections import Counter

from pipeline.audit.verify import Options, verify
from tests.crash.invariants import broken, state_of
from tests.crash.scene import dying

SIGNING = "signatures by key"
ACTS = {
    # what is done: the folder it begins from, the folder it would leave, how it is asked for
    "the first week": (None, "first", lambda scene, out: scene.build(out, scene.first)),
    "a revision and a new job": ("first", "second", lambda scene, out: scene.revise(out)),
    "a release": ("first", "released", lambda scene, out: scene.release(out)),
    SIGNING: ("signable", "signed", lambda scene, out: scene.sign(out)),
}

# one job asks for each folder once: nothing that a second job does can make good what was forgotten
ONE = "one job alone"
ALL_ACTS = ACTS | {ONE: (None, "one", lambda scene, out: scene.build(out, scene.one))}


class Begun:
    """An outputs folder in which an act can begin, its command, what is there before and what will be at the end."""

    def __init__(self, scene, whole, folder, act):
        start, end, command = ALL_ACTS[act]
        self.scene, self.act, self.out = scene, act, folder / "outputs"
        shutil.rmtree(self.out, ignore_errors=True)
        if start:
            shutil.copytree(whole[start], self.out)
        else:
            self.out.mkdir(parents=True)  # an empty folder that is there is meant for a series of its own
        self.command = command(scene, self.out)
        self.before, self.like = state_of(self.out), state_of(whole[end])

    def complete(self):
        """The runs that complete an act: one without the workbook, then the same command again."""
        if state_of(self.out).entries:
            last = self.scene.run(self.scene.build(self.out))
            assert last.code == 0, last
            assert "reserved" not in {kinds[-1] for kinds in state_of(self.out).histories.values()}
        elif (self.out / "register.sqlite").exists():
            self.scene.run(self.scene.build(self.out))
        again = self.scene.run(self.command)
        assert "Traceback" not in again.sighed
        assert again.code == 0, again

    def is_sound(self, mark=""):
        """Whether everything holds that must hold at any moment."""
        assert not (found := broken(self.out, self.before, mark=mark)), found
        assert not (found := audited(self.out)), found

    def is_complete(self):
        """Whether everything is as an undisturbed run leaves it."""
        assert not (found := broken(self.out, self.before, like=self.like)), found
        assert not (found := audited(self.out)), found


def audited(out):
    """What the auditor's program finds, bytes and register alone; nothing where there is nothing yet."""
    entered = state_of(out).entries
    return [str(each) for each in verify(Options((out,), full=False)).faults] if entered else []


def killed_everywhere(begin):
    """Kill an act at every point that it passes, each in a folder of its own; gives how many these were."""
    undisturbed = begin()
    ended = undisturbed.scene.run(undisturbed.command)
    assert ended.code == 0, ended
    counts = Counter()
    for point in ended.passed:
        counts[point] += 1
        begun = begin()
        died = begun.scene.run(begun.command, dying(point, counts[point]))
        assert died.code == -signal.SIGKILL, point
        begun.is_sound(died.mark)
        begun.complete()
        begun.is_complete()
    return len(ended.passed)
