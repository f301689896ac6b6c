"""The way of a correction: checked, marked, mended in the copy, checked again; the admin's file is never touched."""

import hashlib
import shutil
import subprocess

import pytest
from openpyxl import load_workbook

from pipeline import cli
from pipeline.demo.__main__ import write_demo
from pipeline.demo.spoil import keep_jobs, set_cell
from pipeline.demo.week import demo_rows as make_rows
from pipeline.errors import ExitCode
from pipeline.facts.sheets import FIRM_FILE_CELL, SHARED, START
from pipeline.tools.program import find_program
from pipeline.workbook.write import write_workbook
from tests.workbook.corrections.admins import assert_sound, parts

SOUND, OTHER, HELD = "LN-101", "LN-102", "LN-113"


@pytest.fixture(scope="session")
def photos(tmp_path_factory):
    folder = tmp_path_factory.mktemp("photos")
    write_demo(folder)
    return folder / "photos"


@pytest.fixture
def out(tmp_path):
    return tmp_path / "outputs"


@pytest.fixture
def week(tmp_path, photos):
    """Writes a workbook with the photos beside it."""

    def write(rows, name="week.xlsx"):
        shutil.copytree(photos, tmp_path / "photos", dirs_exist_ok=True)
        write_workbook(tmp_path / name, rows)
        return tmp_path / name

    return write


def check(workbook, out, *more):
    return cli.main(["check", str(workbook), "--out", str(out), *more])


def spoilt():
    rows = set_cell(keep_jobs(make_rows(), SOUND, OTHER), "Readings", SOUND, "zs", "O.32")
    return set_cell(rows, "Jobs", OTHER, "tester", "NOBODY")


def save(path, changes):
    """Change cells as a person does in another program; the parts of the file get the names of that program."""
    book = load_workbook(path)
    for sheet, cell, value in changes:
        book[sheet][cell] = value
    book.save(path)


def address(path, sheet, heading):
    """The cell of a heading in the first row of data."""
    [cell] = [each for each in load_workbook(path)[sheet][1] if each.value == heading]
    return f"{cell.column_letter}3"


def test_a_copy_is_corrected_and_taken_in_place_of_the_workbook(week, out, capsys):
    workbook = week(spoilt())
    before = hashlib.sha256(workbook.read_bytes()).hexdigest(), workbook.stat().st_mtime_ns
    assert check(workbook, out) == ExitCode.HELD
    copy = out / "corrections" / "week-corrections.xlsx"
    assert str(copy) in capsys.readouterr().out
    assert_sound(copy.read_bytes())
    listed = [row[0].value for row in load_workbook(copy)["Corrections"].iter_rows()]
    assert f"Readings {address(workbook, 'Readings', 'Zs (Ω)')}" in listed
    tester = load_workbook(copy)["Jobs"]
    assert "NOBODY" in tester[address(workbook, "Jobs", "Tester").replace("3", "4")].comment.text
    save(
        copy,
        [
            ("Readings", address(workbook, "Readings", "Zs (Ω)"), 0.32),
            (
                "Jobs",
                address(workbook, "Jobs", "Tester").replace("3", "4"),
                make_rows()["Jobs"][1].get("tester", "BWD"),
            ),
        ],
    )
    assert check(copy, out) == ExitCode.OK
    assert "2 to be made" in capsys.readouterr().out
    assert (hashlib.sha256(workbook.read_bytes()).hexdigest(), workbook.stat().st_mtime_ns) == before


def test_a_copy_that_somebody_works_in_is_never_written_over(week, out):
    workbook = week(spoilt())
    check(workbook, out)
    first = out / "corrections" / "week-corrections.xlsx"
    untouched = first.read_bytes()
    check(workbook, out)
    assert first.read_bytes() == untouched
    assert [each.name for each in first.parent.glob("*.xlsx")] == [first.name]
    save(first, [("Jobs", "E3", "Half Done")])
    begun = first.read_bytes()
    check(workbook, out)
    check(first, out)
    assert first.read_bytes() == begun
    assert sorted(each.name for each in first.parent.glob("*.xlsx")) == [
        "week-corrections-2.xlsx",
        "week-corrections.xlsx",
    ]


def test_the_photos_of_a_copy_are_those_of_its_workbook(week, out, capsys):
    rows = set_cell(keep_jobs(make_rows(), SOUND), "Readings", SOUND, "zs", "O.32")
    check(week(rows), out)
    capsys.readouterr()
    copy = out / "corrections" / "week-corrections.xlsx"
    assert check(copy, out) == ExitCode.HELD
    told = capsys.readouterr().out
    assert "held: 1 × fail" in told
    assert "not in the folder" not in told
    assert "files in the folder 'photos' that no row of the sheet Photos names" in told


