"""The sheets of a workbook against the list of ours."""

from dataclasses import replace

import pytest

from pipeline.errors import WorkbookRefusedError
from pipeline.facts.sheets import LISTS, START
from pipeline.stages.validate import type_week
from pipeline.workbook.cells import SheetCells
from tests.workbook.spoilt import TODAY, cell, cells_of, sound_rows, told


def week_of(change):
    cells = cells_of(sound_rows())
    return type_week(replace(cells, sheets=tuple(change(list(cells.sheets)))), TODAY, None)


def renamed(title, new):
    return lambda sheets: [replace(each, title=new) if each.title == title else each for each in sheets]


@pytest.mark.parametrize(("title", "new"), [("Readings", "Readings (2)"), ("Jobs", "Jobs "), ("Photos", "photos")])
def test_a_renamed_sheet_is_refused_with_what_was_probably_meant(title, new):
    with pytest.raises(WorkbookRefusedError, match="is missing") as refused:
        week_of(renamed(title, new))
    assert f"Did you mean '{new}'?" in refused.value.message


def test_a_workbook_of_another_version_is_refused():
    def older(sheets):
        return [SheetCells(START, {3: {2: cell("0")}}) if each.title == START else each for each in sheets]

    with pytest.raises(WorkbookRefusedError, match="version '0'"):
        week_of(older)


def test_a_version_that_is_a_number_is_the_same_version():
    def counted(sheets):
        return [SheetCells(START, {3: {2: cell(1)}}) if each.title == START else each for each in sheets]

    assert told(week_of(counted)) == set()


def test_a_foreign_workbook_is_refused():
    with pytest.raises(WorkbookRefusedError, match=f"'{START}' is missing"):
        week_of(lambda _: [SheetCells("Sheet1", {1: {1: cell("x")}})])


def test_an_unknown_sheet_with_data_is_noted():
    week = week_of(lambda sheets: [*sheets, SheetCells("Extra readings", {1: {1: cell(0.6)}})])
    assert told(week) == {("sheet_is_used", "note", "")}


@pytest.mark.parametrize("extra", [SheetCells("Sheet2"), SheetCells(LISTS, {1: {1: cell("yes")}})])
def test_an_empty_sheet_and_the_lists_are_no_matter(extra):
    assert told(week_of(lambda sheets: [*sheets, extra])) == set()


@pytest.mark.parametrize(
    "hidden",
    [{"hidden": True}, {"hidden_columns": ((12, 12),)}, {"hidden_rows": frozenset({3})}],
    ids=["sheet", "column", "row"],
)
def test_hidden_data_are_used_and_noted(hidden):
    week = week_of(lambda sheets: [replace(each, **hidden) if each.title == "Readings" else each for each in sheets])
    assert told(week) == {("data_are_visible", "note", "")}


def test_damage_in_an_unused_part_is_noted():
    cells = replace(cells_of(sound_rows()), damaged=("docProps/core.xml",))
    assert told(type_week(cells, TODAY, None)) == {("file_is_whole", "note", "")}


def test_all_missing_sheets_are_told_at_once():
    with pytest.raises(WorkbookRefusedError) as refused:
        week_of(lambda sheets: [each for each in sheets if each.title not in {"Boards", "Readings"}])
    assert refused.value.message == "The sheet 'Boards' is missing. The sheet 'Readings' is missing."


def test_missing_columns_of_several_sheets_are_told_at_once():
    def change(sheets):
        for each in sheets:
            if each.title in {"Boards", "Readings"}:
                each.rows[1] = {n: cell("Z" if n == 3 else each.rows[1][n].text) for n in each.rows[1]}
        return sheets

    with pytest.raises(WorkbookRefusedError) as refused:
        week_of(change)
    assert "On the sheet 'Boards' the column 'Description' is missing." in refused.value.message
    assert "On the sheet 'Readings' the column 'Circuit' is missing." in refused.value.message


def test_every_slip_of_sheets_and_headings_is_told_at_once_each_at_its_place():
    def change(sheets):
        for each in sheets:
            if each.title == "Boards":
                headings = each.rows[1]
                headings[3] = cell("Descripton")
                headings[6] = cell(headings[5].text)
                each.rows[3][99] = cell("stray")
        return [each for each in sheets if each.title != "Photos"]

    with pytest.raises(WorkbookRefusedError) as refused:
        week_of(change)
    found = {(each.sheet, each.cell): each.message for each in refused.value.slips}
    assert "The sheet 'Photos' is missing." in found["", ""]
    assert "Did you mean 'Descripton'?" in found["Boards", "C1"]
    assert "stands twice" in found["Boards", "F1"]
    assert "CU3 stands in a column without a heading" in found["Boards", "CU1"]
    assert refused.value.message.count("Descripton") == 1
