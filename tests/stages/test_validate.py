"""Validate: from a real file to typed jobs, each finding at its cell."""

import time
from datetime import date

import pytest
from openpyxl import load_workbook

from pipeline.demo.spoil import keep_jobs, set_cell
from pipeline.facts.findings import Verdict
from pipeline.facts.quantities import magnitude
from pipeline.facts.record import input_key
from pipeline.facts.sheets import SHEETS
from pipeline.stages.read import read
from pipeline.stages.validate import type_week
from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.write import write_workbook
from tests.workbook.spoilt import JOB, TODAY, TWO_JOBS, cells_of, place, sound_rows, typed


@pytest.fixture
def rows(demo_rows):
    return {**keep_jobs(demo_rows, *TWO_JOBS), "Photos": []}


def week_of(path):
    return type_week(read(path), TODAY, None)


def test_a_sound_file_gives_its_jobs_and_nothing_to_tell(rows, workbook):
    week = week_of(workbook(rows))
    assert [each.reference for each in week.jobs] == list(TWO_JOBS)
    assert week.findings == ()
    job = week.jobs[0]
    assert magnitude(job.readings[0].zs.quantity, "Ω") == 0.32
    assert job.row.surveyed == date(2026, 10, 21)


def test_a_blank_workbook_asks_for_the_firm_alone(tmp_path):
    write_workbook(tmp_path / "blank.xlsx")
    week = week_of(tmp_path / "blank.xlsx")
    assert week.jobs == ()
    assert {each.subject for each in week.findings} == {"Firm row 3"}


def test_one_bad_cell_holds_its_job_and_leaves_the_other_alone(rows, workbook):
    week = week_of(workbook(set_cell(rows, "Readings", JOB, "zs", "O.62")))
    assert [(each.job, each.verdict, each.places) for each in week.findings] == [
        (JOB, Verdict.FAIL, (place("Readings", "zs"),))
    ]
    assert week.jobs[1].readings[0].zs is not None


def test_the_same_week_saved_by_another_program_is_the_same_week(rows, workbook):
    path = workbook(rows)
    before = week_of(path)
    load_workbook(path).save(path)
    after = week_of(path)
    assert after.sha256 != before.sha256
    assert [input_key(job, "x") for job in after.jobs] == [input_key(job, "x") for job in before.jobs]
    assert after.findings == before.findings


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        (lambda page: page.__setitem__("L3", "=0.31+0.31"), Verdict.FAIL),
        (lambda page: page.merge_cells("A3:A4"), Verdict.FAIL),
        (lambda page: setattr(page["L3"], "number_format", ";;;"), Verdict.QUERY),
        (lambda page: setattr(page["L3"], "number_format", "yyyy-mm-dd"), Verdict.FAIL),
        (lambda page: setattr(page["L3"], "number_format", '0.00" kΩ"'), Verdict.FAIL),
        (lambda page: setattr(page.column_dimensions["L"], "hidden", True), Verdict.NOTE),
    ],
    ids=["formula", "merged", "blanked", "date", "unit in the format", "hidden"],
)
def test_what_was_done_to_a_cell_in_excel_is_found(rows, workbook, change, verdict):
    path = workbook(rows)
    book = load_workbook(path)
    change(book["Readings"])
    book.save(path)
    assert verdict in {each.verdict for each in week_of(path).findings}


def test_a_row_of_example_text_is_no_job(rows, workbook):
    assert all("EXAMPLE" not in job.reference for job in week_of(workbook(rows)).jobs)


NASTY = [
    Cell(Content.TEXT, text)
    for text in (
        "", "=1", "\x00", "\ud800", "\u202e", "9" * 500, "-" * 50, ",", ";", ">", "<", "LIM", "N/A", "> ", "1 2 3",
        "1/2", "99/99/9999", "00/00/0000", "0000-00-00", "2026-02-30T99:99", "{{ x }}", "a" * 40_000, "1 " * 9_000,
        "@" * 5000, "0" * 5000 + "@", "%", "1 %", "5 °C", "1e999", "\u2126", "None", "\n", "٣", "Ⅷ", "½", "①",
    )
] + [
    Cell(Content.NUMBER, text) for text in ("0", "-1", "1e400", "999999999999999", "0.1", "60")
] + [
    Cell(Content.NUMBER, "0.5", form) for form in ("0%", '0" V"', ";;;", "# ?/?", "0.00E+00", "@", "")
] + [
    Cell(Content.DATE, text) for text in ("serial 60", "14:52:48", "2026-03-04", "2026-03-04T12:00:00", "9999-12-31")
] + [Cell(Content.TRUTH, "TRUE"), Cell(Content.ERROR, "#N/A"), Cell(Content.FORMULA, "=", cached="1")]  # fmt: skip


@pytest.mark.parametrize("odd", NASTY, ids=range(len(NASTY)))
def test_no_cell_stops_the_reading_whatever_it_holds(odd):
    rows = {sheet.title: [dict.fromkeys(sheet.row.fields(), odd)] for sheet in SHEETS}
    everywhere = typed(rows)
    beside_a_job = {title: [*given, *rows[title]] for title, given in sound_rows().items()}
    assert typed(beside_a_job).jobs[0].reference == JOB
    for finding in everywhere.findings:
        assert finding.message.isprintable()
        assert finding.found.isprintable()


@pytest.mark.long
def test_a_week_of_a_thousand_jobs_is_typed_in_time():
    job = sound_rows()
    rows = {
        title: [{**row, "job": f"J-{n}"} for n in range(1000) for row in given]
        if "job" in (given or [{}])[0]
        else given
        for title, given in job.items()
    }
    cells = cells_of(rows)
    before = time.process_time()
    week = type_week(cells, TODAY, None)
    assert len(week.jobs) == 1000
    assert time.process_time() - before < 10
