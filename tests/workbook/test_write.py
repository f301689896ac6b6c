"""The blank workbook and the filled one: headings, lists, examples and values come out as they went in."""

import re
import subprocess
from datetime import date
from itertools import pairwise

import openpyxl
import pytest

from pipeline.facts.row import Kind
from pipeline.facts.sheets import (
    BY_TITLE,
    EXAMPLE_MARK,
    EXAMPLE_ROW,
    FIRST_ROW,
    LISTS,
    SHEETS,
    START,
    VERSION_CELL,
    WORKBOOK_VERSION,
)
from pipeline.tools.program import find_program
from pipeline.workbook.write import write_workbook
from tests.workbook.corrections.admins import assert_sound

COLUMNS = [(sheet, name) for sheet in SHEETS for name in sheet.row.fields()]


@pytest.fixture(scope="module")
def blank(tmp_path_factory):
    path = tmp_path_factory.mktemp("blank") / "blank.xlsx"
    write_workbook(path)
    return openpyxl.load_workbook(path)


def column_of(sheet, attribute):
    return list(sheet.row.fields()).index(attribute) + 1


def words_offered(book, sheet, attribute):
    """The words of the drop-down over a column's first data cell, found by its defined name."""
    page, cell = book[sheet.title], f"{openpyxl.utils.get_column_letter(column_of(sheet, attribute))}{FIRST_ROW}"
    (rule,) = [each for each in page.data_validations.dataValidation if cell in each.sqref]
    assert rule.type == "list"
    name = book.defined_names[rule.formula1].attr_text
    match = re.fullmatch(rf"{LISTS}!\$(\w+)\$(\d+):\$\w+\$(\d+)", name)
    assert match, name
    letter, first, last = match.groups()
    return rule, [book[LISTS][f"{letter}{row}"].value for row in range(int(first), int(last) + 1)]


def test_a_blank_workbook_is_a_file_that_excel_opens_without_a_question(tmp_path):
    write_workbook(tmp_path / "blank.xlsx")
    assert_sound((tmp_path / "blank.xlsx").read_bytes())


def test_sheets_stand_in_the_order_in_which_they_are_filled_in(blank):
    assert blank.sheetnames == [START, *(sheet.title for sheet in SHEETS), LISTS]
    assert str(blank[START][VERSION_CELL].value) == WORKBOOK_VERSION


def test_every_heading_is_its_field_and_has_a_note(blank):
    for sheet in SHEETS:
        headings = [cell.value for cell in blank[sheet.title][1]]
        assert headings == [field.heading for field in sheet.row.fields().values()]
        assert len(set(headings)) == len(headings)
        assert all(cell.comment and cell.comment.text for cell in blank[sheet.title][1])


def test_a_note_names_the_range_the_marks_and_when_the_cell_is_needed(blank):
    note = blank["Readings"].cell(1, column_of(BY_TITLE["Readings"], "zs")).comment.text
    for part in ("as soon as the job is tested", "Usual: 0.05 to 250", "outside 0 to 2000", "LIM", "A number in Ω"):
        assert part in note


def test_only_the_headings_carry_notes(blank):
    for sheet in SHEETS:
        assert not [c for row in blank[sheet.title].iter_rows(min_row=2) for c in row if c.comment]


def test_the_example_line_says_that_it_is_not_read_and_nothing_stands_below_it(blank):
    for sheet in SHEETS:
        page = blank[sheet.title]
        assert str(page.cell(EXAMPLE_ROW, 1).value).startswith(EXAMPLE_MARK)
        assert not [c for row in page.iter_rows(min_row=FIRST_ROW) for c in row if c.value is not None]


@pytest.mark.parametrize(
    ("sheet", "attribute"),
    [column for column in COLUMNS if column[0].row.choices(column[1])],
    ids=lambda value: getattr(value, "title", value),
)
def test_a_closed_choice_is_offered_whole_and_in_its_order(blank, sheet, attribute):
    rule, words = words_offered(blank, sheet, attribute)
    assert words == list(sheet.row.choices(attribute))
    assert rule.showErrorMessage is (sheet.row.kind(attribute) is Kind.CHOICE)


@pytest.mark.parametrize(
    ("sheet", "attribute"),
    [column for column in COLUMNS if column[0].row.fields()[column[1]].refers],
    ids=lambda value: getattr(value, "title", value),
)
def test_a_reference_offers_the_keys_of_its_sheet(blank, sheet, attribute):
    letter = openpyxl.utils.get_column_letter(column_of(sheet, attribute))
    rules = blank[sheet.title].data_validations.dataValidation
    (rule,) = [each for each in rules if f"{letter}{FIRST_ROW}" in each.sqref]
    refers = sheet.row.fields()[attribute].refers
    assert f"{refers}!$A${FIRST_ROW}" in blank.defined_names[rule.formula1].attr_text
    assert next(iter(BY_TITLE[refers].row.fields().values())).key


def test_the_aspects_are_offered_where_a_remark_names_one(blank):
    _, words = words_offered(blank, BY_TITLE["Inspection remarks"], "aspect")
    assert words == [field.heading for field in BY_TITLE["Inspections"].row.fields().values() if not field.key]


