"""A bag (RFC 8493) read by a second reader: every file hashed, both directions compared, nothing believed."""

import hashlib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from urllib.parse import unquote

from pipeline.audit.faults import Fault, Kind
from pipeline.register import RELEASED

MANIFEST, TAGS = "manifest-sha256.txt", "tagmanifest-sha256.txt"
DECLARATION, INFO = "bagit.txt", "bag-info.txt"
PAYLOAD = "data"
PACK_ENDING = "-handover-pack.pdf"
_LINE = re.compile(r"([0-9A-Fa-f]{64})[ \t]+\*?(.+)")


@dataclass(frozen=True, slots=True)
class Bag:
    """A bag as it was found: its folder, the name it gives itself, and the sum of each file of its payload."""

    folder: Path
    where: str
    name: str = ""
    sums: Mapping[str, str] = field(default_factory=dict)
    listed: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()

    @property
    def of(self) -> str:
        """The pack that it holds, or whose release it holds."""
        return self.folder.name.removesuffix(RELEASED)

    @property
    def pack(self) -> Path | None:
        """The handover pack in it."""
        found = sorted(name for name in self.sums if name.endswith(PACK_ENDING))
        return self.folder / PAYLOAD / found[0] if found else None


def file_sum(path: Path) -> str:
    """SHA-256 of a file in hexadecimal digits; raises OSError when it cannot be read."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def read_bag(folder: Path, where: str) -> Bag:
    """Hash a whole bag and hold it against its own lists."""
    faults: list[Fault] = []
    listed = _manifest(folder, MANIFEST, where, faults)
    tags = _manifest(folder, TAGS, where, faults)
    found: dict[str, str] = {}
    for path in sorted(folder.rglob("*")):
        if path.is_symlink() or not (path.is_file() or path.is_dir()):
            faults.append(Fault(_at(where, folder, path), Kind.UNKNOWN, "It is no ordinary file, and was not read."))
        elif path.is_file():
            try:
                found[path.relative_to(folder).as_posix()] = file_sum(path)
            except OSError as trouble:
                found[path.relative_to(folder).as_posix()] = ""
                faults.append(Fault(_at(where, folder, path), Kind.UNREADABLE, f"It cannot be read: {trouble}."))
    faults += _differences(where, {**listed, **tags}, found)
    about = _about(folder)
    payload = {name.removeprefix(f"{PAYLOAD}/"): each for name, each in found.items() if name.startswith(f"{PAYLOAD}/")}
    if about.get("External-Identifier") not in {None, folder.name}:
        told = f"The folder is called {folder.name}, the bag in it {about['External-Identifier']}."
        faults.append(Fault(where, Kind.SWAPPED, told))
    if DECLARATION in found and not (folder / DECLARATION).read_bytes().startswith(b"BagIt-Version: "):
        faults.append(Fault(where, Kind.DAMAGED, f"{DECLARATION} does not declare a bag."))
    name = about.get("External-Identifier") or folder.name
    ours = {name.removeprefix(f"{PAYLOAD}/"): each for name, each in listed.items()}
    return Bag(folder, where, name, payload, ours, tuple(faults))


def _manifest(folder: Path, name: str, where: str, faults: list[Fault]) -> dict[str, str]:
    """The sums that a manifest lists by path; a path that leads out of the bag is named and left out."""
    found: dict[str, str] = {}
    try:
        text = (folder / name).read_text(encoding="utf-8")
    except FileNotFoundError:
        faults.append(Fault(where, Kind.MISSING, f"The bag has no {name}."))
        return found
    except (OSError, UnicodeDecodeError) as trouble:
        kind = Kind.UNREADABLE if isinstance(trouble, OSError) else Kind.DAMAGED
        faults.append(Fault(where, kind, f"{name} cannot be read: {trouble}."))
        return found
    for line in text.splitlines():
        match = _LINE.fullmatch(line)
        path = PurePosixPath(unquote(match[2])) if match else PurePosixPath()
        if not match:
            faults.append(Fault(where, Kind.DAMAGED, f"A line of {name} is no sum and path.", line[:60]))
        elif path.is_absolute() or ".." in path.parts or str(path) in found:
            faults.append(Fault(where, Kind.UNKNOWN, f"{name} lists {path}, which no bag may."))
        else:
            found[str(path)] = match[1].lower()
    return found


def _differences(where: str, listed: Mapping[str, str], found: Mapping[str, str]) -> Iterator[Fault]:
    """Files that differ from the lists, are missing, or are not listed; a file moved within the bag is told as such."""
    by_sum = {each: name for name, each in listed.items()}
    for name, wanted in sorted(listed.items()):
        place = f"{where}/{name}"
        if name not in found:
            yield Fault(place, Kind.MISSING, "The bag lists it, but it is not there.", f"SHA-256 {wanted[:16]}…")
        elif found[name] and found[name] != wanted:
            other = by_sum.get(found[name])
            told = f"It has the content of {other}." if other else "It is not as its bag lists it."
            kind = Kind.SWAPPED if other else Kind.DAMAGED
            yield Fault(place, kind, told, f"expected {wanted[:16]}…, found {found[name][:16]}…")
    # the list of the tag files cannot list itself
    for name in sorted(found.keys() - listed.keys() - {TAGS}):
        yield Fault(f"{where}/{name}", Kind.UNKNOWN, "The bag does not list it.", f"SHA-256 {found[name][:16]}…")


def _about(folder: Path) -> dict[str, str]:
    """What a bag says of itself."""
    try:
        text = (folder / INFO).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return {}
    lines = (line.partition(":") for line in text.splitlines() if ":" in line)
    return {name.strip(): value.strip() for name, _, value in lines}


def _at(where: str, folder: Path, path: Path) -> str:
    """A path inside a bag as it is told."""
    return f"{where}/{path.relative_to(folder).as_posix()}"
