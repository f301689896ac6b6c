"""Validate: cells become typed jobs, and every cell that cannot be taken as it is becomes a finding at its place."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from pipeline.errors import WorkbookRefusedError
from pipeline.facts.field import Field, Needed
from pipeline.facts.findings import Finding
from pipeline.facts.job import Week
from pipeline.facts.row import Kind
from pipeline.facts.rows.answers import Answer
from pipeline.facts.rows.firm import Person
from pipeline.facts.sheets import SHEETS, Sheet
from pipeline.workbook.assemble import assemble, balance_of
from pipeline.workbook.cells import Cell, Cells, SheetCells
from pipeline.workbook.columns import columns_of, filled_rows, unused_columns
from pipeline.workbook.defaults import DefaultRow, fillings_of
from pipeline.workbook.notices import Spot, findings_of
from pipeline.workbook.oddities import oddities_of, order_in
from pipeline.workbook.parse_cell import CellParser
from pipeline.workbook.photo_rows import look_at_photos
from pipeline.workbook.photos import PhotoFolder
from pipeline.workbook.second import Joined, join, own_rows, second_tabs, without_filled
from pipeline.workbook.tabs import hidden_parts, missing_tabs, remarks_on_tabs
from pipeline.workbook.typist import Tab, TypedRow, Typist


def type_week(cells: Cells, as_of: date, photos: Path | None, second: Cells | None = None) -> Week:
    """The jobs of a workbook with all that was found at its cells; `as_of` is the day of the check.

    `second` is a workbook that holds firm, people, instruments and models, or some of them.

    Raises WorkbookRefusedError where sheets, version or headings are not those of the workbook.
    """
    tabs = _tabs(cells)
    others, unread = second_tabs(second) if second else ({}, [])
    parser = CellParser(as_of, order_in(_date_cells(tabs)))
    fillings, notices = fillings_of(_default_rows(tabs["Defaults"]), parser)
    typist = Typist(parser, fillings, notices)
    rows = {title: _type(typist, tab, others.get(title)) for title, tab in tabs.items()}
    typed = {title: each.rows for title, each in rows.items()}
    filled = frozenset(place for each in rows.values() for place in each.filled)
    findings = [*remarks_on_tabs(cells), *unread, *findings_of(without_filled(typist.notices, filled))]
    findings += [finding for each in rows.values() for finding in each.findings]
    sums, on_photos = look_at_photos([*typed["Firm"], *typed["Photos"]], PhotoFolder(photos))
    jobs = assemble(typed, sums)
    balance = [balance_of(tab.sheet, own_rows(rows[title]), jobs, len(fillings)) for title, tab in tabs.items()]
    balance += [balance_of(tab.sheet, rows[title].second, jobs) for title, tab in others.items()]
    return Week.model_construct(
        source=cells.source,
        sha256=cells.sha256,
        content=cells.content,
        as_of=as_of,
        jobs=jobs,
        answers=tuple(each.row for each in typed["Answers"] if isinstance(each.row, Answer)),
        people=tuple(each.row for each in typed["People"] if isinstance(each.row, Person)),
        findings=(*findings, *on_photos),
        balance=tuple(balance),
    )


def _type(typist: Typist, tab: Tab, other: Tab | None) -> Joined:
    """One sheet typed, with what the second workbook says on it, and what is odd about it as a whole."""
    # the second workbook first: a sheet may then stay empty in the week's own
    theirs = typist.type_tab(other) if other else []
    ours = typist.type_tab(tab)
    joined = join(tab.sheet, ours, theirs)
    joined.findings.extend(_of_sheet(tab, ours))
    if other:
        joined.findings.extend(_of_sheet(other, theirs))
    return joined


def _of_sheet(tab: Tab, typed: list[TypedRow]) -> list[Finding]:
    """What is odd about a sheet as a whole."""
    found = [*unused_columns(tab.sheet, tab.columns, tab.rows), *oddities_of(tab, typed)]
    return found + hidden_parts(tab.cells, tab.rows, _needed_headings(tab))


def _tabs(cells: Cells) -> dict[str, Tab]:
    """All sheets; raises WorkbookRefusedError that tells every missing one and what is wrong with any heading."""
    tabs: dict[str, Tab] = {}
    slips = missing_tabs(cells, tuple(sheet.title for sheet in SHEETS))
    for sheet in SHEETS:
        try:
            if found := cells.sheet(sheet.title):
                tabs[sheet.title] = _tab(sheet, found)
        except WorkbookRefusedError as refusal:
            slips += refusal.slips
    if slips:
        raise WorkbookRefusedError.of_slips(slips)
    return tabs


def _tab(sheet: Sheet, found: SheetCells) -> Tab:
    """One sheet with its filled rows and columns."""
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
