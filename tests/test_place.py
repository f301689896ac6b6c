"""A register lies on a disk of this machine, and a slip of the pen never begins a second series of numbers."""

from pathlib import Path

import pytest

from pipeline import cli, place
from pipeline.errors import CommandError, ExitCode, MachineError
from pipeline.place import ALLOWED, NETWORK_VARIABLE, file_system, network_of, require_place
from pipeline.register import Register
from pipeline.stages.commit import Outputs

NOW = "2026-11-24T12:00:00+00:00"
MOUNTS = r"""22 1 0:20 / / rw,relatime shared:1 - ext4 /dev/sda1 rw
30 22 0:25 / /home rw - btrfs /dev/sdb rw
31 30 0:26 / /home/pat/the\040office rw shared:9 - nfs4 server:/office rw
32 22 0:27 / /mnt/share rw - cifs //server/share rw
33 22 0:28 / /mnt/keys rw - fuse.sshfs pat@server: rw
"""


@pytest.fixture(autouse=True)
def somewhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("pipeline.place.USUAL", Path("outputs"))


def begin(folder):
    folder.mkdir(exist_ok=True)
    with Register.open(folder / "register.sqlite", NOW):
        pass


@pytest.mark.parametrize(
    ("folder", "kind"),
    [
        ("/srv/outputs", "ext4"),
        ("/home/pat/outputs", "btrfs"),
        ("/home/pat/the office/outputs", "nfs4"),
        ("/home/pat/the office two", "btrfs"),
        ("/mnt/share/a/b", "cifs"),
        ("/mnt/keys/a", "fuse.sshfs"),
    ],
)
def test_the_file_system_is_that_of_the_nearest_mount(folder, kind):
    assert file_system(Path(folder), MOUNTS) == kind


def test_a_folder_on_a_network_is_refused_unless_it_is_allowed(tmp_path, monkeypatch):
    root = "22 1 0:20 / / rw - ext4 /dev/sda1 rw\n"
    (tmp_path / "mounts").write_text(f"{root}31 22 0:26 / {tmp_path} rw - nfs4 s:/o rw\n")
    monkeypatch.setattr(place, "MOUNTS", tmp_path / "mounts")
    outputs = Outputs(tmp_path / "not" / "there" / "yet")
    assert network_of(outputs.root) == "nfs4"
    with pytest.raises(MachineError, match="lies on a network"):
        require_place(outputs, {})
    require_place(outputs, {NETWORK_VARIABLE: ALLOWED})
    (tmp_path / "mounts").write_text(root)
    require_place(outputs, {})


def test_this_very_folder_is_on_a_disk_of_this_machine(tmp_path):
    assert network_of(tmp_path) == ""


def test_a_register_begins_in_an_empty_folder_and_where_there_is_none_yet(tmp_path):
    require_place(Outputs(tmp_path / "outputs"), {})
    (tmp_path / "outputs").mkdir()
    for name in (".lock", "README.md", "corrections.txt"):
        (tmp_path / "outputs" / name).write_text("")
    require_place(Outputs(tmp_path / "outputs"), {})


@pytest.mark.parametrize("name", ["archive", "packs", "week-48.xlsx", "register.sqlite.bak"])
def test_a_folder_with_anything_else_in_it_gets_no_new_register(tmp_path, name):
    (tmp_path / name).mkdir()
    with pytest.raises(CommandError, match="is not empty"):
        require_place(Outputs(tmp_path), {})


def test_a_slip_in_the_name_of_the_folder_begins_no_second_series(tmp_path):
    begin(tmp_path / "outputs")
    with pytest.raises(CommandError, match="has no register, but"):
        require_place(Outputs(tmp_path / "outptus"), {})
    with pytest.raises(CommandError, match="has no register, but"):
        require_place(Outputs(tmp_path / "elsewhere" / "outputs"), {})
    require_place(Outputs(tmp_path / "outputs"), {})


def test_a_second_register_that_is_meant_begins_in_a_folder_made_for_it(tmp_path):
    begin(tmp_path / "outputs")
    (tmp_path / "second").mkdir()
    (tmp_path / "second" / "README.md").write_text("")
    require_place(Outputs(tmp_path / "second"), {})


def test_what_a_check_has_left_behind_a_slip_makes_no_folder_for_a_register(tmp_path):
    begin(tmp_path / "outputs")
    (tmp_path / "outptus" / "corrections").mkdir(parents=True)
    with pytest.raises(CommandError, match="has no register, but"):
        require_place(Outputs(tmp_path / "outptus"), {})


def test_a_build_into_a_misspelt_folder_makes_nothing(tmp_path, capsys):
    begin(tmp_path / "outputs")
    (tmp_path / "week.xlsx").write_bytes(b"")
    for command in (["build", "week.xlsx", "--out", "outptus"], ["build", "week.xlsx", "--out", "."]):
        assert cli.main(command) == ExitCode.UNREADABLE
        assert "has no register" in capsys.readouterr().err
    assert not (tmp_path / "outptus").exists()
