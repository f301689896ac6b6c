"""Plain values typed into cells and read by the parsers of the workbook, without a workbook."""

from collections import defaultdict
from datetime import date
from typing import Any

from rules.honest import typed

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.job import Job
from pipeline.facts.row import Kind, Row
from pipeline.facts.rows.inspections import Inspection
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.supply import Supply
from pipeline.facts.sheets import BY_ROW, FIRST_ROW
from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.columns import letter
from pipeline.workbook.parse_cell import CellParser
from pipeline.workbook.parse_date import Order

Plain = dict[str, Any]
FIGURES = {Kind.AMOUNT, Kind.READING, Kind.INTEGER}


class Sheets(defaultdict[type[Row], list[Plain]]):
    """Rows of plain values by the kind of row, in the order of their sheet."""

    def __init__(self) -> None:
        super().__init__(list)

    def copied(self) -> "Sheets":
        """The same values in rows of their own, so that a slip stays in the copy."""
        other = Sheets()
        for row, rows in self.items():
            other[row] = [dict(each) for each in rows]
        return other


def put_in(sheets: Sheets, row: type[Row], values: Plain) -> Plain:
    """A row at the end of its sheet, without its blank cells."""
    filled = {name: value for name, value in values.items() if value is not None and name in row.fields()}
    sheets[row].append(filled)
    return filled


def place_of(row: type[Row], number: int, attribute: str) -> Place:
    """The cell of an attribute in the row of this number, counted from nought."""
    return Place(BY_ROW[row].title, f"{letter(list(row.fields()).index(attribute) + 1)}{FIRST_ROW + number}")


def typed_job(sheets: Sheets, as_of: date) -> tuple[Job, list[Finding]]:
    """The job, and what its cells alone give away (notes left out)."""
    parser, found = CellParser(as_of, Order(day_first=True, month_first=False, ambiguous=False)), list[Finding]()
    parts: dict[str, Any] = {}
    for row, rows in sheets.items():
        typed_rows = tuple(_row(parser, row, number, values, found) for number, values in enumerate(rows))
        single = row in (JobRow, Supply, Inspection) or BY_ROW[row].part == "firm"
        parts[BY_ROW[row].part] = typed_rows[0] if single else typed_rows
    return Job(**parts), found


def _row(parser: CellParser, row: type[Row], number: int, values: Plain, found: list[Finding]) -> Row:
    """One typed row; findings on its cells are put to the others."""
    given: Plain = {}
    for name, value in values.items():
        given[name] = value
        if row.kind(name) not in FIGURES or value is None:
            given[name] = typed(row, name, value)
            continue
        content = Content.TEXT if isinstance(value, str) else Content.NUMBER
        parsed = parser.parse(Cell(content, str(value)), row, name)
        given[name] = parsed.value
        found.extend(
            Finding(
                rule=each.rule,
                verdict=each.verdict,
                job="",
                subject=BY_ROW[row].title,
                message=each.message,
                places=(place_of(row, number, name),),
                scope=Scope.CELL,
            )
            for each in parsed.remarks
            if each.verdict is not Verdict.NOTE
        )
    return row(**given, at={name: place_of(row, number, name) for name in row.fields()})
