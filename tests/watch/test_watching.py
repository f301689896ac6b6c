"""The folder that watches itself: complete files only, once each, and nothing lost when the world is in the way."""

import shutil
import subprocess
import zipfile
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest

from pipeline import cli
from pipeline.demo.spoil import keep_jobs, set_cell
from pipeline.demo.week import demo_rows as make_rows
from pipeline.errors import ExitCode, MachineError
from pipeline.stages.commit import Outputs
from pipeline.watch import folder as folder_of
from pipeline.watch import round as rounds
from pipeline.watch.round import watching
from pipeline.workbook.write import write_workbook

TO_VISIT = "LN-117"


@pytest.fixture(scope="module")
def week(tmp_path_factory) -> bytes:
    """A workbook of one job still to visit: built without a document."""
    path = tmp_path_factory.mktemp("made") / "week.xlsx"
    write_workbook(path, keep_jobs(make_rows(), TO_VISIT))
    return path.read_bytes()


@pytest.fixture(scope="module")
def held(tmp_path_factory) -> bytes:
    """The same with a slip, so that it has something to correct."""
    path = tmp_path_factory.mktemp("made") / "week.xlsx"
    write_workbook(path, set_cell(keep_jobs(make_rows(), TO_VISIT), "Circuits", TO_VISIT, "device_rating", "4O"))
    return path.read_bytes()


class Desk:
    """The watched folder and its outputs; `look` is one run over a restart: two looks, as `--once`."""

    def __init__(self, root: Path) -> None:
        self.inputs, self.outputs, self.said = root / "inputs", Outputs(root / "outputs"), []
        self.inputs.mkdir()

    def look(self) -> int:
        with watching(self.inputs, self.outputs, self.said.append, None) as watcher:
            watcher.round()
            return watcher.round()

    def names(self) -> list[str]:
        return sorted(str(path.relative_to(self.inputs)) for path in self.inputs.rglob("*") if path.is_file())

    def done(self) -> list[str]:
        return sorted(path.name for path in (self.inputs / "done").rglob("*.xlsx"))


@pytest.fixture
def desk(tmp_path) -> Desk:
    return Desk(tmp_path)


def test_a_workbook_dropped_is_built_answered_beside_and_put_into_the_folder_of_the_day(desk, held):
    (desk.inputs / "week.xlsx").write_bytes(held)
    assert desk.look() == 1
    assert desk.done() == ["week.xlsx"]
    assert {"week-corrections.xlsx", "week-result.txt"} <= set(desk.names())
    note = (desk.inputs / "week-result.txt").read_text()
    assert f"{TO_VISIT}: held" in note
    assert "week-corrections.xlsx" in note
    assert "Traceback" not in note


def test_the_copy_that_the_program_wrote_is_left_alone_until_somebody_corrects_it(desk, held, week):
    (desk.inputs / "week.xlsx").write_bytes(held)
    desk.look()
    assert desk.look() == 0
    (desk.inputs / "week-corrections.xlsx").write_bytes(week)  # as an office program saves it: other bytes
    assert desk.look() == 1
    assert desk.done() == ["week-corrections.xlsx", "week.xlsx"]


def test_a_file_that_is_still_growing_waits(desk, week):
    path = desk.inputs / "week.xlsx"
    with watching(desk.inputs, desk.outputs, desk.said.append, None) as watcher:
        for share in (0.3, 0.6, 1.0):
            path.write_bytes(week[: int(len(week) * share)])
            assert watcher.round() == 0
        assert watcher.round() == 1
    assert desk.done() == ["week.xlsx"]


