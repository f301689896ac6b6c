"""Cells that lie side by side are told as one range, and what is no cell is left alone."""

import pytest

from pipeline.facts.field import Place
from pipeline.workbook.corrections.cells import first_cell, join_cells, joined
from pipeline.workbook.corrections.plain import plain_text


@pytest.mark.parametrize(
    ("cells", "ranges"),
    [
        (["A1"], ["A1"]),
        (["B3", "C3", "D3"], ["B3:D3"]),
        (["B3", "B4", "B5"], ["B3:B5"]),
        (["B3", "C3", "B4", "C4"], ["B3:C4"]),
        (["Z9", "AA9"], ["Z9:AA9"]),
        (["A1", "A3", "C1"], ["A1", "A3", "C1"]),
        (["A1", "A1"], ["A1"]),
        (["A1:B2", "C1"], ["A1:B2", "C1"]),
    ],
)
def test_neighbours_become_one_range(cells, ranges):
    assert sorted(join_cells(cells)) == sorted(ranges)


def test_places_of_two_sheets_stay_apart():
    places = [Place("Jobs", "A3"), Place("Jobs", "B3"), Place("Boards", "C3")]
    assert joined(places) == (Place("Jobs", "A3:B3"), Place("Boards", "C3"))


def test_the_cell_that_was_named_first_leads():
    places = [Place("Readings", "L30"), Place("Readings", "E30"), Place("Readings", "M30"), Place("Supplies", "N15")]
    assert joined(places) == (Place("Readings", "L30:M30"), Place("Readings", "E30"), Place("Supplies", "N15"))


@pytest.mark.parametrize(
    ("address", "first"),
    [("L5", "L5"), ("L5:M9", "L5"), ("", ""), ("row 3", ""), ("A0", ""), ("XFE1", ""), ("A1048577", "")],
)
def test_only_an_address_that_lies_on_a_sheet_can_be_marked(address, first):
    assert first_cell(address) == first


def test_letters_that_xml_cannot_hold_are_replaced_and_escapes_of_excel_kept_as_typed():
    assert plain_text("a\x00\ud800b_x0041_") == "a��b_x005F_x0041_"
