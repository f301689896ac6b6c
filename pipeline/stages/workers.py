"""Packs made by several processes side by side, or on other machines: the same bytes as one process would give.

Each process converts with a LibreOffice of its own, so that one makes and inspects pages while another converts.
Packs come back as they are done. A process that dies is replaced, and what it had in hand is tried one by one, so that
the one pack at fault is named and the others are made.
"""

import math
import multiprocessing
import os
import signal
import tempfile
import threading
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.orders import Made, Order
from pipeline.progress import Tell

if TYPE_CHECKING:
    from pipeline.tools.libreoffice import Limits, Office

LARGEST_SHARE = 24
# below so many packs for each process its start costs more than it saves
FEWEST = 2


@dataclass(frozen=True, slots=True)
class Share:
    """Orders that go to one process; `again` when another one died over them."""

    orders: Sequence[Order]
    again: bool = False


Maker = Callable[[Sequence[Order], "Office"], Iterator[Made]]


@dataclass(frozen=True, slots=True)
class Bench:
    """What a process works with: LibreOffice, how long it may take, a folder for scratch, and what makes packs."""

    program: Path
    limits: "Limits"
    folder: Path
    maker: Maker


def make_all(orders: Sequence[Order], office: "Office", tell: Tell, cluster: str = "") -> Iterator[Made]:
    """Make orders where that is quickest: few of them here, many side by side, or on a cluster at an address."""
    from pipeline.stages.make import make  # noqa: PLC0415 - heavy, only where documents are made

    count = cores()
    if cluster:
        from pipeline.stages.cluster import make_on_cluster  # noqa: PLC0415

        return make_on_cluster(orders, cluster, tell)
    if count < FEWEST or len(orders) < FEWEST * count:
        return make(orders, office, tell)
    return side_by_side(orders, count, office, tell)


def cores() -> int:
    """How many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def shares(orders: Sequence[Order], count: int) -> list[Sequence[Order]]:
    """Orders in shares of about the same size, at most `LARGEST_SHARE`, so many that each process has as much to do."""
    rounds = math.ceil(len(orders) / (count * LARGEST_SHARE))
    size = max(1, math.ceil(len(orders) / (count * max(1, rounds))))
    return [orders[start : start + size] for start in range(0, len(orders), size)]


def side_by_side(
    orders: Sequence[Order], count: int, office: "Office", tell: Tell, maker: Maker | None = None
) -> Iterator[Made]:
    """Make orders in `count` processes; each pack as soon as one of them has it.

    Raises what a process could not make anything for, such as MachineError.
    """
    from pipeline.stages.make import make  # noqa: PLC0415 - heavy, only where documents are made

    waiting = deque(Share(each) for each in shares(orders, count))
    tell(f"making {len(orders)} packs in {count} processes; the first one takes a minute or so")
    with tempfile.TemporaryDirectory(prefix="workers-", ignore_cleanup_errors=True) as folder:
        bench = Bench(office.program, office.limits, Path(folder), maker or make)
        workers = [_Worker(bench) for _ in range(min(count, len(waiting)))]
        try:
            while busy := _busy(workers, waiting):
                for ready in wait([each.pipe for each in busy]):
                    worker = next(each for each in busy if each.pipe is ready)
                    try:
                        told = worker.pipe.recv()
                    except EOFError:
                        workers[workers.index(worker)] = _Worker(bench)
                        yield from _retried(worker, waiting)
                    else:
                        yield from _taken(told, worker)
        finally:
            for each in workers:
                each.end()


def _busy(workers: Sequence["_Worker"], waiting: deque[Share]) -> list["_Worker"]:
    """The processes that have something to do, after those without were given a share."""
    for each in workers:
        if not each.left and waiting:
            each.give(waiting.popleft())
    return [each for each in workers if each.left]


def _taken(told: Made | Exception, worker: "_Worker") -> Iterator[Made]:
    """A pack that a process has made, or what it stumbled over."""
    if isinstance(told, Exception):
        raise told
    worker.left = [each for each in worker.left if each.envelope != told.envelope]
    yield told


def _retried(worker: "_Worker", waiting: deque[Share]) -> Iterator[Made]:
    """What a process that died had in hand: each order alone once more; one that killed two processes is given up."""
    worker.end()
    if worker.again:
        yield Made(
            worker.left[0].envelope,
            trouble="The process that made this pack died twice.",
            remedy="Close other programs, since memory may be short, and build again.",
        )
    else:
        waiting.extendleft(Share((each,), again=True) for each in reversed(worker.left))


class _Worker:
    """One process, what it was given, and what of that is still to come."""

    def __init__(self, bench: Bench) -> None:
        """Start it; it starts nothing of its own before it has something to do."""
        new = multiprocessing.get_context("spawn")  # the same on every system, and no lock or file of ours comes along
        self.pipe, theirs = new.Pipe()
        self._life, end = new.Pipe()
        self._process: BaseProcess = new.Process(
            target=_work, args=(theirs, end, bench), name="handover-maker", daemon=True
        )
        self._process.start()
        theirs.close()
        end.close()
        self.left: Sequence[Order] = ()
        self.again = False

    def give(self, share: Share) -> None:
        """Let it make a share; one that cannot even take it has died, which shows when its packs are waited for."""
        self.left, self.again = share.orders, share.again
        with suppress(OSError):
            self.pipe.send(share.orders)

    def end(self) -> None:
        """End it now, whatever it is doing, with all that it has started."""
        self._process.kill()
        self._process.join()
        self._life.close()
        self.pipe.close()


def _work(pipe: Connection, life: Connection, bench: Bench) -> None:
    """What a process does: make shares until there are no more."""
    from pipeline.tools.libreoffice import Office  # noqa: PLC0415 - heavy, only in the process

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever started it hears the person and ends it
    threading.Thread(target=_end_with, args=(life,), daemon=True).start()
    scratch = Office(bench.program, workers=1, limits=bench.limits, within=bench.folder)
    with scratch as office, suppress(EOFError, OSError):
        while True:
            for told in _told(bench.maker, pipe.recv(), office):
                pipe.send(told)


def _told(maker: Maker, orders: Sequence[Order], office: "Office") -> Iterator[Made | Exception]:
    """Each pack, or what made it impossible to go on, for whoever can tell a person."""
    try:
        yield from maker(orders, office)
    except Exception as trouble:  # noqa: BLE001 - raised again by whoever hears it
        yield trouble


def _end_with(life: Connection) -> None:
    """End with the process that started this one, however it ended, and take LibreOffice along."""
    try:
        life.recv_bytes()
    except (EOFError, OSError):
        os._exit(1)
