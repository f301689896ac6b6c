"""Packs made on other machines: a real scheduler and two real worker processes on this one's loopback."""

import os
import socket
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from pathlib import Path

import psutil
import pytest

from pipeline.errors import MachineError
from pipeline.progress import silent
from pipeline.stages.cluster import made_of, make_on_cluster
from pipeline.tools.toolset import toolset, unlike
from tests.pack.samples import OFFICE
from tests.stages.test_workers import made_here, orders, sums

pytestmark = [OFFICE, pytest.mark.xdist_group("cluster")]
ROOT = Path(__file__).parents[2]
OTHER_TOOLS = "import pipeline.tools.toolset as it\nit.zlib.ZLIB_RUNTIME_VERSION = 'another'\n"


def begun(*words):
    """A process of the cluster, with this checkout as its program."""
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.Popen(
        [sys.executable, "-m", *words], env=surroundings, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )


@contextmanager
def cluster(*preloads):
    """A scheduler and a worker process for each preload, which is a file that it runs first, or nothing."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address = f"tcp://127.0.0.1:{port}"
    started = [begun("distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", str(port), "--no-dashboard")]
    for preload in preloads:
        words = ["--preload", str(preload)] if preload else []
        started.append(
            begun("distributed.cli.dask_worker", address, "--no-nanny", "--nthreads", "1", "--no-dashboard", *words)
        )
    try:
        wait_for(address, len(preloads))
        yield address, started[1:]
    finally:
        for each in started:
            each.kill()
            each.wait()


def wait_for(address, count):
    from distributed import Client

    end = time.monotonic() + 60
    while True:
        try:
            with Client(address, timeout=5) as client:
                client.wait_for_workers(count, timeout=60)
                return
        except OSError:
            assert time.monotonic() < end


def test_a_cluster_makes_the_same_bytes_as_this_machine():
    with cluster(None, None) as (address, _):
        made = {each.envelope.name: sums(each) for each in make_on_cluster(orders(), address, silent)}
    assert made == made_here()


def test_a_machine_that_is_lost_midway_loses_nothing():
    with cluster(None, None) as (address, machines):

        def kill_one():
            for _ in range(1200):
                for machine in machines:
                    if any("soffice" in each.name() for each in psutil.Process(machine.pid).children(recursive=True)):
                        machine.kill()
                        return
                time.sleep(0.05)

        killer = threading.Thread(target=kill_one)
        killer.start()
        made = {each.envelope.name: sums(each) for each in make_on_cluster(orders(), address, silent)}
        killer.join()
        assert sum(each.poll() is not None for each in machines) == 1
    assert made == made_here()


def test_a_machine_with_other_tools_is_named_and_not_asked(tmp_path):
    (tmp_path / "other.py").write_text(OTHER_TOOLS)
    told = []
    with cluster(None, tmp_path / "other.py") as (address, _):
        made = list(make_on_cluster(orders()[:2], address, lambda text, *_: told.append(text)))
    assert {each.envelope.name: sums(each) for each in made}.items() <= made_here().items()
    [refused] = [each for each in told if each.startswith("not asked")]
    assert "zlib" in refused
    assert "127.0.0.1" in refused


def test_a_cluster_without_a_machine_of_the_same_tools_makes_nothing(tmp_path):
    (tmp_path / "other.py").write_text(OTHER_TOOLS)
    with (
        cluster(tmp_path / "other.py") as (address, _),
        pytest.raises(MachineError, match=r"No machine of the cluster.*127\.0\.0\.1"),
    ):
        list(make_on_cluster(orders(), address, silent))


def test_a_machine_whose_tools_were_changed_meanwhile_makes_nothing():
    with pytest.raises(MachineError, match="LibreOffice"):
        made_of(orders()[:1], {**toolset(), "LibreOffice": "LibreOffice 99"})


def test_an_address_where_nobody_answers_is_told(monkeypatch):
    monkeypatch.setattr("pipeline.stages.cluster.ANSWER_S", 1)
    with pytest.raises(MachineError, match="No cluster answers"):
        list(make_on_cluster(orders(), "tcp://127.0.0.1:9", silent))


def test_toolsets_differ_by_name():
    ours = toolset()
    assert unlike(ours, ours) == []
    assert unlike(ours, {**ours, "fonts": "others"}) == ["fonts"]
    assert unlike(ours, {name: each for name, each in ours.items() if name != "Python"}) == ["Python"]