def test_half_a_file_that_has_stopped_growing_waits_until_it_is_whole_or_given_up(desk, week, monkeypatch):
    path = desk.inputs / "week.xlsx"
    path.write_bytes(week[: len(week) // 2])
    assert desk.look() == 0
    assert desk.names() == ["week.xlsx"]
    monkeypatch.setattr(folder_of, "GIVEN_UP_S", -1.0)
    assert desk.look() == 1
    assert "Refused" in (desk.inputs / "week-result.txt").read_text()
    assert path.exists()
    path.write_bytes(week)
    assert desk.look() == 1
    assert desk.done() == ["week.xlsx"]


def test_a_file_of_full_size_with_a_hole_in_it_is_not_whole(desk, week):
    middle = len(week) // 2
    (desk.inputs / "week.xlsx").write_bytes(week[:middle] + bytes(2000) + week[middle + 2000 :])
    assert desk.look() == 0


@pytest.mark.parametrize("lock", ["~$week.xlsx", ".~lock.week.xlsx#"])
def test_a_workbook_that_somebody_has_open_waits(desk, week, lock):
    (desk.inputs / "week.xlsx").write_bytes(week)
    (desk.inputs / lock).write_bytes(b"")
    assert desk.look() == 0
    (desk.inputs / lock).unlink()
    assert desk.look() == 1


def test_the_same_file_dropped_again_is_answered_again_and_put_beside_the_first(desk, week):
    for _ in range(2):
        (desk.inputs / "week.xlsx").write_bytes(week)
        assert desk.look() == 1
    assert desk.done() == ["week-2.xlsx", "week.xlsx"]


def test_two_files_at_once_are_both_built(desk, week, held):
    (desk.inputs / "a.xlsx").write_bytes(week)
    (desk.inputs / "b.xlsx").write_bytes(held)
    assert desk.look() == 2
    assert desk.done() == ["a.xlsx", "b.xlsx"]
    assert {"a-result.txt", "b-result.txt"} <= set(desk.names())


def test_where_nothing_may_be_moved_a_workbook_is_remembered_by_its_content_over_a_restart(desk, week, monkeypatch):
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "read-only share")

    monkeypatch.setattr(Path, "rename", refuse)
    (desk.inputs / "week.xlsx").write_bytes(week)
    assert desk.look() == 1
    assert desk.look() == 0
    (desk.inputs / "week.xlsx").unlink()
    desk.look()
    (desk.inputs / "week.xlsx").write_bytes(week)
    assert desk.look() == 1, "dropped anew, it is answered anew"


def test_on_a_read_only_share_note_and_copy_lie_in_the_outputs(desk, held, monkeypatch):
    (desk.inputs / "week.xlsx").write_bytes(held)
    write = rounds.write_durably

    def read_only(path: Path, content: bytes) -> None:
        if desk.inputs in path.parents:
            raise PermissionError(13, "read-only share")
        write(path, content)

    monkeypatch.setattr(rounds, "write_durably", read_only)
    monkeypatch.setattr(rounds, "put_away", lambda *_: None)
    assert desk.look() == 1
    assert desk.names() == ["week.xlsx"]
    note = (desk.outputs.watched / "week-result.txt").read_text()
    assert str(desk.outputs.copies / "week-corrections.xlsx") in note
    assert desk.look() == 0


@pytest.fixture
def share(desk, tmp_path):
    """A file system of its own that can be attached to the watched folder; skips where nobody may do that."""
    source = tmp_path / "share"
    source.mkdir()

    def attach(*words: str) -> None:
        subprocess.run(["mount", *words], check=True, capture_output=True)

    def away() -> None:
        subprocess.run(["umount", str(desk.inputs)], check=True, capture_output=True)

    try:
        attach("-t", "tmpfs", "tmpfs", str(source))
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("no file system may be attached here")
    yield SimpleNamespace(
        source=source, there=lambda: attach("--bind", "-o", "ro", str(source), str(desk.inputs)), away=away
    )
    for each in (desk.inputs, source):
        subprocess.run(["umount", "-l", str(each)], check=False, capture_output=True)


def test_on_a_share_attached_read_only_the_answer_lies_in_the_outputs_and_a_restart_repeats_nothing(desk, held, share):
    (share.source / "week.xlsx").write_bytes(held)
    share.there()
    with pytest.raises(OSError, match="Read-only"):
        (desk.inputs / "mine.txt").write_bytes(b"")
    assert desk.look() == 1
    assert desk.names() == ["week.xlsx"]
    assert "stays where it is" in (desk.outputs.watched / "week-result.txt").read_text()
    assert desk.look() == 0


def test_a_share_that_goes_away_is_told_and_its_workbooks_are_not_built_again_when_it_is_back(desk, week, share):
    (share.source / "week.xlsx").write_bytes(week)
    share.there()
    with watching(desk.inputs, desk.outputs, desk.said.append, None) as watcher:
        assert [watcher.round(), watcher.round()] == [0, 1]
        share.away()
        assert [watcher.round(), watcher.round()] == [0, 0]
        share.there()
        assert [watcher.round(), watcher.round()] == [0, 0]
    assert [each.removeprefix(f"{desk.inputs} ") for each in desk.said[1:]] == [rounds.AWAY, rounds.BACK]


def test_a_folder_that_cannot_be_read_forgets_nothing(desk, week, monkeypatch):
    (desk.inputs / "week.xlsx").write_bytes(week)
    monkeypatch.setattr(rounds, "put_away", lambda *_: None)
    with watching(desk.inputs, desk.outputs, desk.said.append, None) as watcher:
        assert [watcher.round(), watcher.round()] == [0, 1]
        desk.inputs.rename(desk.inputs.with_name("away"))
        assert watcher.round() == 0
        desk.inputs.with_name("away").rename(desk.inputs)
        assert [watcher.round(), watcher.round()] == [0, 0]


def test_a_file_that_is_taken_away_meanwhile_is_said_and_nothing_breaks(desk, week, monkeypatch):
    (desk.inputs / "week.xlsx").write_bytes(week)
    (desk.inputs / "zz.xlsx").write_bytes(week)
    whole = rounds.build

    def taken(options, tell):
        if options.workbook.name == "week.xlsx":
            options.workbook.unlink()
        return whole(options, tell)

    monkeypatch.setattr(rounds, "build", taken)
    assert desk.look() == 1
    assert "week.xlsx was taken away before it was read." in desk.said
    assert desk.done() == ["zz.xlsx"]


def test_a_file_saved_again_while_it_is_built_is_not_put_away_unseen(desk, week, held, monkeypatch):
    path = desk.inputs / "week.xlsx"
    path.write_bytes(week)
    whole = rounds.build

    def saved_again(options, tell):
        report = whole(options, tell)
        options.workbook.write_bytes(held)
        return report

    with monkeypatch.context() as patch:
        patch.setattr(rounds, "build", saved_again)
        desk.look()
    assert path.read_bytes() == held
    assert desk.look() == 1
    assert f"{TO_VISIT}: held" in (desk.inputs / "week-result.txt").read_text()


def test_what_was_finished_for_a_run_that_died_is_told(desk, week, monkeypatch):
    (desk.inputs / "week.xlsx").write_bytes(week)
    whole = rounds.build
    monkeypatch.setattr(rounds, "build", lambda *given: replace(whole(*given), recovered=("0007-1",)))
    assert desk.look() == 1
    assert "Finished what an earlier run had begun: 0007-1." in (desk.inputs / "week-result.txt").read_text()


def test_trouble_with_this_machine_leaves_the_workbook_for_a_later_try(desk, week, monkeypatch):
    def broken(*_: object) -> None:
        raise MachineError("The disk is full.", "Make room.")

    with monkeypatch.context() as patch:
        patch.setattr(rounds, "build", broken)
        (desk.inputs / "week.xlsx").write_bytes(week)
        assert desk.look() == 1
    assert "The disk is full." in (desk.inputs / "week-result.txt").read_text()
    assert desk.look() == 1
    assert desk.done() == ["week.xlsx"]


def test_a_fault_of_the_program_is_told_and_the_other_files_go_on(desk, week, monkeypatch):
    whole = rounds.build

    def faulty(options, tell):
        return 1 / 0 if options.workbook.name == "a.xlsx" else whole(options, tell)

    monkeypatch.setattr(rounds, "build", faulty)
    for name in ("a.xlsx", "b.xlsx"):
        (desk.inputs / name).write_bytes(week)
    assert desk.look() == 2
    assert "Traceback" not in (desk.inputs / "a-result.txt").read_text()
    assert desk.done() == ["b.xlsx"]


def test_a_workbook_of_the_firm_alone_stays_where_it_is(desk, tmp_path):
    rows = {sheet: rows for sheet, rows in make_rows().items() if sheet in {"Firm", "People", "Instruments"}}
    write_workbook(tmp_path / "firm.xlsx", rows)
    shutil.copy(tmp_path / "firm.xlsx", desk.inputs / "firm.xlsx")
    desk.look()
    assert (desk.inputs / "firm.xlsx").exists()
    assert desk.look() == 0


def test_only_one_watcher_works_with_one_outputs_folder(desk, capsys):
    with watching(desk.inputs, desk.outputs, print, None):
        code = cli.main(["watch", str(desk.inputs), "--out", str(desk.outputs.root), "--once", "--every", "0.01"])
    assert code == ExitCode.MACHINE
    assert "Another watcher" in capsys.readouterr().err


def test_the_command_builds_what_is_complete_and_ends(desk, week, capsys):
    (desk.inputs / "week.xlsx").write_bytes(week)
    run = ["watch", str(desk.inputs), "--out", str(desk.outputs.root), "--once", "--every", "0.05"]
    assert cli.main(run) == ExitCode.OK
    assert "Built: 1." in capsys.readouterr().out
    assert zipfile.is_zipfile(next((desk.inputs / "done").rglob("week.xlsx")))
    assert cli.main(["watch", str(desk.inputs / "nowhere"), "--once"]) == ExitCode.UNREADABLE
