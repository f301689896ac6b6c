"""A row keeps together unless it holds more than a page can."""

import pytest

from pipeline.documents.long_rows import breakable, modest
from pipeline.documents.wordml import cell, paragraph, row


def a_row(letters, width):
    return row([cell(paragraph("Label", "Label", "<w:keepNext/>"), 30), cell(paragraph("x" * letters, "Cell"), width)])


@pytest.mark.parametrize(
    ("letters", "width", "kept"), [(60, 20, True), (1500, 120, True), (5000, 120, False), (900, 20, False)]
)
def test_only_a_row_taller_than_a_page_may_break(letters, width, kept):
    before = f"<w:tbl>{a_row(60, 50)}{a_row(letters, width)}</w:tbl>"
    after = breakable(before)
    assert after.count("<w:cantSplit/>") == 1 + kept
    assert after.count("<w:keepNext/>") == 1 + kept


@pytest.mark.parametrize(("letters", "smaller"), [(20, False), (62, False), (63, True), (200, True)])
def test_only_a_line_of_more_than_two_lines_gets_smaller_letters(letters, smaller):
    before = paragraph("x" * letters, "Large") + paragraph("y" * 200, "Normal")
    assert ("<w:sz " in modest(before)) is smaller
