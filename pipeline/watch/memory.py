"""What the watcher remembers over a restart: bytes that it wrote itself, and workbooks done that could not be moved."""

import json
from contextlib import suppress
from pathlib import Path
from typing import Any

from pipeline.disk import write_durably

MOST_REMEMBERED = 2000
"""Sums kept of files that the program wrote; the oldest go first."""


class Memory:
    """Sums by what they stand for; kept in a file of the outputs folder, since the watched one may be read-only."""

    def __init__(self, path: Path) -> None:
        """Read what is remembered; a file that cannot be read is no memory."""
        self._path = path
        known: Any = {}
        with suppress(OSError, ValueError):
            known = json.loads(path.read_text(encoding="utf-8"))
        known = known if isinstance(known, dict) else {}
        self._own: list[str] = list(known.get("own", ()))
        self._done: dict[str, str] = dict(known.get("done", {}))

    def wrote(self, content_sum: str) -> bool:
        """Whether the program itself wrote a file of these bytes."""
        return content_sum in self._own

    def is_done(self, name: str, content_sum: str) -> bool:
        """Whether a workbook of this name and these bytes has been built and left where it was."""
        return self._done.get(name) == content_sum

    def note_own(self, content_sum: str) -> None:
        """Remember bytes before they are written beside a workbook."""
        if content_sum not in self._own:
            self._own = [*self._own, content_sum][-MOST_REMEMBERED:]
            self._save()

    def note_done(self, name: str, content_sum: str) -> None:
        """Remember a workbook that stays where it is."""
        self._done[name] = content_sum
        self._save()

    def forget_missing(self, names: set[str]) -> None:
        """Forget workbooks that have been taken away: dropped again, they are built again."""
        gone = self._done.keys() - names
        if gone:
            self._done = {name: each for name, each in self._done.items() if name in names}
            self._save()

    def _save(self) -> None:
        """Write all down."""
        self._path.parent.mkdir(parents=True, exist_ok=True)
        content = {"own": self._own, "done": self._done}
        write_durably(self._path, json.dumps(content, ensure_ascii=False, indent=1).encode())
