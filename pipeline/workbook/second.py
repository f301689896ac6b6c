"""A second workbook that holds what changes rarely: firm, people, instruments, models."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from pipeline.errors import WorkbookRefusedError
from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.sheets import BY_TITLE, FIRM_FILE_CELL, SHARED, SHEETS, START, Sheet
from pipeline.workbook.cells import Cells
from pipeline.workbook.columns import columns_of, filled_rows, letter
from pipeline.workbook.notices import BLANK, Notice
from pipeline.workbook.parsed import same, stripped, visible
from pipeline.workbook.tabs import missing_tabs
from pipeline.workbook.typist import Tab, TypedRow

ENDING = ".xlsx"


class Joined(NamedTuple):
    """The rows of one sheet out of both workbooks.

    `rows` is what jobs refer to, `second` the second workbook's share of it, `added` those of them that only it has;
    `filled` are cells that are blank in one workbook and filled in the other.
    """

    rows: list[TypedRow]
    second: list[TypedRow]
    added: list[TypedRow]
    findings: list[Finding]
    filled: frozenset[Place]


def named_file(cells: Cells) -> str:
    """The file name of a second workbook that the first sheet gives, or nothing.

    It is looked for beside the workbook and nowhere else; raises WorkbookRefusedError for what is no plain name.
    """
    start = cells.sheet(START)
    for number, row in start.rows.items() if start else ():
        for column, cell in row.items():
            if f"{letter(column)}{number}" == FIRM_FILE_CELL and stripped(cell.text):
                return _plain_name(stripped(cell.text))
    return ""


def _plain_name(name: str) -> str:
    """A file name without any folder in it."""
    if (
        name.lower().endswith(ENDING)
        and name.isprintable()
        and not set(name) & set('/\\:*?"<>|')
        and name[0] not in ".~"
    ):
        return name
    raise WorkbookRefusedError(
        f"'{START}' names another workbook in {FIRM_FILE_CELL}, but '{visible(name)}' is no plain name of one.",
        f"Type the file's name alone, ending in {ENDING}, and keep the file beside this workbook; or clear the cell.",
    )


def second_tabs(cells: Cells) -> tuple[dict[str, Tab], list[Finding]]:
    """The shared sheets of a second workbook, and notes on what in it is not read.

    Raises WorkbookRefusedError, with the file's name, for the same reasons as the week's own workbook.
    """
    try:
        if slips := missing_tabs(cells, SHARED):
            raise WorkbookRefusedError.of_slips(slips)
        tabs = {title: _tab(BY_TITLE[title], cells) for title in SHARED}
    except WorkbookRefusedError as refusal:
        raise WorkbookRefusedError(f"{cells.source}: {refusal.message}", refusal.remedy) from None
    return tabs, list(_unread(cells))


def _tab(sheet: Sheet, cells: Cells) -> Tab:
    """One sheet under a title that says whose it is."""
    found = cells.sheet(sheet.title)
    if found is None:  # refused before
        raise WorkbookRefusedError(f"The sheet '{sheet.title}' is missing.", "Start again from a blank workbook.")
    rows = filled_rows(found)
    columns = columns_of(sheet, found, rows)
    title = f"{sheet.title} in {visible(cells.source)}"
    return Tab(replace(sheet, title=title), replace(found, title=title), rows, columns)


def _unread(cells: Cells) -> Iterator[Finding]:
    """Rows of other sheets in the second workbook."""
    for title in (sheet.title for sheet in SHEETS if sheet.title not in SHARED):
        found = cells.sheet(title)
        if found and (rows := filled_rows(found)):
            shown = f"{title} in {visible(cells.source)}"
            yield Finding(
                rule="sheet_is_used",
                verdict=Verdict.NOTE,
                job="",
                subject=shown,
                message=f"{len(rows)} rows of the sheet '{title}' in {visible(cells.source)} are not read.",
                places=(Place(shown),),
                found=f"{len(rows)} rows",
                expected=f"rows on {', '.join(SHARED)} only",
                remedy="Move what matters into the week's workbook.",
                scope=Scope.CELL,
            )


def join(sheet: Sheet, own: list[TypedRow], other: list[TypedRow]) -> Joined:
    """The rows of both workbooks, one for each name; facts that differ are a finding, a blank takes the other's."""
    by_name: dict[tuple[str, ...], int] = {}
    for index, each in enumerate(own):
        by_name.setdefault(_name(sheet, each), index)
    joined = Joined(list(own), [], [], [], frozenset())
    filled = set[Place]()
    for each in other:
        at = by_name.get(_name(sheet, each))
        if at is None:
            joined.added.append(each)
            joined.second.append(each)
            continue
        mine = joined.rows[at]
        joined.findings.extend(_disagreements(sheet, mine, each))
        whole, places = _completed(mine, each)
        filled |= places
        joined.rows[at] = whole
        joined.second.append(whole)
        if not mine.row.typed:  # the firm's blank row, which only stands for what is missing
            joined.added.append(whole)
            filled |= set(mine.row.at.values())
    known = {id(each) for each in joined.rows}
    joined.rows.extend(each for each in joined.added if id(each) not in known)
    return joined._replace(filled=frozenset(filled))


def own_rows(joined: Joined) -> list[TypedRow]:
    """The rows that stand in the week's own workbook."""
    added = {id(each) for each in joined.added}
    return [each for each in joined.rows if id(each) not in added]


def _name(sheet: Sheet, each: TypedRow) -> tuple[str, ...]:
    """What names a row; the firm needs no name, since there is one."""
    return () if sheet.title == "Firm" else tuple(map(same, each.row.key()))


def _disagreements(sheet: Sheet, own: TypedRow, other: TypedRow) -> Iterator[Finding]:
    """The facts that both workbooks give and give differently."""
    for name, field in sheet.row.fields().items():
        ours, theirs = own.row.typed.get(name, ""), other.row.typed.get(name, "")
        values = getattr(own.row, name), getattr(other.row, name)
        alike = same(ours) == same(theirs) or (values[0] is not None and bool(values[0] == values[1]))
        if ours and theirs and not alike:
            names = " ".join(filter(None, own.row.key()))
            yield Finding(
                rule="workbooks_agree",
                verdict=Verdict.FAIL,
                job="",
                subject=f"{sheet.title} {names}",
                message=f"'{field.heading}' of {names or sheet.title} differs between the two workbooks.",
                places=(*own.row.where(name), *other.row.where(name)),
                found=f"'{visible(ours)}' and '{visible(theirs)}'",
                expected="the same fact in both, or in one of them",
                remedy="Correct the wrong one, or clear the row in the week's workbook.",
                scope=Scope.CELL,
            )


def _completed(own: TypedRow, other: TypedRow) -> tuple[TypedRow, set[Place]]:
    """A row with its blanks filled from its twin, and the cells that are blank in one of the two."""
    missing = [name for name in other.row.typed if name not in own.row.typed]
    lacking = [name for name in own.row.typed if name not in other.row.typed]
    update = {name: getattr(other.row, name) for name in missing}
    update["typed"] = {**own.row.typed, **{name: other.row.typed[name] for name in missing}}
    update["at"] = {**own.row.at, **{name: other.row.at[name] for name in missing}}
    places = {*own.row.where(*missing), *other.row.where(*lacking)}
    return own._replace(row=own.row.model_copy(update=update)), places


def without_filled(notices: list[Notice], filled: frozenset[Place]) -> list[Notice]:
    """The notices that are left once both workbooks are seen together: a blank that the other fills is none."""
    return [each for each in notices if each.remark.rule != BLANK or each.place not in filled]
