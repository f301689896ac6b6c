"""The reference of all columns says what the fields say, and the one in the repository is of today."""

from pathlib import Path

from pipeline.facts.sheets import SHEETS
from pipeline.workbook.field_reference import FILE, field_reference

INPUTS = Path(__file__).parent.parent.parent / "inputs"


def test_every_column_of_every_sheet_has_its_line():
    lines = field_reference().splitlines()
    for sheet in SHEETS:
        assert f"## {sheet.title}" in lines
        for field in sheet.row.fields().values():
            assert any(line.startswith(f"| {field.heading} |") for line in lines), field.heading


def test_ranges_and_marks_are_those_of_the_fields():
    [line] = [each for each in field_reference().splitlines() if each.startswith("| Zs (Ω) |")]
    assert "A number in Ω." in line
    assert "LIM" in line
    assert "| 0.05 to 250 | 0 to 2000 |" in line


def test_the_reference_beside_the_demo_is_of_today():
    assert (INPUTS / FILE).read_text("utf-8") == field_reference(), "run: python -m pipeline.demo inputs"
