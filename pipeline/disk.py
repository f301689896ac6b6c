"""Writing that survives a power cut and never replaces what is there."""

import contextlib
import os
import shutil
import stat
from pathlib import Path

from pipeline.errors import MachineError


def write_durably(path: Path, content: bytes) -> None:
    """Write a file so that it is either whole or not there under its name."""
    beside = path.with_name(f".{path.name}.part")
    try:
        with beside.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def make_folder(folder: Path) -> None:
    """Make a folder whose name survives a power cut, and those above it that are not there yet."""
    if not folder.parent.exists():
        make_folder(folder.parent)
    folder.mkdir(exist_ok=True)
    sync_folder(folder.parent)


def sync_folder(folder: Path) -> None:
    """Make names in a folder durable, where the system can."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_tree(folder: Path) -> None:
    """Make every file below a folder durable, and the names of all."""
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            with path.open("rb") as file:
                os.fsync(file.fileno())
        else:
            sync_folder(path)
    sync_folder(folder)


def move_new(source: Path, target: Path) -> None:
    """Move a folder to a name that must be free; raises MachineError when it is taken."""
    make_folder(target.parent)
    if target.exists():
        raise MachineError(
            f"The folder {target.name} is already in {target.parent.name}; nothing there is ever replaced.",
            "Leave it as it is and ask whoever looks after the program.",
        )
    source.rename(target)
    sync_folder(target.parent)


def write_protect(folder: Path) -> None:
    """Take away the right to write from every file below a folder."""
    for path in folder.rglob("*"):
        if path.is_file():
            path.chmod(stat.S_IRUSR | stat.S_IRGRP | stat.S_IROTH)


def remove_scratch(folder: Path) -> None:
    """Remove a scratch folder, read-only files included."""
    for path in folder.rglob("*") if folder.exists() else ():
        with contextlib.suppress(OSError):
            path.chmod(stat.S_IRWXU)
    shutil.rmtree(folder, ignore_errors=True)
