"""The watched folder: which files are workbooks, whether one is complete, and where it goes when it is done."""

import sys
import time
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from pipeline.facts.record import fingerprint

DONE = "done"
LARGEST_TEST = 400_000_000
"""Bytes up to which the parts of a workbook are read to see whether it is whole; the build refuses larger ones."""
GIVEN_UP_S = 120.0
"""A file that has not changed for so long and is still not whole is damaged, not on its way."""

Look = tuple[int, int]


@dataclass(slots=True)
class Watched:
    """One folder, with how each file looked the last time."""

    folder: Path
    looks: dict[str, Look] = field(default_factory=dict)
    share: Path = field(init=False)

    def __post_init__(self) -> None:
        """Remember where the disk or share of the folder is attached."""
        self.share = next(each for each in (self.folder, *self.folder.resolve().parents) if _is_attached(each))

    def workbooks(self) -> list[Path] | None:
        """The workbooks that lie there now, by name, without locks and hidden files; None where its share is away."""
        try:
            found = sorted(path for path in self.folder.iterdir() if path.suffix.lower() == ".xlsx")
        except OSError:
            return None
        if not _is_attached(self.share):  # what is left is the empty folder that it was attached to
            return None
        return [path for path in found if not path.name.startswith(("~$", "."))]

    def complete(self, path: Path) -> bytes | None:
        """The bytes of a workbook that nobody is writing any more, else None.

        Nobody has it open, it looks as at the last look, and it is whole; one that stays broken is given all the same.
        """
        try:
            status = path.stat()
            look = (status.st_size, status.st_mtime_ns)
            settled = self.looks.get(path.name) == look
            self.looks[path.name] = look
            if not settled or _is_open(path):
                return None
            content = path.read_bytes()
            after = path.stat()
        except OSError:  # taken away, or not to be read now
            self.looks.pop(path.name, None)
            return None
        if (after.st_size, after.st_mtime_ns) != look or len(content) != look[0]:
            return None
        return content if _is_whole(path) or time.time() - status.st_mtime > GIVEN_UP_S else None


def _is_attached(path: Path) -> bool:
    """Whether a disk or share is attached at a folder; on Windows a share that is away cannot be read at all."""
    return sys.platform == "win32" or path.is_mount()


def _is_open(path: Path) -> bool:
    """Whether an office program has the file open: each leaves a lock beside it."""
    return path.with_name(f"~${path.name}").exists() or path.with_name(f".~lock.{path.name}#").exists()


def _is_whole(path: Path) -> bool:
    """Whether a file is a complete zip container, every part with its right sum."""
    try:
        with zipfile.ZipFile(path) as book:
            small = sum(each.file_size for each in book.infolist()) <= LARGEST_TEST
            return not small or book.testzip() is None
    except (OSError, zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, ValueError):
        return False


def put_away(path: Path, content_sum: str, day: date) -> Path | None:
    """Move a workbook into the folder of the day; None where it cannot be moved or was saved again meanwhile."""
    try:
        if fingerprint(path.read_bytes()) != content_sum:
            return None
        home = path.parent / DONE / day.isoformat()
        home.mkdir(parents=True, exist_ok=True)
        target = next(each for each in free_names(home, path.stem, path.suffix) if not each.exists())
        path.rename(target)
    except OSError:
        return None
    return target


def free_names(folder: Path, stem: str, suffix: str) -> Iterator[Path]:
    """Names to try in turn, as in week.xlsx, week-2.xlsx, week-3.xlsx."""
    yield folder / f"{stem}{suffix}"
    number = 2
    while True:
        yield folder / f"{stem}-{number}{suffix}"
        number += 1