def test_an_impossible_figure_is_coloured_while_typing(blank):
    sheet = BY_TITLE["Readings"]
    letter = openpyxl.utils.get_column_letter(column_of(sheet, "r1_r2"))
    formulas = [
        rule.formula[0]
        for span, rules in blank["Readings"].conditional_formatting._cf_rules.items()
        for rule in rules
        if f"{letter}{FIRST_ROW}" in span.sqref
    ]
    assert f"AND(ISNUMBER({letter}3),OR({letter}3<0,{letter}3>20))" in formulas


def test_what_is_typed_comes_back_as_typed(workbook):
    rows = {
        "Circuits": [{"job": "J-1", "board": "DB", "circuit": "007", "live_size": 2.5, "description": "=1+1"}],
        "Readings": [{"job": "J-1", "zs": 0.625, "insulation_ll": ">999", "r1_r2": "<0.01"}],
        "Jobs": [{"job": "J-1", "client": 'A & B <Ltd> "x"', "worked": date(2026, 11, 16)}],
    }
    book = openpyxl.load_workbook(workbook(rows))
    for title, given in rows.items():
        sheet = BY_TITLE[title]
        for attribute, value in given[0].items():
            cell = book[title].cell(FIRST_ROW, column_of(sheet, attribute))
            assert (cell.value.date() if isinstance(value, date) else cell.value) == value
            assert cell.data_type != "f"


def test_no_format_hides_a_digit_that_was_typed(blank):
    for sheet, attribute in COLUMNS:
        if sheet.row.kind(attribute) in {Kind.AMOUNT, Kind.READING}:
            code = blank[sheet.title].cell(FIRST_ROW - 1, column_of(sheet, attribute)).number_format
            assert code == "General" or re.fullmatch(r"0\.0+####", code)


def test_the_same_rows_give_the_same_bytes(tmp_path, demo_rows, monkeypatch):
    write_workbook(tmp_path / "one.xlsx", demo_rows)
    monkeypatch.setattr("time.time", lambda: 2_000_000_000.0)
    monkeypatch.setattr("time.localtime", lambda *_: (2033, 5, 18, 3, 33, 20, 2, 138, 0))
    write_workbook(tmp_path / "two.xlsx", demo_rows)
    assert (tmp_path / "one.xlsx").read_bytes() == (tmp_path / "two.xlsx").read_bytes()


def test_an_unknown_sheet_or_column_is_refused(tmp_path):
    with pytest.raises(KeyError, match="Circus"):
        write_workbook(tmp_path / "x.xlsx", {"Circus": []})
    with pytest.raises(KeyError, match="colour_of_van"):
        write_workbook(tmp_path / "x.xlsx", {"Jobs": [{"colour_of_van": "red"}]})


def test_a_value_that_no_cell_holds_is_refused(tmp_path):
    with pytest.raises(ValueError, match="list"):
        write_workbook(tmp_path / "x.xlsx", {"Jobs": [{"job": ["J-1"]}]})


def test_rows_lie_within_a_table_that_ends_with_them(workbook):
    page = openpyxl.load_workbook(workbook({"Jobs": [{"job": "J-1"}, {"job": "J-2"}]}))["Jobs"]
    (table,) = page.tables.values()
    assert table.ref.endswith("4")
    assert table.ref.startswith("A1")
    assert [column.name for column in table.tableColumns] == [cell.value for cell in page[1]]


def test_headings_are_tall_enough_and_keys_stay_in_sight(blank):
    for sheet in SHEETS:
        page = blank[sheet.title]
        assert page.freeze_panes
        assert page.print_title_rows == "$1:$1"
        for cell in page[1]:
            width = page.column_dimensions[cell.column_letter].width
            assert max(map(len, cell.value.split())) < width, cell.value


@pytest.mark.long
def test_libreoffice_opens_it_and_keeps_every_value(workbook, demo_rows, tmp_path):
    before = workbook(demo_rows)
    program = str(find_program())
    profile = (tmp_path / "profile").as_uri()
    command = [program, f"-env:UserInstallation={profile}", "--headless", "--convert-to", "ods", "--outdir"]
    for _ in range(2):  # a fresh profile asks to be started again
        subprocess.run([*command, str(tmp_path), str(before)], check=False, timeout=120)
    command[3:5] = ["--convert-to", "xlsx:Calc MS Excel 2007 XML"]
    subprocess.run([*command, str(tmp_path / "back"), str(tmp_path / "week.ods")], check=True, timeout=120)
    first, second = openpyxl.load_workbook(before), openpyxl.load_workbook(tmp_path / "back" / "week.xlsx")
    assert second.sheetnames == first.sheetnames
    for page in first:
        for row in page.iter_rows():
            for cell in row:
                assert second[page.title][cell.coordinate].value == cell.value
    assert set(first.defined_names) <= set(second.defined_names)


def test_key_columns_are_the_first_of_their_sheet():
    for sheet in SHEETS:
        keys = [field.key for field in sheet.row.fields().values()]
        assert keys[0]
        assert all(before or not after for before, after in pairwise(keys))
