"""What is odd about a sheet as a whole."""

from dataclasses import replace

import pytest

from pipeline.facts.field import Place
from pipeline.facts.sheets import BY_TITLE
from tests.workbook.spoilt import JOB, TWO_JOBS, cell, grid, sound_rows, told, typed


def with_readings(**changes):
    rows = sound_rows()
    return typed(rows, readings=replace(grid(BY_TITLE["Readings"], rows["Readings"]), **changes))


def test_merged_cells_fail_for_their_job():
    week = with_readings(merged=("L3:L4",))
    assert told(week) == {("cells_are_not_merged", "fail", JOB)}
    assert week.findings[0].places == (Place("Readings", "L3"),)


def test_merged_job_references_are_told_once_and_not_once_more_for_each_row_beneath():
    rows = sound_rows()
    sheet = grid(BY_TITLE["Readings"], rows["Readings"] * 2)
    del sheet.rows[4][1]
    week = typed(rows, readings=replace(sheet, merged=("A3:A4",)))
    assert told(week) == {("cells_are_not_merged", "fail", JOB)}


def test_merged_readings_are_told_once_and_not_as_blanks():
    rows = sound_rows()
    sheet = grid(BY_TITLE["Readings"], [rows["Readings"][0], {**rows["Readings"][0], "attempt": 2}])
    del sheet.rows[4][12]
    week = typed(rows, readings=replace(sheet, merged=("L3:L4",)))
    assert told(week) == {("cells_are_not_merged", "fail", JOB)}
    assert week.findings[0].places == (Place("Readings", "L3"), Place("Readings", "L4"))


def test_merged_headings_are_no_matter():
    assert told(with_readings(merged=("A1:B1",))) == set()


def test_a_comment_on_a_filled_row_is_asked_about():
    week = with_readings(comments={"L3": "retest"})
    assert told(week) == {("cell_carries_no_comment", "query", JOB)}
    assert "'retest'" in week.findings[0].message


def test_the_note_on_a_heading_is_no_matter():
    assert told(with_readings(comments={"L1": "Type the reading.", "L2": "example"})) == set()


def test_rows_after_a_long_gap_are_read_and_the_gap_is_noted():
    rows = sound_rows()
    rows["Readings"] = [rows["Readings"][0], *([None] * 600), {**rows["Readings"][0], "attempt": 2}]
    week = typed(rows)
    assert told(week) == {("rows_follow_each_other", "note", "")}
    assert len(week.jobs[0].readings) == 2


def test_blank_rows_between_jobs_are_no_matter():
    rows = sound_rows(*TWO_JOBS)
    rows["Readings"].insert(1, None)
    assert told(typed(rows)) == set()


@pytest.mark.parametrize("sheet", ["Jobs", "Supplies", "Inspections"])
def test_a_second_row_where_a_job_has_one_fails(sheet):
    rows = sound_rows(*TWO_JOBS)
    rows[sheet].append(dict(rows[sheet][0]))
    week = typed(rows)
    assert told(week) == {("row_is_there_once", "fail", JOB)}
    assert "are the same" in week.findings[0].message


@pytest.mark.parametrize("sheet", ["People", "Instruments", "Models"])
def test_a_name_that_stands_twice_on_a_list_fails_for_whoever_uses_it(sheet):
    rows = sound_rows()
    rows[sheet] = [*rows[sheet], dict(rows[sheet][0])]
    week = typed(rows)
    assert told(week) == {("row_is_there_once", "fail", "")}
    assert len(week.findings[0].places) == 2


def test_two_firms_fail():
    rows = sound_rows()
    rows["Firm"] = [rows["Firm"][0], {**rows["Firm"][0], "name": "Another Firm (invented)"}]
    assert told(typed(rows)) == {("row_is_there_once", "fail", "")}


def test_a_certificate_number_that_was_typed_fails_for_its_job():
    rows = sound_rows()
    jobs = grid(BY_TITLE["Jobs"], rows["Jobs"])
    jobs.rows[1][60], jobs.rows[3][60] = cell("Certificate no."), cell("EX-0042")
    assert told(typed(rows, row=jobs)) == {
        ("numbers_come_from_the_register", "fail", JOB),
        ("column_is_used", "note", ""),
    }


def test_the_end_of_a_range_again_and_again_without_its_sign_is_asked_about():
    rows = sound_rows()
    rows["Readings"][0].update(insulation_ll=999, insulation_le=999)
    assert told(typed(rows)) == {("reading_kept_its_sign", "query", JOB)}
