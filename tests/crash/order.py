"""What is durable when: the calls of a run to the system, followed as a disk sees them that may lose power.

A file's content is safe once it was synced after its last write, a name once its folder was. The rules say what must be
safe before a bag is moved, before the register is committed, and before a pack is shown.
"""

import os
import re
from collections import defaultdict
from pathlib import Path

CALLS = (
    "openat,write,pwrite64,ftruncate,fsync,fdatasync,rename,renameat,renameat2,unlink,unlinkat,rmdir,mkdir,mkdirat,"
    "chmod,fchmod,fchmodat,chdir"
)
_LINE = re.compile(r"^(?:\d+ +)?(\w+)\((.*)\) += (-?\d+)(?:<(.*)>)?(?: .*)?$")
_PATH = re.compile(r"(?:(?:AT_FDCWD|\d+)<([^>]*)>)?(?:, )?\"([^\"]*)\"")
_HANDLE = re.compile(r"\d+<([^>]*)>")
SCRATCH = frozenset({".lock", ".holder", ".work", "fault.txt"})


class Disk:
    """An outputs folder while a run works on it; `faults` is what would be lost or seen too early."""

    def __init__(self, outputs: Path) -> None:
        self.root = str(outputs)
        self.here = os.getcwd()  # noqa: PTH109 - as the process has it
        self.unsafe: set[str] = set()
        self.names: dict[str, set[str]] = defaultdict(set)
        self.protected: set[str] = set()
        self.there = {str(path) for path in outputs.rglob("*")} | ({self.root} if outputs.exists() else set())
        self.entered_since: dict[str, bool] = {}
        self.faults: list[str] = []

    def follow(self, log: str) -> list[str]:
        """Follow all calls of a log and give what does not hold."""
        for line in log.splitlines():
            match = _LINE.match(line)
            if match and int(match[3]) >= 0:
                self._call(match[1], match[2], match[4] or "")
        self._need_safe("the end of the run", self._inside("archive"), self._inside("packs"))
        self._need_names("the end of the run", self.names[self.root] - SCRATCH, self.root)
        self._need_safe("the end of the run", {each for each in self.unsafe if each.startswith(self._register)})
        return self.faults

    @property
    def _register(self) -> str:
        return f"{self.root}/register.sqlite"

    def _inside(self, *parts: str) -> set[str]:
        """Files and folders below a part of the outputs that are not safe."""
        folder = "/".join((self.root, *parts))
        loose = {each for each, names in self.names.items() if names and f"{each}/".startswith(f"{folder}/")}
        return loose | {each for each in self.unsafe if each.startswith(f"{folder}/")}

    def _call(self, name: str, text: str, returned: str) -> None:
        paths = [self._whole(folder, file) for folder, file in _PATH.findall(text)]
        handle = _HANDLE.match(text)
        if name == "chdir":
            self.here = paths[0]
        elif name == "openat" and "O_CREAT" in text and returned not in self.there:
            self._appear(returned)
        elif name in {"mkdir", "mkdirat"}:
            self._appear(paths[0])
        elif name in {"write", "pwrite64", "ftruncate"} and handle:
            self.unsafe.add(handle[1])
        elif name in {"fsync", "fdatasync"} and handle:
            self.unsafe.discard(handle[1])
            self.names.pop(handle[1], None)
        elif name.startswith("rename"):
            self._rename(*paths)
        elif name in {"unlink", "unlinkat", "rmdir"}:
            self._vanish(paths[0])
        elif name in {"chmod", "fchmodat"} and re.search(r"\b0444\b", text):
            self.protected.add(paths[0])
            self.unsafe.add(paths[0])

    def _whole(self, folder: str, file: str) -> str:
        return os.path.normpath(os.path.join(folder or self.here, file))  # noqa: PTH118 - as the system does

    def _appear(self, path: str) -> None:
        self.there.add(path)
        folder, _, name = path.rpartition("/")
        self.names[folder].add(name)
        if re.fullmatch(rf"{re.escape(self.root)}/\.work/bag-[^/]*", path):
            self._need_register(f"making {name}")

    def _vanish(self, path: str) -> None:
        if path == f"{self._register}-journal":
            self._commit()
        self.there.discard(path)
        self.unsafe.discard(path)
        folder, _, name = path.rpartition("/")
        self.names[folder].add(name)

    def _commit(self) -> None:
        """The register's journal goes: from here on what was entered counts."""
        when = "an entry in the register"
        self._need_safe(when, self.unsafe & {self._register}, self._inside("archive"), self._inside(".work", "photos"))
        self._need_names(when, self.names[self.root] & {"archive", ".work"}, self.root)
        self._need_names(when, self.names[f"{self.root}/.work"] & {"photos"}, f"{self.root}/.work")
        self.entered_since = dict.fromkeys(self.entered_since, True)

    def _rename(self, source: str, target: str) -> None:
        folder, _, name = target.rpartition("/")
        if folder == f"{self.root}/archive":
            self._need_safe(f"moving {name}", self._below(source))
            self._need_register(f"moving {name}")
            open_to_write = {
                each for each in self.there if each.startswith(f"{source}/") and "." in each.rpartition("/")[2]
            }
            self._need_safe(f"moving {name} unprotected", open_to_write - self.protected)
            self.entered_since[name] = False
        elif folder == f"{self.root}/packs":
            self._need_safe(f"showing {name}", self._below(source))
            self._need_register(f"showing {name}")
            if not self.entered_since.get(name, True):
                self.faults.append(f"{name} is shown before it is entered")
        elif source.endswith(".part"):
            self._need_safe(f"naming {name}", self.unsafe & {source})
        for each in ({source} | {path for path in self.there if path.startswith(f"{source}/")}) & self.there:
            self.there = (self.there - {each}) | {target + each.removeprefix(source)}
        self.unsafe = {self._moved(each, source, target) for each in self.unsafe}
        self.protected = {self._moved(each, source, target) for each in self.protected}
        self.names = defaultdict(set, {self._moved(each, source, target): x for each, x in self.names.items()})
        for path in (source, target):
            self.names[path.rpartition("/")[0]].add(path.rpartition("/")[2])

    def _below(self, folder: str) -> set[str]:
        loose = {each for each, names in self.names.items() if names and f"{each}/".startswith(f"{folder}/")}
        return loose | {each for each in self.unsafe if each.startswith(f"{folder}/")}

    @staticmethod
    def _moved(path: str, source: str, target: str) -> str:
        return target + path.removeprefix(source) if f"{path}/".startswith(f"{source}/") else path

    def _need_register(self, when: str) -> None:
        """All that was entered before is safe."""
        self._need_safe(when, {each for each in self.unsafe if each.startswith(self._register)})
        names = {each for each in self.names[self.root] if each.startswith("register.sqlite")}
        self._need_names(when, names, self.root)

    def _need_safe(self, when: str, *loose: set[str]) -> None:
        for each in sorted(set().union(*loose)):
            self.faults.append(f"not safe at {when}: {each.removeprefix(self.root)}")

    def _need_names(self, when: str, names: set[str], folder: str) -> None:
        for each in sorted(names):
            self.faults.append(
                f"not safe at {when}: the name {each} in {folder.removeprefix(self.root) or 'the outputs'}"
            )
