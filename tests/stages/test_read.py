"""Read: what a file must be, and that a stranger's file harms nobody."""

import hashlib
import os
import time

import pytest

from pipeline.errors import ExitCode, WorkbookRefusedError
from pipeline.stages import read as stage
from pipeline.stages.read import read
from tests.workbook.strange import SHEET, plain, replaced, rewritten, rows


@pytest.fixture
def file(tmp_path):
    def write(content):
        path = tmp_path / "week.xlsx"
        path.write_bytes(content)
        return path

    return write


def refusal_of(path):
    with pytest.raises(WorkbookRefusedError) as refused:
        read(path)
    assert refused.value.exit_code is ExitCode.UNREADABLE
    return refused.value.message


def test_the_cells_belong_to_the_bytes_that_were_read(file):
    path = file(plain())
    cells = read(path)
    assert cells.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert cells.source == "week.xlsx"
    assert cells.sheets[0].rows[2][1].text == "J1"


def test_a_link_a_folder_and_a_pipe_are_refused(file, tmp_path):
    link, folder, pipe = tmp_path / "a.xlsx", tmp_path / "b.xlsx", tmp_path / "c.xlsx"
    link.symlink_to(file(plain()))
    folder.mkdir()
    os.mkfifo(pipe)
    assert "a link" in refusal_of(link)
    assert "a folder" in refusal_of(folder)
    assert "no ordinary file" in refusal_of(pipe)


def test_the_mark_of_an_open_workbook_is_refused_as_such(tmp_path):
    (tmp_path / "~$week.xlsx").write_bytes(bytes(165))
    assert "mark that Excel leaves" in refusal_of(tmp_path / "~$week.xlsx")


@pytest.mark.parametrize("mark", ["~$week.xlsx", ".~lock.week.xlsx#"])
def test_a_workbook_that_somebody_has_open_is_refused_until_it_is_closed(file, mark):
    path = file(plain())
    (path.parent / mark).write_bytes(bytes(165))
    assert "still open" in refusal_of(path)
    (path.parent / mark).unlink()
    assert read(path).sheets


@pytest.mark.parametrize(
    "trouble", [PermissionError(13, "Permission denied"), OSError(5, "Input/output error"), OSError(32, "In use")]
)
def test_a_file_that_cannot_be_opened_is_refused_by_name_with_the_reason(file, monkeypatch, trouble):
    path = file(plain())

    def locked(*_):
        raise trouble

    monkeypatch.setattr(stage.os, "open", locked)
    assert trouble.strerror in refusal_of(path)
    assert path.name in refusal_of(path)


def test_a_missing_file_is_refused_by_name(tmp_path):
    assert "none.xlsx" in refusal_of(tmp_path / "none.xlsx")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may read everything")
def test_a_file_without_permission_is_refused(file):
    path = file(plain())
    path.chmod(0)
    assert "cannot be read" in refusal_of(path)


def test_a_file_beyond_the_cap_is_refused_before_it_is_opened(file, monkeypatch):
    monkeypatch.setattr(stage, "LARGEST_FILE", 2_000_000)
    assert "larger than 2 MB" in refusal_of(file(bytes(2_000_001)))


def test_a_file_that_changes_while_it_is_read_is_refused(file, monkeypatch):
    path, real = file(plain()), os.fstat
    seen = []

    def growing(handle):
        if seen:
            os.utime(path, ns=(1, 1))
        seen.append(handle)
        return real(handle)

    monkeypatch.setattr(stage.os, "fstat", growing)
    assert "still being written" in refusal_of(path)


def test_a_reader_that_dies_of_hunger_refuses_the_file(file, monkeypatch):
    monkeypatch.setattr(stage, "MEGABYTES", 1)
    assert "cannot be read" in refusal_of(file(plain()))


def test_a_reader_that_takes_too_long_is_stopped(file, monkeypatch):
    monkeypatch.setattr(stage, "PATIENCE", 0.0001)
    monkeypatch.setattr(stage, "LEAST_ELAPSED", 0.0001)
    assert "cannot be read" in refusal_of(file(plain()))


@pytest.mark.parametrize(
    "hostile",
    [
        lambda: rewritten(plain(), extra=[("xl/big.xml", bytes(40 << 20))]),
        lambda: replaced(plain(), SHEET, b"<sheetData>", b"<sheetData>" + b" " * (40 << 20)),
        lambda: rewritten(plain(), extra=[(f"p{n}", b"") for n in range(20_000)]),
    ],
    ids=["bomb beside", "bomb in the sheet", "thousands of parts"],
)
def test_a_hostile_file_is_refused_within_two_seconds_of_computing(file, hostile):
    path = file(hostile())
    before = time.process_time(), os.times().children_user
    assert refusal_of(path)
    assert time.process_time() - before[0] + os.times().children_user - before[1] < 2


@pytest.mark.long
def test_a_column_formatted_to_the_last_row_is_read_in_seconds(file):
    blank = b"".join(b'<row r="%d"><c r="A%d" s="0"/></row>' % (n, n) for n in range(3, 1_048_577))
    path = file(rows(blank))
    before = os.times().children_user
    assert read(path).sheets[0].rows == read(file(plain())).sheets[0].rows
    assert os.times().children_user - before < 10
