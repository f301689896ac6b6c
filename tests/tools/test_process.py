import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from pipeline.errors import MachineError
from pipeline.tools.process import TIMED_OUT, Processes

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the scripts are those of a POSIX shell")

# starts a child of its own, as LibreOffice's launcher does, and tells both numbers
FAMILY = "sleep 60 & echo $! $$; "


def is_alive(number):
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return False
    status = Path(f"/proc/{number}/stat")  # one that is dead but not yet buried counts as dead
    return not status.exists() or status.read_text().split()[2] != "Z"


def vanish(numbers, seconds=5.0):
    end = time.monotonic() + seconds
    while time.monotonic() < end and any(map(is_alive, numbers)):
        time.sleep(0.02)
    return not any(map(is_alive, numbers))


def numbers_in(file):
    for _ in range(200):
        if file.exists() and file.read_text().split():
            return [int(number) for number in file.read_text().split()]
        time.sleep(0.02)
    raise AssertionError("the script did not start")


def test_the_exit_status_is_the_programs_own(tmp_path):
    assert Processes().run(["/bin/sh", "-c", "exit 81"], 10, tmp_path) == 81


def test_output_goes_to_files(tmp_path):
    Processes().run(["/bin/sh", "-c", "echo said; echo sighed >&2"], 10, tmp_path)
    assert (tmp_path / "stdout").read_text() == "said\n"
    assert (tmp_path / "stderr").read_text() == "sighed\n"


def test_a_program_that_hangs_is_ended_with_its_children(tmp_path):
    assert Processes().run(["/bin/sh", "-c", FAMILY + "sleep 60"], 0.3, tmp_path) == TIMED_OUT
    assert vanish(numbers_in(tmp_path / "stdout"))


def test_a_program_that_ends_leaves_no_child_behind(tmp_path):
    assert Processes().run(["/bin/sh", "-c", FAMILY], 10, tmp_path) == 0
    assert vanish(numbers_in(tmp_path / "stdout"))


def test_stopping_ends_what_runs_and_lets_nothing_start(tmp_path):
    processes = Processes()
    runner = threading.Thread(target=processes.run, args=(["/bin/sh", "-c", FAMILY + "sleep 60"], 60, tmp_path))
    runner.start()
    numbers = numbers_in(tmp_path / "stdout")
    processes.stop()
    runner.join(5)
    assert not runner.is_alive()
    assert vanish(numbers)
    with pytest.raises(MachineError, match="stopped"):
        processes.run(["/bin/sh", "-c", "true"], 10, tmp_path)


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_programs_die_with_us_however_we_die(tmp_path, how):
    us = f"""
from pathlib import Path
from pipeline.tools.process import Processes
Processes().run(["/bin/sh", "-c", {FAMILY + "sleep 60"!r}], 60, Path({str(tmp_path)!r}))
"""
    process = subprocess.Popen([sys.executable, "-c", us])
    numbers = numbers_in(tmp_path / "stdout")
    process.send_signal(how)
    process.wait()
    assert vanish(numbers)


def test_a_program_runs_in_the_same_language_and_zone_whoever_starts_it(tmp_path, monkeypatch):
    monkeypatch.setenv("LC_ALL", "de_DE.UTF-8")
    monkeypatch.setenv("TZ", "Pacific/Kiritimati")
    Processes().run(["env"], 10, tmp_path)
    told = (tmp_path / "stdout").read_text().splitlines()
    assert {"LC_ALL=C.UTF-8", "TZ=UTC"} <= set(told)
