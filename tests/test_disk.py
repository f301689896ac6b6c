"""Nothing in the archive is ever replaced, and a file is whole or not there."""

import errno
import os

import pytest

from pipeline.disk import move_new, remove_scratch, write_durably, write_protect
from pipeline.errors import MachineError


def test_a_folder_that_exists_is_never_replaced(tmp_path):
    for name in ("new", "old"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "file").write_text(name)
    with pytest.raises(MachineError, match="nothing there is ever replaced"):
        move_new(tmp_path / "new", tmp_path / "old")
    assert (tmp_path / "old" / "file").read_text() == "old"
    assert (tmp_path / "new" / "file").read_text() == "new"


def test_a_written_file_leaves_no_part_beside_it(tmp_path):
    write_durably(tmp_path / "a.txt", b"one")
    write_durably(tmp_path / "a.txt", b"two")
    assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [("a.txt", b"two")]


def test_a_file_that_cannot_be_written_whole_leaves_the_old_one_and_no_part(tmp_path, monkeypatch):
    write_durably(tmp_path / "a.txt", b"one")
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_durably(tmp_path / "a.txt", b"two")
    assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [("a.txt", b"one")]


def full(_):
    """A disk without room."""
    raise OSError(errno.ENOSPC, "No space left on device")


def test_a_protected_folder_can_still_be_cleared_from_scratch(tmp_path):
    folder = tmp_path / "bag"
    (folder / "data").mkdir(parents=True)
    (folder / "data" / "pack.pdf").write_bytes(b"x")
    write_protect(folder)
    assert (folder / "data" / "pack.pdf").stat().st_mode & 0o222 == 0
    remove_scratch(folder)
    assert not folder.exists()
