from pipeline.pack.places import misplaced
from pipeline.pack.reading import Cell, Line, Piece


def cell(text, left, below, page=0):
    return Cell([Piece(page, text, left, below, left + 8 * len(text), below + 8)])


def table(*rows):
    return [Line({column: each for column, each in enumerate(row) if each}) for row in rows]


GOOD = [
    (cell("Circuit", 50, 700), cell("Zs", 150, 700)),
    (cell("1", 50, 680), cell("0.53", 150, 680)),
    (cell("2", 50, 660), cell("0.61", 150, 660)),
]


def test_rows_below_and_columns_beside_each_other_are_in_place():
    assert misplaced(table(*GOOD)) == []
    assert misplaced([]) == []


def test_a_value_that_stands_in_another_row_is_named():
    told = misplaced(table(*GOOD[:2], (cell("2", 50, 660), cell("0.61", 150, 680))))
    assert told == ["On page 1 the row 2 does not stand below the row 1."]


def test_a_value_that_stands_in_another_column_is_named():
    told = misplaced(table(*GOOD[:2], (cell("2", 50, 660), cell("0.61", 60, 660))))
    assert told == ["In the row 2 the text of column 2 does not stand in its column."]


def test_a_row_on_the_next_page_starts_anew():
    assert misplaced(table(*GOOD, (cell("3", 50, 740, page=1), cell("0.70", 150, 740, page=1)))) == []


def test_an_empty_cell_and_a_shorter_row_are_no_trouble():
    assert misplaced(table(GOOD[0], (cell("1", 50, 680), None), (cell("a long line over both", 50, 660),))) == []
