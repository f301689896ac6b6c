"""Site sheets, made from a workbook: which jobs have one, and what stands on it."""

import re
from pathlib import Path

import pypdf
import pytest

from pipeline import cli
from pipeline.demo.spoil import keep_jobs, set_cell
from pipeline.demo.week import demo_rows as make_rows
from pipeline.documents.layouts import LAYOUTS
from pipeline.documents.layouts.visit import BOX
from pipeline.documents.package import unpacked
from pipeline.documents.templates import template_of
from pipeline.errors import ExitCode
from pipeline.workbook.write import write_workbook

TO_VISIT, TESTED = "LN-117", "LN-101"


@pytest.fixture
def make(tmp_path, capsys):
    """Runs the command on rows, and gives its exit code and what it said."""

    def run(rows, *more):
        write_workbook(tmp_path / "week.xlsx", rows)
        code = cli.main(["sitesheet", str(tmp_path / "week.xlsx"), "--out", str(tmp_path / "out"), *more])
        said = capsys.readouterr()
        return code, said.out + said.err

    return run


def sheets(tmp_path: Path) -> list[Path]:
    return sorted((tmp_path / "out").rglob("site-sheet.*"))


def test_the_job_to_visit_has_a_sheet_in_word_and_pdf_and_no_number(make, tmp_path):
    code, said = make(keep_jobs(make_rows(), TO_VISIT, TESTED))
    assert code == ExitCode.OK
    assert TESTED not in said
    word_and_paper = sheets(tmp_path)
    assert [path.suffix for path in word_and_paper] == [".docx", ".pdf"]
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["sitesheets"]
    pages = [page.extract_text() for page in pypdf.PdfReader(word_and_paper[1]).pages]
    first = pages[0]
    order = [
        "Only a qualified electrician",
        "Isolate, in this order",
        "Prove the approved tester",
        "Prove dead",
        "STOP",
    ]
    assert [first.index(each) for each in order] == sorted(first.index(each) for each in order)
    assert all(f"SITE SHEET {TO_VISIT} – NOT A CERTIFICATE" in each for each in pages), "a page by itself names its job"
    whole = " ".join(pages)
    for wanted in (
        "Robin Unreal, householder",
        "5.5 × 60",
        "2.0 N·m",
        "0.874 Ω",
        "Left rear wing",
        "number of the lock",
    ):
        assert wanted in whole


@pytest.mark.parametrize(
    ("cells", "stop"),
    [
        ({"asbestos": "unknown", "built": 1974}, True),
        ({"asbestos": None, "built": None}, True),
        ({"asbestos": "unknown", "built": 2015}, False),
        ({"asbestos": "none known, survey seen", "built": 1974}, False),
    ],
)
def test_nobody_drills_where_asbestos_is_unknown_in_an_old_building(make, tmp_path, monkeypatch, cells, stop):
    from pipeline.tools import program

    monkeypatch.setattr(program, "_places", lambda: iter(()))  # the Word file alone is enough here
    rows = keep_jobs(make_rows(), TO_VISIT)
    for name, value in cells.items():
        rows = set_cell(rows, "Jobs", TO_VISIT, name, value)
    code, said = make(rows)
    assert code == ExitCode.MACHINE
    assert "Word only" in said
    assert ("STOP" in unpacked(sheets(tmp_path)[0].read_bytes())["word/document.xml"].decode()) is stop


def test_a_design_that_fails_is_held_and_told(make, tmp_path):
    code, said = make(set_cell(keep_jobs(make_rows(), TO_VISIT), "Circuits", TO_VISIT, "device_rating", 63))
    assert code == ExitCode.HELD
    assert "none: held" in said
    assert f"{TO_VISIT}: FAIL" in said
    assert not sheets(tmp_path)


def test_a_connection_that_must_be_asked_for_first_waits_for_its_approval(make, tmp_path):
    asked = set_cell(keep_jobs(make_rows(), TO_VISIT), "Supplies", TO_VISIT, "looped", "unknown")
    code, said = make(asked)
    assert code == ExitCode.HELD
    assert "the network operator must be asked first, since the supply is looped or may be" in said
    assert not sheets(tmp_path)


def test_a_tested_job_has_no_site_sheet(make):
    code, said = make(keep_jobs(make_rows(), TO_VISIT, TESTED), "--job", TESTED)
    assert code == ExitCode.UNREADABLE
    assert "has been tested" in said
    code, said = make(keep_jobs(make_rows(), TESTED))
    assert code == ExitCode.OK
    assert "No job of this workbook is still to be visited" in said


def test_each_box_is_at_least_12_mm_high_and_wide():
    body = unpacked(template_of(LAYOUTS["site-sheet"]))["word/document.xml"].decode()
    least = round(12 * 1440 / 25.4)
    rows = [row for row in re.findall(r"<w:tr>.*?</w:tr>", body) if "<w:tcBorders>" in row]
    assert rows
    assert BOX >= 12
    for row in rows:
        assert int(re.search(r'<w:trHeight w:val="(\d+)" w:hRule="atLeast"', row)[1]) >= least
        boxes = re.findall(r'<w:tcW w:w="(\d+)" w:type="dxa"/><w:tcBorders>', row)
        assert all(int(width) >= least for width in boxes)
