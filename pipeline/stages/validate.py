"""Validate: cells become typed jobs, and every cell that cannot be taken as it is becomes a finding at its place."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from pipeline.facts.field import Field, Needed
from pipeline.facts.job import Week
from pipeline.facts.row import Kind
from pipeline.facts.sheets import SHEETS, Sheet
from pipeline.workbook.assemble import assemble
from pipeline.workbook.cells import Cell, Cells, SheetCells
from pipeline.workbook.columns import columns_of, filled_rows, unused_columns
from pipeline.workbook.defaults import DefaultRow, fillings_of
from pipeline.workbook.notices import Spot, findings_of
from pipeline.workbook.oddities import month_first, oddities_of
from pipeline.workbook.parse_cell import CellParser
from pipeline.workbook.photo_rows import look_at_photos
from pipeline.workbook.photos import PhotoFolder
from pipeline.workbook.tabs import hidden_parts, refuse_wrong_tabs, remarks_on_tabs
from pipeline.workbook.typist import Tab, Typist


def type_week(cells: Cells, as_of: date, photos: Path | None) -> Week:
    """The jobs of a workbook with all that was found at its cells; `as_of` is the day of the check.

    Raises WorkbookRefusedError where sheets, version or headings are not those of the workbook.
    """
    refuse_wrong_tabs(cells)
    tabs = {sheet.title: _tab(sheet, cells) for sheet in SHEETS}
    parser = CellParser(as_of, month_first=month_first(_date_cells(tabs)))
    fillings, notices = fillings_of(_default_rows(tabs["Defaults"]), parser)
    typist = Typist(parser, fillings, notices)
    typed = {title: typist.type_tab(tab) for title, tab in tabs.items()}
    findings = [*remarks_on_tabs(cells), *findings_of(typist.notices)]
    for title, tab in tabs.items():
        findings += [*unused_columns(tab.sheet, tab.columns, tab.rows), *oddities_of(tab, typed[title])]
        findings += hidden_parts(tab.cells, tab.rows, _needed_headings(tab))
    sums, on_photos = look_at_photos(typed["Photos"], PhotoFolder(photos))
    whole = assemble(typed, sums, len(fillings))
    return Week.model_construct(
        source=cells.source,
        sha256=cells.sha256,
        as_of=as_of,
        jobs=whole.jobs,
        findings=(*findings, *on_photos),
        balance=whole.balance,
    )


def _tab(sheet: Sheet, cells: Cells) -> Tab:
    """One sheet with its filled rows and columns."""
    found = cells.sheet(sheet.title) or SheetCells(sheet.title)
    rows = filled_rows(found)
    return Tab(sheet, found, rows, columns_of(sheet, found, rows))


def _date_cells(tabs: dict[str, Tab]) -> Iterator[tuple[Cell, Field]]:
    """Every filled cell where a date belongs."""
    for tab in tabs.values():
        fields = tab.sheet.row.fields()
        columns = {
            column: fields[name] for name, column in tab.columns.fields.items() if tab.sheet.row.kind(name) is Kind.DATE
        }
        for _, row in tab.rows if columns else ():
            yield from ((row[column], field) for column, field in columns.items() if column in row)


def _default_rows(tab: Tab) -> list[DefaultRow]:
    """The rows of the Defaults sheet before they are typed."""
    columns = [tab.columns.fields[name] for name in ("sheet", "column", "value")]
    found = []
    for index, (number, row) in enumerate(tab.rows):
        sheet, column, value = (row.get(each) for each in columns)
        first, second, third = (Spot(tab.sheet.title, number, each, index) for each in columns)
        found.append(DefaultRow(sheet, column, value, (first, second, third)))
    return found


def _needed_headings(tab: Tab) -> dict[int, str]:
    """The headings of the columns that some state of a job needs, by column number."""
    fields = tab.sheet.row.fields()
    return {
        column: fields[name].heading
        for name, column in tab.columns.fields.items()
        if fields[name].needed is not Needed.NEVER
    }
