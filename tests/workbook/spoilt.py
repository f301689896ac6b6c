"""One sound job of the demo as cells in memory, so that single cells can be spoilt without writing a file."""

from datetime import date

from pipeline.demo.spoil import keep_jobs
from pipeline.demo.week import TODAY, demo_rows
from pipeline.facts.field import Place
from pipeline.facts.sheets import BY_TITLE, FIRST_ROW, SHEETS, START, WORKBOOK_VERSION
from pipeline.stages.validate import type_week
from pipeline.workbook.cells import Cell, Cells, Content, SheetCells
from pipeline.workbook.columns import letter

JOB = "LN-101"
TWO_JOBS = (JOB, "LN-102")


def cell(value, form="General"):
    """What a typed value becomes in a workbook."""
    match value:
        case Cell():
            return value
        case bool():
            return Cell(Content.TRUTH, str(value).upper(), form)
        case date():
            return Cell(Content.DATE, value.isoformat(), "dd mmm yyyy")
        case int() | float():
            return Cell(Content.NUMBER, f"{value:.12g}", form)
        case _:
            return Cell(Content.TEXT, value, "@")


def grid(sheet, rows):
    """A sheet's cells: headings, the example, the rows; a row of None is blank."""
    names = list(sheet.row.fields())
    cells = {1: {n: cell(field.heading) for n, field in enumerate(sheet.row.fields().values(), start=1)}}
    cells[2] = {1: cell("example, not read")}
    for number, row in enumerate(rows, start=FIRST_ROW):
        if row is not None:
            cells[number] = {
                names.index(name) + 1: cell(value) for name, value in row.items() if value not in (None, "")
            }
    return SheetCells(sheet.title, {number: dict(sorted(row.items())) for number, row in cells.items() if row})


def sound_rows(*jobs):
    """The rows of sound jobs, photos left out: their files would have to lie beside them."""
    return {**keep_jobs(demo_rows(), *(jobs or (JOB,))), "Photos": []}


def cells_of(rows, **sheets):
    """A workbook's cells; `sheets` replaces single sheets by attribute of Job."""
    start = SheetCells(START, {3: {1: cell("Version"), 2: cell(WORKBOOK_VERSION)}})
    made = [sheets.get(sheet.part) or grid(sheet, rows.get(sheet.title, [])) for sheet in SHEETS]
    return Cells("week.xlsx", "0" * 64, (start, *made))


def typed(rows, **sheets):
    """The week of these rows."""
    return type_week(cells_of(rows, **sheets), TODAY, None)


def place(sheet, attribute, number=FIRST_ROW):
    """The cell of a field in a data row."""
    column = list(BY_TITLE[sheet].row.fields()).index(attribute) + 1
    return Place(sheet, f"{letter(column)}{number}")


def told(week, *, job=None):
    """The findings as short triples: rule, verdict, job."""
    return {(each.rule, str(each.verdict), each.job) for each in week.findings if job in (None, each.job)}


def spoil(sheet, attribute, value, *jobs):
    """The week in which one cell of the first row of a sheet holds another value."""
    rows = sound_rows(*jobs)
    rows[sheet][0][attribute] = value
    return typed(rows)
