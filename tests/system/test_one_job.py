"""One job through the whole program, and what happens when the machine or a person interrupts it."""

import shutil

import pytest

from pipeline import cli, issue
from pipeline.demo.__main__ import write_demo
from pipeline.demo.spoil import keep_jobs, set_cell
from pipeline.demo.week import demo_rows as make_rows
from pipeline.errors import ExitCode
from pipeline.orders import DRAFT
from pipeline.register import Kind, Register
from pipeline.tools import program
from pipeline.workbook.write import write_workbook

SOUND, HELD, TO_VISIT = "LN-101", "LN-113", "LN-117"


@pytest.fixture(scope="session")
def photos(tmp_path_factory):
    folder = tmp_path_factory.mktemp("photos")
    write_demo(folder)
    return folder / "photos"


@pytest.fixture
def week(tmp_path, photos):
    """Writes a workbook of some of the demo's jobs, with the photos beside it."""

    def write(rows, name="week.xlsx"):
        shutil.copytree(photos, tmp_path / "photos", dirs_exist_ok=True)
        write_workbook(tmp_path / name, rows)
        return str(tmp_path / name)

    return write


@pytest.fixture
def out(tmp_path):
    return tmp_path / "outputs"


def entries(out):
    with Register.open(out / "register.sqlite", "2026-11-24T00:00:00+00:00") as register:
        return [(each["number"], each["revision"], each["kind"]) for each in register.entries()]


def test_a_dangerous_point_has_its_notice_in_the_language_of_the_client_too(week, out):
    for language, documents in (("English", {"do-not-use"}), ("German", {"do-not-use", "do-not-use-de"})):
        rows = set_cell(keep_jobs(make_rows(), HELD), "Jobs", HELD, "client_language", language)
        (out / language).mkdir(parents=True)
        assert cli.main(["build", week(rows), "--out", str(out / language)]) == ExitCode.OK
        made = {path.name for path in (out / language / "held").rglob("*") if path.is_file()}
        assert made == {f"{document}.{kind}" for document in documents for kind in ("docx", "pdf")}


def test_a_build_ends_with_zero_though_a_job_is_held_unless_told_to_be_strict(week, out, capsys):
    workbook = week(keep_jobs(make_rows(), HELD, TO_VISIT))
    assert cli.main(["build", workbook, "--out", str(out)]) == ExitCode.OK
    assert cli.main(["build", workbook, "--out", str(out), "--strict"]) == ExitCode.HELD
    assert cli.main(["check", workbook, "--out", str(out)]) == ExitCode.HELD
    told = capsys.readouterr().out
    assert "Ring the electrician today: keep the point isolated and locked off." in told
    assert f"{TO_VISIT}  planned" in told


def test_a_check_makes_nothing_but_its_marked_copy(week, out):
    workbook = week(keep_jobs(make_rows(), SOUND))
    assert cli.main(["check", workbook, "--out", str(out)]) == ExitCode.OK
    assert [each.name for each in out.iterdir()] == ["corrections"]


def test_only_the_jobs_asked_for_are_made(week, out, capsys):
    workbook = week(keep_jobs(make_rows(), HELD, TO_VISIT))
    assert cli.main(["check", workbook, "--out", str(out), "--job", TO_VISIT]) == ExitCode.OK
    assert HELD not in capsys.readouterr().out.split("Rows, sheet by sheet")[0]
    assert cli.main(["check", workbook, "--out", str(out), "--job", "LN-999"]) == ExitCode.UNREADABLE
    assert "LN-999" in capsys.readouterr().err


def test_a_corrected_job_is_held_until_a_revision_is_asked_for_with_its_reason(week, out, capsys):
    rows = keep_jobs(make_rows(), SOUND)
    assert cli.main(["build", week(rows), "--out", str(out)]) == ExitCode.OK
    changed = week(set_cell(rows, "Jobs", SOUND, "occupier", "Robin Sample"))
    assert cli.main(["build", changed, "--out", str(out), "--strict"]) == ExitCode.HELD
    assert f"--revise {SOUND}" in capsys.readouterr().out
    asked = ["build", changed, "--out", str(out), "--revise", SOUND]
    assert cli.main(asked) == ExitCode.UNREADABLE
    assert cli.main([*asked, "--reason", "occupier added"]) == ExitCode.OK
    assert [each for each in entries(out) if each[0]] == [
        (1, 1, Kind.RESERVED),
        (1, 1, Kind.AWAITING),
        (1, 2, Kind.RESERVED),
        (1, 2, Kind.AWAITING),
        (1, 1, Kind.SUPERSEDED),
    ]
    assert (out / "packs" / "0001-2" / "0001-2-handover-pack.pdf").exists()
    assert (out / "archive" / "0001-1").exists()


