"""Run a program so that nothing of it is left behind: own process group, hard time limit, dies with us."""

import contextlib
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

from pipeline.errors import MachineError

# The guard: a side process waits for the end of our pipe. It ends when we do, however we end (even by the
# kill that cannot be caught), and then takes the whole group with it. The program itself replaces the shell.
_GUARD = 'exec 3<&0; (cat <&3 >/dev/null; kill -s KILL -- -$$) 2>/dev/null & exec "$@" </dev/null 3<&-'

TIMED_OUT = -1000
# seconds between two looks for a sign of life
LOOK_S = 0.5


class Processes:
    """The programs that run at the moment; `stop` ends all of them and lets no further one start."""

    def __init__(self) -> None:
        """Nothing runs yet."""
        self._running: set[subprocess.Popen[bytes]] = set()
        self._lock = threading.Lock()
        self._stopped = False

    def run(self, command: list[str], patience: float, folder: Path, sign: Callable[[], int] = lambda: 0) -> int:
        """Run a program to its end and return its exit status, or `TIMED_OUT` after `patience` seconds without a sign.

        A sign of life is a new value of `sign`. Its output goes to files in `folder`. No process of its group is alive
        afterwards.
        Raises `MachineError` after `stop`.
        """
        with (folder / "stdout").open("wb") as out, (folder / "stderr").open("wb") as err:
            with self._lock:
                if self._stopped:
                    raise MachineError("The conversion of documents was stopped.", "Start the run again.")
                process = _start(command, out.fileno(), err.fileno())
                self._running.add(process)
            try:
                return _waited(process, patience, sign)
            finally:
                _end(process)
                self._running.discard(process)

    def stop(self) -> None:
        """End everything that runs, at once."""
        with self._lock:
            self._stopped = True
            for process in tuple(self._running):
                _end(process)


def _waited(process: "subprocess.Popen[bytes]", patience: float, sign: Callable[[], int]) -> int:
    """The exit status of a program, or `TIMED_OUT` when it gave no new sign of life for too long."""
    seen, end = sign(), time.monotonic() + patience
    while (left := end - time.monotonic()) > 0:
        try:
            return process.wait(min(left, LOOK_S))
        except subprocess.TimeoutExpired:
            if (now := sign()) != seen:
                seen, end = now, time.monotonic() + patience
    return TIMED_OUT


def _start(command: list[str], out: int, err: int) -> "subprocess.Popen[bytes]":
    """Start a program in a process group of its own."""
    if sys.platform == "win32":
        flags = subprocess.CREATE_NEW_PROCESS_GROUP
        return subprocess.Popen(
            command, stdin=subprocess.DEVNULL, stdout=out, stderr=err, creationflags=flags, env=surroundings()
        )
    guarded = ["/bin/sh", "-c", _GUARD, "guard", *command]
    return subprocess.Popen(
        guarded, stdin=subprocess.PIPE, stdout=out, stderr=err, start_new_session=True, env=surroundings()
    )


def surroundings() -> dict[str, str]:
    """Our own surroundings but for language and zone: LibreOffice breaks lines by them, and a page must not."""
    return {**os.environ, "LC_ALL": "C.UTF-8", "LANG": "C.UTF-8", "LANGUAGE": "", "TZ": "UTC"}


def _end(process: "subprocess.Popen[bytes]") -> None:
    """Kill the whole group of a program, whether or not its first process is still there."""
    if sys.platform == "win32":
        subprocess.run(["taskkill", "/F", "/T", "/PID", str(process.pid)], capture_output=True, check=False)
    else:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
    if process.stdin:
        process.stdin.close()
    process.wait()
