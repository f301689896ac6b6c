"""From a query accepted on the sheet of answers to an issued pack: released in ink, revised, withdrawn."""

import json
import shutil
from copy import deepcopy
from datetime import UTC, datetime

import pikepdf
import pytest

from pipeline import cli, standing
from pipeline.audit.records import record_faults
from pipeline.demo.__main__ import write_demo
from pipeline.demo.spoil import keep_jobs, set_cell
from pipeline.demo.week import demo_rows as make_rows
from pipeline.errors import ExitCode
from pipeline.facts.findings import Verdict
from pipeline.facts.questions import key_of
from pipeline.facts.record import canonical
from pipeline.pack.opening import opened
from pipeline.pack.wholeness import attached_files, content_of
from pipeline.register import Kind, Register
from pipeline.rules.answers import revision_key
from pipeline.run import Options, judge
from pipeline.stages import release as releasing
from pipeline.stages.commit import is_whole
from pipeline.workbook.write import write_workbook

QUERIED = "LN-115"
TODAY = datetime.now(UTC).astimezone().date()


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    folder = tmp_path_factory.mktemp("release")
    write_demo(folder)
    return folder


def written(home, rows, name):
    write_workbook(home / name, rows)
    return home / name


def answers(home, rows, reason="Measured twice, both instruments agree."):
    """One row a query of the job, as the check adds it, filled in by the supervisor."""
    path = written(home, rows, "asked.xlsx")
    _, [judged] = judge(Options(path, home / "none", only=(QUERIED,)), lambda *_: None)
    person = judged.job.row.supervisor
    keys = [key_of(each, judged.job) for each in judged.holding if each.verdict is Verdict.QUERY]
    return person, [
        {"job": QUERIED, "what": "Asked.", "question_key": key, "person": person, "reason": reason, "day": TODAY}
        for key in keys
    ]


@pytest.fixture(scope="module")
def made(home):
    """An outputs folder with the pack of a job whose two queries were accepted."""
    rows = keep_jobs(make_rows(), QUERIED)
    person, rows["Answers"] = answers(home, rows)
    assert cli.main(["build", str(written(home, rows, "week.xlsx")), "--out", str(home / "out"), "--strict"]) == 0
    return home / "out", rows, person


@pytest.fixture
def out(made, tmp_path):
    shutil.copytree(made[0], tmp_path / "out")
    return tmp_path / "out"


def register(out):
    return Register.open(out / "register.sqlite", "2026-11-24T00:00:00+00:00")


def states(out):
    with register(out) as opened_register:
        return {each.name: each.state for each in opened_register.standings()}


def record_in(pack):
    with opened(pack.read_bytes()) as pdf:
        return json.loads(content_of(attached_files(pdf)["record.json"]))


def release(out, person, *more, name="0001-1", day=None):
    return cli.main(["release", name, "--by", person, "--on", day or TODAY.isoformat(), "--out", str(out), *more])


def test_accepted_queries_are_in_the_pack_and_in_the_register(made):
    out, _, person = made
    record = record_in(out / "packs" / "0001-1" / "0001-1-handover-pack.pdf")
    assert [each["person"] for each in record["answers"]] == [person, person]
    assert [each["verdict"] for each in record["findings"] if each["rule"] in {a["rule"] for a in record["answers"]}]
    assert record_faults(canonical(record), "pack")[0] == []
    assert record_faults(canonical({**record, "answers": record["answers"][1:]}), "pack")[0]
    with register(out) as opened_register:
        assert [each["kind"] for each in opened_register.entries()].count(Kind.ANSWER) == 2


def test_an_answer_lapses_with_the_figure_and_holds_the_job(made, home, capsys):
    out, rows, _ = made
    changed = set_cell(deepcopy(rows), "Readings", QUERIED, "insulation_le", "1.3")
    assert cli.main(["check", str(written(home, changed, "changed.xlsx")), "--out", str(out)]) == ExitCode.HELD
    assert "This answer is outdated" in capsys.readouterr().out


def test_a_signed_pack_becomes_issued_by_its_release_and_no_archived_byte_changes(made, out, home, capsys):
    before = {path: path.read_bytes() for path in (out / "archive").rglob("*") if path.is_file()}
    with pikepdf.new() as scan:
        scan.add_blank_page()
        scan.save(home / "scan.pdf")
    assert release(out, made[2], "--scan", str(home / "scan.pdf")) == ExitCode.OK
    assert "0001-1 is issued" in capsys.readouterr().out
    assert states(out) == {"0001-1": Kind.ISSUED}
    assert all(path.read_bytes() == content for path, content in before.items())
    bag = out / "archive" / "0001-1-released"
    assert is_whole(bag)
    assert {path.name for path in (bag / "data").iterdir()} == {"0001-1-release.json", "0001-1-signed-scan.pdf"}
    told = json.loads((bag / "data" / "0001-1-release.json").read_bytes())
    assert (told["person"], told["on"]) == (made[2], TODAY.isoformat())
    assert "0001-1-handover-pack.pdf" in told["files"]
    assert cli.main(["verify", str(out), "--quick"]) == ExitCode.OK


