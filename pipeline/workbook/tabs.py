"""The sheets of a workbook against the list of ours: none missing, none twice, the right version."""

from collections.abc import Sequence

from pipeline.errors import Slip, WorkbookRefusedError
from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.sheets import BY_TITLE, LISTS, START, VERSION_CELL, WORKBOOK_VERSION
from pipeline.workbook.cells import Cells, SheetCells
from pipeline.workbook.columns import FilledRows, filled_rows, letter
from pipeline.workbook.parsed import did_you_mean, visible

OURS = frozenset(BY_TITLE) | {START, LISTS}
RENAME = "Give the sheet its name back, or copy the rows into a fresh workbook ('handover blank')."
NAMED = 4
"""So many missing sheets are named; where more are missing, it is another workbook."""


def missing_tabs(cells: Cells, wanted: Sequence[str]) -> list[Slip]:
    """The sheets that are missing; raises WorkbookRefusedError for another workbook, or one of another version."""
    others = [each.title for each in cells.sheets if each.title not in OURS]
    missing = [title for title in (START, *wanted) if cells.sheet(title) is None]
    slips = [
        Slip("", "", f"The sheet '{title}' is missing.{did_you_mean(title, others)}", RENAME)
        for title in missing[:NAMED]
    ]
    if len(missing) > NAMED:
        more = Slip("", "", f"So are {len(missing) - NAMED} others.", RENAME)
        raise WorkbookRefusedError.of_slips([*slips, more])
    version = version_of(cells)
    if START not in missing and version != WORKBOOK_VERSION:
        raise WorkbookRefusedError(
            f"The workbook is of version '{visible(version) or 'unknown'}'; this program reads {WORKBOOK_VERSION}.",
            "Make a fresh workbook with 'handover blank' and copy the rows into it.",
        )
    return slips


def version_of(cells: Cells) -> str:
    """The version that the workbook says it is, or nothing."""
    start = cells.sheet(START)
    for number, row in start.rows.items() if start else ():
        for column, cell in row.items():
            if f"{letter(column)}{number}" == VERSION_CELL:
                return cell.text.strip()
    return ""


def remarks_on_tabs(cells: Cells) -> list[Finding]:
    """Notes on what was not read: damaged parts nobody needs, unknown sheets with data, hidden sheets of ours."""
    findings = [
        _note("file_is_whole", "", f"A part of the file that is not used is damaged: {part}.", "Save the file afresh.")
        for part in cells.damaged
    ]
    for each in cells.sheets:
        if each.title not in OURS and each.rows:
            message = f"The sheet '{visible(each.title)}' is not known; it is not read."
            findings.append(_note("sheet_is_used", each.title, message, "Move what matters onto a sheet of ours."))
        elif each.title in BY_TITLE and each.hidden and filled_rows(each):
            findings.append(_hidden("sheet", each, ""))
    return findings


def hidden_parts(cells: SheetCells, rows: FilledRows, needed: dict[int, str]) -> list[Finding]:
    """Notes on hidden columns with a needed field, and on hidden rows with data; their values are used."""
    columns = {column for _, row in rows for column in row}
    findings = [
        _hidden(f"column '{heading}'", cells, f"{letter(number)}1")
        for number, heading in needed.items()
        if number in columns and any(first <= number <= last for first, last in cells.hidden_columns)
    ]
    hidden = [number for number, _ in rows if number in cells.hidden_rows]
    if hidden:
        findings.append(_hidden(f"rows {hidden[0]} to {hidden[-1]}", cells, f"A{hidden[0]}"))
    return findings


def _hidden(what: str, cells: SheetCells, cell: str) -> Finding:
    """A note on something used although nobody sees it."""
    message = f"Hidden, but used: {what} of the sheet '{cells.title}'."
    return _note("data_are_visible", cells.title, message, "Show it and compare with the site sheet.", cell)


def _note(rule: str, sheet: str, message: str, remedy: str, cell: str = "") -> Finding:
    """A note on the workbook as a whole."""
    return Finding(
        rule=rule,
        verdict=Verdict.NOTE,
        job="",
        subject=sheet or "Workbook",
        message=message,
        places=(Place(sheet, cell),) if sheet else (),
        expected="a plain workbook",
        remedy=remedy,
        scope=Scope.CELL,
    )
