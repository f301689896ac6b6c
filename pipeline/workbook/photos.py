"""Photos beside the workbook: each named file is there, is whole, and is what it says."""

import hashlib
import os
import stat
import warnings
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path, PurePosixPath, PureWindowsPath

from pipeline.workbook.parsed import did_you_mean, visible

LARGEST_FILE = 60_000_000
MOST_PIXELS = 80_000_000
FORMATS = ("JPEG", "PNG")
SHRINK = 8
"""JPEG is decoded at an eighth of its size: every byte is read, little is computed."""


NO_FOLDER = "there is no folder 'photos' beside the workbook"


@dataclass(slots=True)
class PhotoFolder:
    """The folder with the photos; each file is opened once. `named` are the files that rows name."""

    folder: Path | None
    named: frozenset[str] = frozenset()
    _sums: dict[str, str | None] = field(default_factory=dict)
    _troubles: dict[str, str] = field(default_factory=dict)

    def names(self) -> list[str]:
        """The files in the folder, sorted."""
        if self.folder is None or not self.folder.is_dir():
            return []
        return sorted(each.name for each in self.folder.iterdir() if not each.name.startswith("."))

    def unnamed(self) -> list[str]:
        """The files that no row names: only they can be what a wrong name means."""
        return [each for each in self.names() if each not in self.named]

    def look(self, name: str) -> tuple[str | None, str]:
        """SHA-256 of a named photo, or None and what is wrong with it."""
        if name not in self._sums:
            content, trouble = self._open(name)
            trouble = trouble or _undecodable(content)
            self._sums[name] = None if trouble else hashlib.sha256(content).hexdigest()
            self._troubles[name] = trouble
        return self._sums[name], self._troubles[name]

    def _open(self, name: str) -> tuple[bytes, str]:
        """The bytes of a photo, or what is wrong."""
        if self.folder is None or not self.folder.is_dir():
            return b"", NO_FOLDER
        if not _is_bare(name):
            return b"", "the name leads out of the folder 'photos'; only the bare name of a file is taken"
        path = self.folder / name
        try:
            if not path.resolve().is_relative_to(self.folder.resolve()):
                return b"", "the file is a link that leads out of the folder 'photos'"
            return _bytes(path)
        except FileNotFoundError:
            return b"", f"the file is not in the folder 'photos'.{did_you_mean(name, self.unnamed())}".rstrip(".")
        except OSError as trouble:
            return b"", f"the file cannot be read ({trouble.strerror})"


def _is_bare(name: str) -> bool:
    """Whether a name is that of a file and no way through folders, on any system."""
    kinds = (PurePosixPath, PureWindowsPath)
    return name.isprintable() and name not in {".", ".."} and all(kind(name).name == name for kind in kinds)


def _bytes(path: Path) -> tuple[bytes, str]:
    """The bytes of a regular file of a sensible size."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as stream:
        facts = os.fstat(handle)
        if not stat.S_ISREG(facts.st_mode):
            return b"", "it is no ordinary file"
        if facts.st_size > LARGEST_FILE:
            return b"", f"the file is larger than {LARGEST_FILE // 1_000_000} MB"
        return stream.read(), ""


def _undecodable(content: bytes) -> str:
    """Why the bytes are no whole photo, or nothing."""
    from PIL import Image, UnidentifiedImageError  # noqa: PLC0415 - heavy

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(BytesIO(content), formats=FORMATS) as photo:
                if photo.width * photo.height > MOST_PIXELS:
                    return f"it has more than {MOST_PIXELS // 1_000_000} million pixels"
                photo.draft(None, (photo.width // SHRINK, photo.height // SHRINK))
                photo.load()
    except UnidentifiedImageError:
        return "it is neither a JPEG nor a PNG picture"
    except Image.DecompressionBombError:
        return f"it has more than {MOST_PIXELS // 1_000_000} million pixels"
    except (OSError, ValueError, SyntaxError, MemoryError):
        return "the picture is damaged or incomplete"
    return ""


def said(name: str, trouble: str) -> str:
    """The message about a photo."""
    return f"Photo '{visible(name)}': {trouble}{'' if trouble.endswith('?') else '.'}"