def entries(out):
    with register(out) as opened_register:
        return len(opened_register.entries())


def test_the_same_release_again_is_told_and_changes_nothing_while_another_one_is_refused(made, out, home, capsys):
    assert release(out, made[2]) == ExitCode.OK
    before = entries(out)
    assert release(out, made[2]) == ExitCode.OK
    assert "0001-1 is issued already" in capsys.readouterr().out
    with pikepdf.new() as scan:
        scan.add_blank_page()
        scan.save(home / "late.pdf")
    assert release(out, made[2], "--scan", str(home / "late.pdf")) == ExitCode.UNREADABLE
    assert release(out, "NOBODY") == ExitCode.UNREADABLE
    assert "signed in ink on" in capsys.readouterr().err
    assert entries(out) == before


@pytest.mark.parametrize(
    ("by", "on", "told"),
    [
        ("NOBODY", None, "names no person NOBODY"),
        (None, "1999-01-01", "is no day on which"),
        (None, "2199-01-01", "is no day on which"),
        (None, "yesterday", "is no date"),
    ],
)
def test_nobody_releases_who_may_not_or_on_a_day_that_cannot_be(made, out, capsys, by, on, told):
    assert release(out, by or made[2], day=on) == ExitCode.UNREADABLE
    assert told in capsys.readouterr().err
    assert states(out) == {"0001-1": Kind.AWAITING}
    assert not (out / "archive" / "0001-1-released").exists()


def test_what_is_no_pdf_is_no_scan(made, out, home, capsys):
    (home / "scan.txt").write_text("signed, honestly")
    assert release(out, made[2], "--scan", str(home / "scan.txt")) == ExitCode.UNREADABLE
    assert "cannot be read as a PDF" in capsys.readouterr().err


def test_a_release_that_dies_before_its_entry_is_completed_by_the_next_command(made, out, monkeypatch, capsys):
    class Died(BaseException):
        """The process ends here."""

    def die(*_):
        raise Died

    with monkeypatch.context() as patch:
        patch.setattr(releasing, "_enter", die)
        with pytest.raises(Died):
            release(out, made[2])
    assert states(out) == {"0001-1": Kind.AWAITING}
    assert cli.main(["withdraw", "0001-1", "--reason", "wrong board", "--out", str(out)]) == ExitCode.OK
    with register(out) as opened_register:
        kinds = [each["kind"] for each in opened_register.entries() if each["number"]]
    assert kinds == [Kind.RESERVED, Kind.AWAITING, Kind.ISSUED, Kind.WITHDRAWN]


def test_a_withdrawn_pack_holds_its_job_until_a_revision_is_asked_for(made, out, home, capsys):
    assert cli.main(["withdraw", "0001-1", "--reason", "wrong board", "--out", str(out)]) == ExitCode.OK
    assert cli.main(["check", str(home / "week.xlsx"), "--out", str(out)]) == ExitCode.HELD
    assert "Pack 0001-1 of this job was withdrawn" in capsys.readouterr().out


def test_a_revision_asked_for_on_the_sheet_of_answers_says_what_it_supersedes_field_by_field(made, out, home, capsys):
    _, rows, person = made
    assert release(out, person) == ExitCode.OK
    changed = set_cell(deepcopy(rows), "Jobs", QUERIED, "occupier", "Robin Sample")
    _, [judged] = judge(Options(written(home, changed, "asked.xlsx"), out, only=(QUERIED,)), lambda *_: None)
    key = revision_key(judged.job, judged.input_key)
    asked = {"job": QUERIED, "what": "Asked.", "question_key": key, "person": person, "day": TODAY}
    changed["Answers"] = [*changed["Answers"], {**asked, "reason": "Occupier added."}]
    workbook = str(written(home, changed, "revised.xlsx"))
    assert cli.main(["build", workbook, "--out", str(out), "--strict"]) == ExitCode.OK
    told = capsys.readouterr().out
    assert "0001-2 supersedes 0001-1: Occupier added. Changed: Jobs Occupier" in told
    assert "→ Robin Sample" in told
    assert states(out) == {"0001-1": Kind.ISSUED, "0001-2": Kind.AWAITING}
    assert cli.main(["build", workbook, "--out", str(out), "--strict"]) == ExitCode.OK
    assert states(out) == {"0001-1": Kind.ISSUED, "0001-2": Kind.AWAITING}


def test_a_run_says_how_many_packs_stand_under_another_program_version(made, out, home, monkeypatch, capsys):
    assert cli.main(["build", str(home / "week.xlsx"), "--out", str(out)]) == ExitCode.OK
    assert "stay as they were made" not in capsys.readouterr().out
    monkeypatch.setattr(standing, "__version__", "99.0")
    assert cli.main(["build", str(home / "week.xlsx"), "--out", str(out)]) == ExitCode.OK
    assert (
        "Packs that are awaiting signature and stay as they were made: 1 under another program version."
        in capsys.readouterr().out
    )
    assert states(out) == {"0001-1": Kind.AWAITING}
