"""Cell by cell: the printed tables a second time, transcribed apart from the files of the package (`printed.txt`).

Each line there names the table, one of its columns (or rows) and every figure in it, as `head:figure`. Second-hand from
public references like the files themselves; what this finds is a slip of the hand in either of the two.
"""

from pathlib import Path

import pytest

from pipeline.standards.table import FOLDER, Missing, load

PRINTED = Path(__file__).with_name("printed.txt").read_text("utf-8")
LINES = [line.split(" | ") for line in PRINTED.strip().splitlines()]


def _key(text):
    """The head of a row or column as the tables hold it."""
    try:
        return float(text)
    except ValueError:
        return text


def _named(part, figures):
    """The cells that a line names, by row and column, each with its figure."""
    kind, _, head = part.partition(" ")
    for each in figures.split(","):
        other, _, figure = each.strip().rpartition(":")
        cell = (_key(head), _key(other)) if kind == "row" else (_key(other), _key(head))
        yield cell, float(figure)


@pytest.mark.parametrize(("name", "part", "figures"), LINES, ids=[f"{name} {part}" for name, part, _ in LINES])
def test_a_table_holds_what_is_printed(name, part, figures):
    table = load(name)
    for cell, figure in _named(part, figures):
        found = table.cell(*cell)
        assert not isinstance(found, Missing), cell
        assert found.quantity.magnitude == pytest.approx(figure, rel=1e-9), cell


@pytest.mark.parametrize(
    "path", sorted(FOLDER.glob("*/table_*.csv")), ids=lambda each: f"{each.parent.name} {each.stem}"
)
def test_no_cell_of_a_table_is_left_unread(path):
    """So that one changed digit of any table is noticed."""
    name = f"{path.parent.name}/{path.stem}"
    seen = {cell for other, part, figures in LINES if other == name for cell, _ in _named(part, figures)}
    assert set(load(name).cells) - seen == set()


# columns that are the same in both books: BS 7671 | column | IEC 60364-5-52 | column; 4D1A has 20 A for 2.5 mm², A
SAME = [
    line.split()
    for line in """
4d1a A_2 b_52_2 A1_2
4d1a B_2 b_52_2 B1_2
4d1a A_3 b_52_4 A1_3
4d1a B_3 b_52_4 B1_3
4e1a A_2 b_52_3 A1_2
4e1a B_2 b_52_3 B1_2
4e1a A_3 b_52_5 A1_3
4e1a B_3 b_52_5 B1_3
4e2a A_2 b_52_3 A2_2
4e2a B_2 b_52_3 B2_2
4e2a C_2 b_52_3 C_2
4e2a E_2 b_52_12 E_2
4e2a A_3 b_52_5 A2_3
4e2a B_3 b_52_5 B2_3
4e2a C_3 b_52_5 C_3
4e2a E_3 b_52_12 E_3
""".strip().splitlines()
]
APART = {("4d1a", "A 2", 2.5): 20.0}


@pytest.mark.parametrize(("ours", "column", "theirs", "other"), SAME)
def test_harmonised_columns_are_the_same_in_both_books(ours, column, theirs, other):
    here, there = load(f"bs_7671_2018_a2/table_{ours}"), load(f"iec_60364_5_52_2009/table_{theirs}")
    shared = [row for row in here.rows if not isinstance(there.cell(row, other.replace("_", " ")), Missing)]
    assert len(shared) >= 6
    for row in shared:
        expected = there.cell(row, other.replace("_", " ")).quantity.magnitude
        expected = APART.get((ours, column.replace("_", " "), row), expected)
        assert here.cell(row, column.replace("_", " ")).quantity.magnitude == expected, row


@pytest.mark.parametrize(("one", "other"), [("4d1b", "4d2b"), ("4d5_drop", "4d2b"), ("4e1b", "4e4b"), ("4e2b", "4e4b")])
def test_small_cables_drop_the_same_whatever_their_make(one, other):
    here, there = (load(f"bs_7671_2018_a2/table_{each}") for each in (one, other))
    for row in (1.5, 2.5, 4.0, 6.0, 10.0, 16.0):
        for column in here.columns:
            assert here.cell(row, column).quantity == there.cell(row, column).quantity, (row, column)