def test_a_workbook_with_a_missing_sheet_gets_its_copy_with_that_said(week, out, capsys):
    workbook = week(keep_jobs(make_rows(), SOUND))
    book = load_workbook(workbook)
    del book["Circuits"]
    book.save(workbook)
    assert check(workbook, out) == ExitCode.UNREADABLE
    assert "The same is said in" in capsys.readouterr().err
    page = load_workbook(out / "corrections" / "week-corrections.xlsx")["Corrections"]
    assert "The sheet 'Circuits' is missing." in [cell.value for row in page.iter_rows() for cell in row]


def test_a_hostile_file_gets_no_copy(tmp_path, out):
    path = tmp_path / "week.xlsx"
    path.write_text("Job;Client\n1;Sam\n")
    assert check(path, out) == ExitCode.UNREADABLE
    assert not out.exists()


def test_a_cause_that_holds_two_jobs_is_told_once(week, out, capsys):
    rows = keep_jobs(make_rows(), SOUND, OTHER)
    rows["Firm"] = [{**rows["Firm"][0], "telephone": None}]
    check(week(rows), out)
    told = capsys.readouterr().out
    assert told.count("'Telephone' is blank.") == 1
    assert "Held by what is told of the whole workbook alone: LN-101, LN-102." in told
    page = load_workbook(out / "corrections" / "week-corrections.xlsx")["Corrections"]
    assert [cell.value for row in page.iter_rows() for cell in row].count("'Telephone' is blank.") == 1


def test_an_open_query_becomes_a_row_of_the_answers_once(week, out):
    check(week(keep_jobs(make_rows(), HELD)), out)
    copy = out / "corrections" / "week-corrections.xlsx"
    first = [row for row in load_workbook(copy)["Answers"].iter_rows(min_row=3, values_only=True) if any(row)]
    assert [row[0] for row in first] == [HELD] * len(first)
    assert first
    assert all(len(row[2]) == 16 for row in first)
    check(copy, out)
    again = load_workbook(out / "corrections" / "week-corrections-2.xlsx")["Answers"]
    assert [row for row in again.iter_rows(min_row=3, values_only=True) if any(row)] == first


def test_a_second_workbook_is_named_on_the_command_line_or_on_the_first_sheet(week, out, tmp_path, capsys):
    rows = keep_jobs(make_rows(), SOUND)
    week({title: rows[title] for title in SHARED}, "firm.xlsx")
    workbook = week({**rows, **{title: [] for title in SHARED}})
    assert check(workbook, out) == ExitCode.HELD
    assert check(workbook, out, "--with", str(tmp_path / "firm.xlsx")) == ExitCode.OK
    assert "People in firm.xlsx" in capsys.readouterr().out
    save(workbook, [(START, FIRM_FILE_CELL, "firm.xlsx")])
    assert check(workbook, out) == ExitCode.OK
    assert check(out / "corrections" / "week-corrections.xlsx", out) == ExitCode.OK
    save(workbook, [(START, FIRM_FILE_CELL, "nowhere.xlsx")])
    assert check(workbook, out) == ExitCode.UNREADABLE
    assert "nowhere.xlsx" in capsys.readouterr().err


@pytest.mark.long
def test_a_copy_that_libreoffice_has_saved_is_read_as_the_workbook(week, out, tmp_path, capsys):
    workbook = week(keep_jobs(make_rows(), "LN-114", HELD))
    check(workbook, out)
    told = capsys.readouterr().out.split("Corrections for")[1].split("A copy of your workbook")[0]
    saved = tmp_path / "saved"
    command = [str(find_program()), f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--headless"]
    command += ["--convert-to", "xlsx", "--outdir", str(saved), str(out / "corrections" / "week-corrections.xlsx")]
    for _ in range(2):  # a fresh profile asks to be started again
        subprocess.run(command, check=False, timeout=120)
    shutil.copy(saved / "week-corrections.xlsx", out / "corrections" / "week-corrections.xlsx")
    assert "handover_corrections" in parts((saved / "week-corrections.xlsx").read_bytes())["xl/workbook.xml"].decode()
    check(out / "corrections" / "week-corrections.xlsx", out)
    again = capsys.readouterr().out.split("Corrections for")[1].split("A copy of your workbook")[0]
    assert again.replace("-corrections", "") == told
