"""Where a register may lie: on a disk of this machine, and never as a second series that nobody meant to begin."""

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from pipeline.errors import CommandError, MachineError
from pipeline.stages.commit import Outputs

NETWORK_VARIABLE, ALLOWED = "HANDOVER_NETWORK_FOLDER", "allowed"
# file systems whose locks and flushes a database cannot rely on (SQLite, "How to corrupt", 2.1)
NETWORK = frozenset(
    {
        "9p", "afp", "afs", "afpfs", "beegfs", "ceph", "cifs", "coda", "davfs", "fuse.davfs2", "fuse.glusterfs",
        "fuse.rclone", "fuse.s3fs", "fuse.sshfs", "gfs2", "glusterfs", "lustre", "ncpfs", "nfs", "nfs4", "prl_fs",
        "smb3", "smbfs", "vboxsf", "vmhgfs", "webdav",
    }
)  # fmt: skip
MOUNTS = Path("/proc/self/mountinfo")
# what other commands than those that number leave in a folder
NOTE = "README.md"
HARMLESS = frozenset({NOTE, "corrections", "corrections.txt", "drafts", "held", "sitesheets", "fault.txt"})
# where results go unless a folder is named
USUAL = Path("outputs")
_REMOTE_DRIVE = 4  # GetDriveTypeW, winbase.h


def require_place(outputs: Outputs, environment: Mapping[str, str] = os.environ) -> None:
    """Raise unless a register may be kept, or begun, in an outputs folder.

    MachineError for a folder on a network, which can be allowed; CommandError where a new register would be a slip.
    """
    if environment.get(NETWORK_VARIABLE) != ALLOWED and (kind := network_of(outputs.root)):
        raise MachineError(
            f"{outputs.root} lies on a network ({kind}), where two runs at once cannot be kept apart for certain.",
            "Keep the outputs on a disk of this machine and copy them from there. To use the folder all the same: "
            f"set {NETWORK_VARIABLE}={ALLOWED}",
        )
    if not outputs.register.exists():
        _require_new(outputs)


def _require_new(outputs: Outputs) -> None:
    """Raise CommandError unless a new series of numbers may begin here."""
    root = outputs.root
    names = sorted(each.name for each in root.iterdir() if not each.name.startswith(".")) if root.exists() else []
    if found := [each for each in names if each not in HARMLESS]:
        raise CommandError(
            f"{root} has no register, and is not empty ({', '.join(found[:3])}); a new one begins in an empty folder.",
            "Check the name behind --out. If the register was lost, put back its last copy.",
        )
    others = [each.parent for each in _near(root) if each.parent.resolve() != root.resolve()]
    if others and (names not in ([], [NOTE]) or not root.exists()):
        raise CommandError(
            f"{root} has no register, but {others[0]} has one. Numbers would begin again at 0001.",
            "Check the name behind --out. If a second register is meant, make an empty folder for it first.",
        )


def _near(root: Path) -> list[Path]:
    """Registers in the folders beside one that is not there, and in the usual folder."""
    beside = root.resolve().parent
    found = sorted(beside.glob("*/register.sqlite")) if beside.is_dir() else []
    usual = Outputs(USUAL).register
    return [*found, *([usual] if usual.exists() else [])]


def network_of(folder: Path) -> str:
    """The kind of network file system that a folder lies on, or would; empty for a disk of this machine."""
    there = folder.resolve()
    while not there.exists():
        there = there.parent
    if os.name == "nt":
        return _windows_network(there)
    kind = file_system(there, MOUNTS.read_text("utf-8")) if MOUNTS.exists() else _told_by_mount(there)
    return kind if kind in NETWORK else ""


def file_system(folder: Path, mounts: str) -> str:
    """The file system under a folder by the list of mounts of Linux (proc(5), mountinfo)."""
    best, kind = "", ""
    for line in mounts.splitlines():
        fields, _, rest = line.partition(" - ")
        point = fields.split(" ")[4].replace("\\040", " ")
        if len(point) >= len(best) and folder.is_relative_to(point):
            best, kind = point, rest.split(" ")[0]
    return kind


def _told_by_mount(folder: Path) -> str:
    """The file system under a folder where there is no such list, as on macOS."""
    done = subprocess.run(["mount"], capture_output=True, text=True, check=False)
    best, kind = "", ""
    for line in done.stdout.splitlines():
        point, _, rest = line.partition(" on ")[2].partition(" (")
        if point and len(point) >= len(best) and folder.is_relative_to(point):
            best, kind = point, rest.partition(",")[0]
    return kind


def _windows_network(folder: Path) -> str:
    """Whether a folder lies on another machine, by its name or by its drive."""
    if str(folder).startswith("\\\\"):
        return "another machine"
    if sys.platform == "win32":
        import ctypes  # noqa: PLC0415 - there only on Windows

        if ctypes.windll.kernel32.GetDriveTypeW(folder.anchor) == _REMOTE_DRIVE:
            return "network drive"
    return ""