def test_without_libreoffice_only_marked_drafts_are_made_and_no_number_is_reserved(week, out, capsys, monkeypatch):
    monkeypatch.setattr(program, "_places", lambda: iter(()))
    assert cli.main(["build", week(keep_jobs(make_rows(), SOUND)), "--out", str(out)]) == ExitCode.MACHINE
    assert "Install it with:" in capsys.readouterr().err
    assert not (out / "register.sqlite").exists()
    assert not (out / "packs").exists()
    drafts = sorted((out / "drafts").rglob("*.docx"))
    assert drafts
    from docx import Document

    for path in drafts:
        headers = " ".join(p.text for s in Document(path).sections for p in s.header.paragraphs)
        tables = " ".join(
            c.text for s in Document(path).sections for t in s.header.tables for r in t.rows for c in r.cells
        )
        assert DRAFT in headers + tables


def test_a_draft_is_marked_on_every_page_and_neither_has_a_number_nor_enters_anything(week, out, capsys):
    workbook = week(keep_jobs(make_rows(), SOUND, HELD))
    assert cli.main(["build", workbook, "--out", str(out), "--draft"]) == ExitCode.OK
    assert "no number was reserved" in capsys.readouterr().out
    assert not {"register.sqlite", "packs", "archive", "held"} & {each.name for each in out.iterdir()}
    [folder] = (out / "drafts").iterdir()  # the held job has none
    from pypdf import PdfReader

    made = sorted(folder.glob("*.pdf"))
    assert {each.stem for each in made} >= {"draft-handover-pack", "draft-installation-certificate"}
    assert {each.with_suffix("").name for each in folder.glob("*.docx")} == {each.stem for each in made} - {
        "draft-handover-pack"
    }
    for path in made:
        assert str(PdfReader(path).metadata.title).startswith(DRAFT)
        for page in PdfReader(path).pages:
            text = page.extract_text()
            # in the header, at the foot, and across the page
            assert text.count(DRAFT) >= 3
            assert "0000" not in text
    assert cli.main(["verify", str(folder / "draft-handover-pack.pdf")]) == ExitCode.HELD
    assert "It is a draft, not for issue" in capsys.readouterr().out


def test_a_draft_of_a_revision_is_not_offered(week, out, capsys):
    workbook = week(keep_jobs(make_rows(), SOUND))
    asked = ["build", workbook, "--out", str(out), "--draft", "--revise", SOUND, "--reason", "why"]
    assert cli.main(asked) == ExitCode.UNREADABLE
    assert "--revise" in capsys.readouterr().err


def test_two_runs_at_once_the_second_is_told_who_holds_the_folder(week, out, monkeypatch, capsys):
    monkeypatch.setattr(issue, "WAIT_FOR_LOCK_S", 0.1)
    from pipeline.stages.commit import Outputs

    with issue.alone(Outputs(out)):
        code = cli.main(["build", week(keep_jobs(make_rows(), TO_VISIT)), "--out", str(out)])
    assert code == ExitCode.MACHINE
    assert "in use by another run (process" in capsys.readouterr().err


def test_a_file_that_is_no_workbook_is_refused_in_one_sentence(tmp_path, out, capsys):
    path = tmp_path / "week.xlsx"
    path.write_text("Job;Client\n1;Sam\n")
    assert cli.main(["check", str(path), "--out", str(out)]) == ExitCode.UNREADABLE
    assert cli.main(["check", str(tmp_path / "missing.xlsx"), "--out", str(out)]) == ExitCode.UNREADABLE
    told = capsys.readouterr().err
    assert "Traceback" not in told
    assert path.read_text() == "Job;Client\n1;Sam\n"


def test_a_blank_workbook_is_written_once_and_read_back_as_empty(tmp_path, out, capsys):
    path = tmp_path / "blank.xlsx"
    assert cli.main(["blank", str(path)]) == ExitCode.OK
    assert cli.main(["blank", str(path)]) == ExitCode.UNREADABLE
    assert cli.main(["check", str(path), "--out", str(out)]) == ExitCode.HELD
    told = capsys.readouterr().out
    assert "No job is typed in yet." in told
    assert "Firm A3" in told


def test_a_fault_of_ours_is_told_as_such_and_leaves_its_trace_in_a_file(week, out, monkeypatch, capsys):
    out.mkdir()
    from pipeline import run

    monkeypatch.setattr(run, "check", lambda *_: 1 / 0)
    assert cli.main(["check", week(keep_jobs(make_rows(), SOUND)), "--out", str(out)]) == ExitCode.OUR_FAULT
    told = capsys.readouterr().err
    assert "Traceback" not in told
    assert "ZeroDivisionError" in (out / "fault.txt").read_text()


def test_an_interrupted_run_says_how_to_go_on(week, out, monkeypatch, capsys):
    from pipeline import run

    def interrupt(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(run, "check", interrupt)
    assert cli.main(["check", week(keep_jobs(make_rows(), SOUND)), "--out", str(out)]) == ExitCode.INTERRUPTED
    assert "Run the same command again" in capsys.readouterr().err
