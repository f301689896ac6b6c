"""Packs made side by side are the packs that one process makes; a process that dies costs nothing but time."""

import hashlib
import os
import signal
import threading
import time
from dataclasses import replace
from functools import cache

import psutil
import pytest

from pipeline.errors import MachineError
from pipeline.orders import Made
from pipeline.progress import silent
from pipeline.stages import workers
from pipeline.stages.make import make
from pipeline.stages.render import find_templates
from pipeline.stages.workers import make_all, shares, side_by_side
from pipeline.tools.libreoffice import Office
from tests.documents import sample
from tests.pack.samples import OFFICE, converted

pytestmark = OFFICE


@cache
def orders():
    templates = find_templates()
    return tuple(
        sample.order(sample.job(1), templates, replace(sample.ENVELOPE, number=f"EX-{number:04}"))
        for number in range(4)
    )


def sums(made):
    assert not made.trouble
    return {name: hashlib.sha256(content).hexdigest() for name, content in made.files.items()}


@cache
def made_here():
    converted()  # skips where there is no converter
    with Office() as office:
        return {each.envelope.name: sums(each) for each in make(orders(), office)}


def own_processes():
    """All processes below this one, without Python's own that tidies up after others and ends with this one."""
    below = psutil.Process().children(recursive=True)
    return [each for each in below if not any("resource_tracker" in word for word in each.cmdline())]


@pytest.mark.parametrize(("packs", "count", "sizes"), [(4, 2, [2, 2]), (14, 2, [7, 7]), (50, 2, [13, 13, 13, 11])])
def test_shares_give_each_process_as_much_to_do(packs, count, sizes):
    assert [len(each) for each in shares([None] * packs, count)] == sizes


def test_packs_made_side_by_side_are_the_same_to_the_byte():
    with Office() as office:
        made = {each.envelope.name: sums(each) for each in side_by_side(orders(), 2, office, silent)}
    assert made == made_here()
    assert own_processes() == []


def test_few_packs_are_made_here_and_many_side_by_side(monkeypatch):
    monkeypatch.setattr(workers, "side_by_side", lambda *_: "side by side")
    monkeypatch.setattr(workers, "cores", lambda: 2)
    with Office() as office:
        assert make_all(orders(), office, silent) == "side by side"
        assert make_all(orders()[:3], office, silent) != "side by side"


def killed(chosen):
    """Kill a process that makes packs as soon as it has begun to convert, and say whether one was found."""
    for _ in range(600):
        for each in own_processes():
            if "soffice" in each.name():
                maker = next(parent for parent in each.parents() if parent.ppid() == os.getpid())
                if maker.pid not in chosen:
                    chosen.append(maker.pid)
                    maker.kill()
                    return
        time.sleep(0.05)


def test_what_a_dead_process_had_in_hand_is_made_by_another_and_nothing_of_it_is_left():
    chosen = []
    killer = threading.Thread(target=killed, args=(chosen,))
    with Office() as office:
        killer.start()
        made = {each.envelope.name: sums(each) for each in side_by_side(orders(), 2, office, silent)}
    killer.join()
    assert len(chosen) == 1
    assert made == made_here()
    assert own_processes() == []


def dying(orders, office):
    """Make packs, but die over one."""
    for each in orders:
        if each.envelope.number == "EX-0001":
            os.kill(os.getpid(), signal.SIGKILL)
        yield Made(each.envelope)


def test_a_pack_over_which_two_processes_die_is_named_and_the_others_are_made():
    with Office() as office:
        made = {each.envelope.number: each.trouble for each in side_by_side(orders(), 2, office, silent, dying)}
    assert sorted(made) == [each.envelope.number for each in orders()]
    assert "died twice" in made.pop("EX-0001")
    assert set(made.values()) == {""}


def failing(orders, office):
    """Make nothing."""
    raise MachineError("LibreOffice made no PDF.", "Install it anew.")
    yield


def test_what_a_process_stumbles_over_is_told_here_with_its_remedy():
    with Office() as office, pytest.raises(MachineError, match="no PDF") as told:
        list(side_by_side(orders(), 2, office, silent, failing))
    assert told.value.remedy == "Install it anew."
    assert own_processes() == []


def test_an_interrupted_run_leaves_no_process_within_a_second():
    with Office() as office:
        made = side_by_side(orders(), 2, office, silent)
        threading.Timer(3, signal.pthread_kill, args=(threading.main_thread().ident, signal.SIGINT)).start()
        with pytest.raises(KeyboardInterrupt):
            list(made)
        start = time.monotonic()
        made.close()
    assert time.monotonic() - start < 1
    assert own_processes() == []
