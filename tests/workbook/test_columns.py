"""Columns are found by their headings, wherever they stand."""

import pytest

from pipeline.errors import WorkbookRefusedError
from pipeline.facts.sheets import BY_TITLE
from pipeline.workbook.cells import SheetCells
from tests.workbook.spoilt import cell, cells_of, grid, sound_rows, told, typed

READINGS = BY_TITLE["Readings"]
ZS = list(READINGS.row.fields()).index("zs") + 1


def readings():
    """The readings' cells, free to be changed."""
    return grid(READINGS, sound_rows()["Readings"])


def week_with(sheet):
    return typed(sound_rows(), readings=sheet)


def renamed(old_column, heading):
    sheet = readings()
    sheet.rows[1][old_column] = cell(heading)
    return sheet


def refusal_of(sheet):
    with pytest.raises(WorkbookRefusedError) as refused:
        week_with(sheet)
    assert refused.value.remedy
    return refused.value.message


def test_columns_in_another_order_give_the_same_job():
    sheet = readings()
    last = max(sheet.rows[1])
    turned = {
        number: {last + 1 - n: each for n, each in row.items()} for number, row in sheet.rows.items() if number != 2
    }
    week = week_with(SheetCells("Readings", turned))
    assert told(week) == set()
    assert week.jobs[0].readings[0].typed == typed(sound_rows()).jobs[0].readings[0].typed


@pytest.mark.parametrize("heading", ["Zs  (Ω)", " Zs (Ω) ", "Zs\n(Ω)", "zs (Ω)", "Zs (\u2126)"])
def test_a_heading_may_differ_in_blanks_and_in_the_case_of_its_title(heading):
    assert told(week_with(renamed(ZS, heading))) == set()


@pytest.mark.parametrize("heading", ["Zs (mΩ)", "Zs (ω)", "Z s", "Zs"])
def test_another_unit_or_name_is_refused_with_the_column_that_is_missing(heading):
    message = refusal_of(renamed(ZS, heading))
    assert "'Zs (Ω)' is missing" in message
    assert f"Did you mean '{heading}'?" in message


def test_a_heading_that_stands_twice_is_refused():
    sheet = readings()
    sheet.rows[1][max(sheet.rows[1]) + 1] = cell("Zs (Ω)")
    assert "stands twice" in refusal_of(sheet)


def test_data_without_a_heading_are_refused_with_their_cell():
    sheet = readings()
    last = max(sheet.rows[1])
    del sheet.rows[1][last]
    sheet.rows[3][last] = cell("word")
    assert "stands in a column without a heading" in refusal_of(sheet)


def test_headings_below_their_row_are_refused_with_the_row_they_are_in():
    sheet = readings()
    moved = {1: {1: cell("Readings of the week")}, **{number + 3: row for number, row in sheet.rows.items()}}
    assert "stand in row 4" in refusal_of(SheetCells("Readings", moved))


def test_a_column_that_no_job_needs_may_be_missing():
    sheet = readings()
    remarks = list(READINGS.row.fields()).index("remarks") + 1
    for row in sheet.rows.values():
        row.pop(remarks, None)
    assert told(week_with(sheet)) == set()


def test_data_under_nearly_a_heading_of_ours_are_refused_not_dropped():
    remarks = list(READINGS.row.fields()).index("remarks") + 1
    sheet = renamed(remarks, "Remarkes")
    sheet.rows[3][remarks] = cell("Isolator stiff")
    assert "Did you mean 'Remarks'?" in refusal_of(sheet)


def test_an_unknown_column_with_data_is_noted():
    sheet = readings()
    sheet.rows[1][60] = cell("Weather")
    sheet.rows[3][60] = cell("rain")
    assert told(week_with(sheet)) == {("column_is_used", "note", "")}


def test_an_unknown_column_without_data_is_no_matter():
    sheet = readings()
    sheet.rows[1][60] = cell("Weather")
    assert told(week_with(sheet)) == set()


def test_the_example_is_not_read():
    assert [row.typed["circuit"] for row in typed(sound_rows()).jobs[0].readings] == ["9"]


def test_an_example_that_sorting_moved_is_not_read():
    sheet = readings()
    sheet.rows[2], sheet.rows[3] = sheet.rows[3], sheet.rows[2]
    week = week_with(sheet)
    assert [str(row.at["zs"]) for row in week.jobs[0].readings] == ["Readings L2"]
    assert told(week) == set()


def test_an_example_that_was_typed_over_is_read():
    sheet = readings()
    sheet.rows[2] = sheet.rows.pop(3)
    week = week_with(SheetCells("Readings", dict(sorted(sheet.rows.items()))))
    assert [str(row.at["zs"]) for row in week.jobs[0].readings] == ["Readings L2"]


def test_blanks_and_invisible_characters_are_a_blank_cell():
    sheet = readings()
    sheet.rows[3][ZS] = cell(" \u00a0\u200b")
    assert told(week_with(sheet)) == {("cell_is_filled", "fail", "LN-101")}


def test_cells_of_a_sheet_are_told_apart_from_its_headings():
    assert cells_of(sound_rows()).sheet("Readings").rows[1][ZS].text == "Zs (Ω)"
