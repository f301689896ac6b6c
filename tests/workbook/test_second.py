"""A second workbook for what changes rarely: its facts count as the week's own, and where both differ it is told."""

from dataclasses import replace

import pytest

from pipeline.errors import WorkbookRefusedError
from pipeline.facts.field import Place
from pipeline.facts.record import input_key
from pipeline.facts.sheets import FIRM_FILE_CELL, SHARED, START, WORKBOOK_VERSION
from pipeline.stages.validate import type_week
from pipeline.workbook.cells import SheetCells
from pipeline.workbook.second import named_file
from tests.workbook.spoilt import TODAY, TWO_JOBS, cell, cells_of, place, sound_rows, told

FILE = "firm.xlsx"


def split():
    """The rows of a week without what changes rarely, and the rows of that."""
    rows = sound_rows(*TWO_JOBS)
    return {**rows, **{title: [] for title in SHARED}}, {title: rows[title] for title in SHARED}


def joined(week, firm):
    return type_week(cells_of(week), TODAY, None, replace(cells_of(firm), source=FILE))


def test_a_week_without_the_firms_sheets_is_whole_with_the_second_workbook():
    week = joined(*split())
    assert told(week) == set()
    whole = type_week(cells_of(sound_rows(*TWO_JOBS)), TODAY, None)
    assert [input_key(job, "x") for job in week.jobs] == [input_key(job, "x") for job in whole.jobs]
    assert {each.sheet for each in week.jobs[0].people[0].at.values()} == {f"People in {FILE}"}


def test_a_fact_in_both_that_is_the_same_is_no_matter():
    rows = sound_rows(*TWO_JOBS)
    week = joined(rows, {title: rows[title] for title in SHARED})
    assert told(week) == set()
    assert len(week.jobs[0].people) == len(type_week(cells_of(rows), TODAY, None).jobs[0].people)


@pytest.mark.parametrize(
    ("sheet", "attribute", "value"),
    [("Firm", "telephone", "01632 960999"), ("Instruments", "serial", "SN-9"), ("Models", "rated_current", 16)],
)
def test_a_fact_in_both_that_differs_is_a_finding_at_both_cells(sheet, attribute, value):
    rows = sound_rows()
    firm = {title: [dict(row) for row in rows[title]] for title in SHARED}
    firm[sheet][0][attribute] = value
    week = joined(rows, firm)
    [finding] = [each for each in week.findings if each.rule == "workbooks_agree"]
    own = place(sheet, attribute)
    assert finding.places == (own, Place(f"{sheet} in {FILE}", own.cell))


@pytest.mark.parametrize("value", [32.0, "32"])
def test_the_same_figure_typed_in_two_ways_is_the_same_fact(value):
    rows = sound_rows()
    firm = {title: [dict(row) for row in rows[title]] for title in SHARED}
    assert rows["Models"][0]["rated_current"] == 32
    firm["Models"][0]["rated_current"] = value
    assert "workbooks_agree" not in {each.rule for each in joined(rows, firm).findings}


def test_a_blank_in_one_workbook_takes_the_fact_of_the_other():
    rows, firm = sound_rows(), sound_rows()
    del rows["Instruments"][0]["serial"]
    del firm["Firm"][0]["telephone"]
    week = joined(rows, {title: firm[title] for title in SHARED})
    assert told(week) == set()
    assert week.jobs[0].firm.telephone == rows["Firm"][0]["telephone"]


def test_a_blank_in_both_is_told_where_it_stands():
    week, firm = split()
    del firm["Firm"][0]["telephone"]
    [finding] = joined(week, firm).findings
    assert finding.places == (Place(f"Firm in {FILE}", place("Firm", "telephone").cell),)


def test_rows_of_both_workbooks_are_counted_apart():
    rows, firm = split()
    rows["People"] = [firm["People"].pop(0)]
    balance = {each.sheet: each for each in joined(rows, firm).balance}
    assert balance["People"].filled == 1
    assert balance[f"People in {FILE}"].filled == len(firm["People"])
    assert (balance["Firm"].filled, balance[f"Firm in {FILE}"].filled) == (0, 1)
    assert all(each.filled == each.used + each.not_used for each in balance.values())


def test_jobs_in_the_second_workbook_are_not_read_and_this_is_said():
    week, firm = split()
    firm["Jobs"] = [dict(week["Jobs"][0])]
    assert told(joined(week, firm)) == {("sheet_is_used", "note", "")}


def test_the_second_workbook_is_refused_by_its_name_for_the_same_reasons():
    week, firm = cells_of(split()[0]), replace(cells_of(split()[1]), source=FILE)
    without = replace(firm, sheets=tuple(each for each in firm.sheets if each.title != "People"))
    with pytest.raises(WorkbookRefusedError, match=f"{FILE}: The sheet 'People' is missing"):
        type_week(week, TODAY, None, without)
    older = replace(firm, sheets=(SheetCells(START, {3: {2: cell("0")}}), *firm.sheets[1:]))
    with pytest.raises(WorkbookRefusedError, match=f"{FILE}: The workbook is of version '0'"):
        type_week(week, TODAY, None, older)


def test_a_second_workbook_may_hold_the_sheets_of_the_firm_alone():
    week, firm = cells_of(split()[0]), replace(cells_of(split()[1]), source=FILE)
    few = replace(firm, sheets=tuple(each for each in firm.sheets if each.title in {START, *SHARED}))
    assert told(type_week(week, TODAY, None, few)) == set()


def start(text):
    number = int(FIRM_FILE_CELL[1:])
    rows = {3: {2: cell(WORKBOOK_VERSION)}, number: {2: cell(text)}}
    return replace(cells_of(sound_rows()), sheets=(SheetCells(START, rows),))


def test_the_first_sheet_may_name_the_second_workbook():
    assert named_file(start(" firm 2026.xlsx ")) == "firm 2026.xlsx"
    assert named_file(start("  ")) == ""
    assert named_file(cells_of(sound_rows())) == ""


@pytest.mark.parametrize(
    "text",
    [
        "../firm.xlsx",
        "/etc/passwd",
        "C:\\firm.xlsx",
        "firm.xlsm",
        "~$firm.xlsx",
        ".hidden.xlsx",
        "a\u202eb.xlsx",
        "=A1",
    ],
)
def test_a_name_that_is_more_than_a_file_name_is_refused(text):
    with pytest.raises(WorkbookRefusedError, match="no plain name"):
        named_file(start(text))
