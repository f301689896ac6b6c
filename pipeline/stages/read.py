"""Read: a workbook's file becomes its cells; nothing is interpreted, and whatever is unsafe is refused.

The bytes are taken once and everything after works on them. A process of its own, bounded in memory and time,
opens them: if it dies, the file is refused and this program lives on.
"""

import hashlib
import json
import os
import stat
import subprocess
import sys
from pathlib import Path

from pipeline.errors import WorkbookRefusedError
from pipeline.workbook.cells import Cells, Json, from_plain

LARGEST_FILE = 40_000_000
MEGABYTES = 900
"""Address space of the reading process; a week of 1,000 jobs takes a quarter of it."""
BASE_SECONDS, SECONDS_PER_MEGABYTE, MOST_SECONDS = 4, 6, 60
"""Computing time; a week takes about 2 s a megabyte on a quick machine, half that speed is no fault of the file."""
PATIENCE, LEAST_ELAPSED = 4, 60
"""Elapsed time allowed per second of computing, and at least: a busy machine must not refuse a good workbook."""
LOCK_MARK = "~$"
OPEN_MARKS = ("~${name}", ".~lock.{name}#")
"""What Excel and LibreOffice leave beside a workbook while somebody has it open."""
ROOT = Path(__file__).parent.parent.parent


def read(path: Path) -> Cells:
    """The cells of the workbook; raises WorkbookRefusedError with one plain sentence and what to do."""
    content = snapshot(path)
    answer = _open_apart(content)
    if "refused" in answer:
        message, remedy = answer["refused"]
        raise WorkbookRefusedError(message, remedy)
    return from_plain(answer, path.name, hashlib.sha256(content).hexdigest(), content)


def snapshot(path: Path) -> bytes:
    """The bytes of a regular file at one moment; raises WorkbookRefusedError for anything else."""
    if path.name.startswith(LOCK_MARK):
        raise WorkbookRefusedError(
            f"'{path}' is the mark that Excel leaves while a workbook is open.", "Name the workbook itself."
        )
    _refuse_open(path)
    try:
        _refuse_special(path.lstat().st_mode, path)
        # without waiting: a pipe that took the file's place since would hang the reader
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with os.fdopen(handle, "rb") as stream:
            before = os.fstat(handle)
            _refuse_special(before.st_mode, path)
            content = stream.read(LARGEST_FILE + 1)
            after = os.fstat(handle)
    except FileNotFoundError:
        raise WorkbookRefusedError(f"There is no file '{path}'.", "Check the name and the folder.") from None
    except OSError as trouble:
        raise WorkbookRefusedError(
            f"The file '{path}' cannot be read ({trouble.strerror}).",
            "Close it in Excel, and check that you may read it.",
        ) from None
    if len(content) > LARGEST_FILE:
        raise WorkbookRefusedError(
            f"The file is larger than {LARGEST_FILE // 1_000_000} MB.",
            "Split the week into several workbooks, and keep photos in the folder 'photos', not in the workbook.",
        )
    if (before.st_size, before.st_mtime_ns) != (after.st_size, after.st_mtime_ns) or len(content) != after.st_size:
        raise WorkbookRefusedError("The file is still being written.", "Wait until it is saved, then try again.")
    return content


def _refuse_open(path: Path) -> None:
    """Refuse a workbook that is still open: what was typed since it was saved last would be missing in silence."""
    for form in OPEN_MARKS:
        mark = path.with_name(form.format(name=path.name))
        if mark.exists():
            raise WorkbookRefusedError(
                f"The workbook '{path.name}' is still open in another program.",
                f"Save and close it, then try again. If nobody has it open, delete the file '{mark.name}' beside it.",
            )


def _refuse_special(mode: int, path: Path) -> None:
    """Refuse links, folders, pipes and devices."""
    if stat.S_ISREG(mode):
        return
    kind = "a link" if stat.S_ISLNK(mode) else "a folder" if stat.S_ISDIR(mode) else "no ordinary file"
    raise WorkbookRefusedError(f"'{path}' is {kind}, not a workbook.", "Name the workbook's own file.")


def _open_apart(content: bytes) -> Json:
    """What the reading process answers; its death or silence refuses the file."""
    seconds = min(BASE_SECONDS + SECONDS_PER_MEGABYTE * len(content) // 1_000_000, MOST_SECONDS)
    command = [sys.executable, "-m", "pipeline.workbook.child", str(MEGABYTES), str(seconds)]
    places = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH"))))
    try:
        done = subprocess.run(
            command,
            input=content,
            capture_output=True,
            timeout=max(seconds * PATIENCE, LEAST_ELAPSED),
            env={**os.environ, "PYTHONPATH": places, "PYTHONIOENCODING": "utf-8"},
            check=False,
        )
        answer: Json = json.loads(done.stdout) if done.returncode == 0 else {}
    except (subprocess.TimeoutExpired, json.JSONDecodeError):
        answer = {}
    if not answer:
        raise WorkbookRefusedError(
            "The workbook cannot be read: it is damaged, or far larger inside than a week's workbook.",
            "Open it in Excel, copy the values alone into a fresh workbook, and save that.",
        )
    return answer
