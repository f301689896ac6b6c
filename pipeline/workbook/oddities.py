"""What is odd about a sheet as a whole: merged cells, comments, gaps, twins, a sign lost behind many readings."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from itertools import pairwise, product

from pipeline.facts.field import Field, Mark, Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.quantities import magnitude
from pipeline.facts.reading import Reading
from pipeline.facts.row import Row
from pipeline.facts.sheets import BY_ROW, FIRST_ROW
from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.columns import letter
from pipeline.workbook.merged import Merged, merged_of
from pipeline.workbook.parse_date import Order, order_of
from pipeline.workbook.parsed import same, visible
from pipeline.workbook.typist import Tab, TypedRow, subject_of

ADDRESS = re.compile(r"([A-Z]+)(\d+)")
GAP = 100
"""Blank rows between data from which on somebody may think that the sheet ends there."""
# sheets whose twins no rule on jobs can see, because a job takes one row or any row of that name
ONE_ROW = {
    "People": 1, "Instruments": 1, "Models": 1, "Accuracies": 2, "Fixings": 2, "Indicators": 2,
    "Jobs": 1, "Supplies": 1, "Inspections": 1, "Other sources": 2,
}  # fmt: skip
# what insulation testers show at the end of their ranges: common practice
RANGE_ENDS = frozenset({999.0, 1000.0, 1999.0, 2000.0, 9999.0, 10000.0})
CERTIFICATE_NUMBER = re.compile(r"\bcert(?:ificate)?\.?\s*(?:no\b|nr\b|num|ref)", re.IGNORECASE)


def order_in(cells: Iterable[tuple[Cell, Field]]) -> Order:
    """Which orders of day and month the text dates of a file prove, and whether any leaves it open."""
    orders = [order for cell, _ in cells if cell.content is Content.TEXT and (order := order_of(cell.text))]
    return Order(*(any(kind) for kind in zip(*orders, strict=True))) if orders else Order.none()


def oddities_of(tab: Tab, typed: list[TypedRow]) -> list[Finding]:
    """All that is odd about one sheet as a whole."""
    found = [*_merged(tab, typed), *_commented(tab, typed), *_gaps(tab), *_twins(tab, typed)]
    return [*found, *_typed_numbers(tab, typed), *_lost_signs(tab, typed)]


def _of_tab(tab: Tab, rule: str, verdict: Verdict, message: str, remedy: str, **more: object) -> Finding:
    """A finding on a sheet."""
    given: dict[str, object] = {"job": "", "subject": tab.sheet.title, "places": (), **more}
    return Finding(rule=rule, verdict=verdict, message=message, remedy=remedy, scope=Scope.CELL, **given)  # type: ignore[arg-type]


def _merged(tab: Tab, typed: list[TypedRow]) -> Iterator[Finding]:
    """Merged cells hold one value where several rows need one each."""
    jobs = {each.number: each for each in typed}
    for merged in merged_of(tab.cells.merged):
        rows = [each for number, each in jobs.items() if merged.first_row <= number <= merged.last_row]
        for job in (sorted({each.job or "" for each in rows} - {""}) or [""]) if merged.last_row >= FIRST_ROW else ():
            first = Place(tab.sheet.title, f"{letter(merged.first_column)}{merged.first_row}")
            beneath = [place for each in rows for place in _beneath(tab, merged, each)]
            yield _of_tab(
                tab,
                "cells_are_not_merged",
                Verdict.FAIL,
                f"The cells {merged.shown} of the sheet '{tab.sheet.title}' are merged; only the first holds a value.",
                "Unmerge them and type the value in each row.",
                job=job,
                places=(first, *beneath) if job else (first,),
                expected="one value in each cell",
            )


def _beneath(tab: Tab, merged: Merged, each: TypedRow) -> Iterator[Place]:
    """The cells of a row that lie beneath merged cells."""
    for column in tab.columns.fields.values():
        if merged.hides(each.number, column):
            yield Place(tab.sheet.title, f"{letter(column)}{each.number}")


def _commented(tab: Tab, typed: list[TypedRow]) -> Iterator[Finding]:
    """A comment on a filled cell: what it means, only a person can say."""
    rows = {each.number: each for each in typed}
    for address, words in sorted(tab.cells.comments.items()):
        match = ADDRESS.fullmatch(address)
        row = rows.get(int(match[2])) if match else None
        if row is None:
            continue
        yield _of_tab(
            tab,
            "cell_carries_no_comment",
            Verdict.QUERY,
            f"The cell {address} carries a comment: '{visible(words)}'.",
            "Settle what it means, then delete the comment.",
            job=row.job or "",
            subject=subject_of(tab.sheet, row.row, row.number),
            places=(Place(tab.sheet.title, address),),
            expected="no comment",
        )


def _gaps(tab: Tab) -> Iterator[Finding]:
    """A long stretch of blank rows with data after it; all of them are read."""
    numbers = [number for number, _ in tab.rows]
    for before, after in pairwise(numbers):
        if after - before > GAP:
            yield _of_tab(
                tab,
                "rows_follow_each_other",
                Verdict.NOTE,
                f"Rows {before + 1} to {after - 1} of the sheet '{tab.sheet.title}' are blank; all after are read.",
                "Delete the blank rows if nothing belongs there.",
                places=(Place(tab.sheet.title, f"A{after}"),),
                expected="rows that follow each other",
            )


def _twins(tab: Tab, typed: list[TypedRow]) -> Iterator[Finding]:
    """Rows with the same names; of a second firm, of photos, and of sheets with one row for one name."""
    title = BY_ROW[tab.sheet.row].title
    if title == "Firm":
        groups = [[each for each in typed if each.row.typed]]
    elif title in ONE_ROW or title == "Photos":
        by_key: dict[tuple[str, ...], list[TypedRow]] = defaultdict(list)
        for each in typed:
            if each.row.key()[: ONE_ROW.get(title, 2)].count("") == 0:
                by_key[tuple(map(same, each.row.key()))].append(each)
        groups = list(by_key.values())
    else:
        return
    for group in groups:
        if len(group) > 1:
            yield from _told_twins(tab, group)


def _told_twins(tab: Tab, group: list[TypedRow]) -> Iterator[Finding]:
    """One finding for each job that the twins belong to."""
    numbers = ", ".join(str(each.number) for each in group)
    alike = len({tuple(sorted(each.row.typed.items())) for each in group}) == 1
    what = "are the same" if alike else "have the same name, and different values"
    for job in sorted({_job_of(each) for each in group}):
        yield _of_tab(
            tab,
            "row_is_there_once",
            Verdict.QUERY if tab.sheet.title == "Photos" else Verdict.FAIL,
            f"Rows {numbers} of the sheet '{tab.sheet.title}' {what}.",
            "Delete the copy, or mend the name that tells them apart.",
            job=job,
            subject=subject_of(tab.sheet, group[0].row, group[0].number),
            places=tuple(place for each in group for place in _key_places(each.row)),
            expected="one row for one name",
        )


def _job_of(each: TypedRow) -> str:
    """The job of a row, empty for none; the rows of the sheet Jobs are their own."""
    return each.job or str(getattr(each.row, "job", None) or "")


def _key_places(row: Row) -> tuple[Place, ...]:
    """The cell that should tell a row from its twin: the last of its names."""
    return row.where(*[name for name, each in row.fields().items() if each.key][-1:])


def _typed_numbers(tab: Tab, typed: list[TypedRow]) -> Iterator[Finding]:
    """A certificate number typed in a column of the user's own: the register alone gives numbers."""
    jobs = {each.number: each for each in typed}
    for column, heading in tab.columns.unknown.items():
        if not CERTIFICATE_NUMBER.search(heading):
            continue
        for number, cells in tab.rows:
            if column in cells and number in jobs:
                yield _of_tab(
                    tab,
                    "numbers_come_from_the_register",
                    Verdict.FAIL,
                    f"A certificate number is typed in the column '{visible(heading)}'.",
                    "Clear the cell: the register gives the number when the pack is made.",
                    job=_job_of(jobs[number]),
                    subject=subject_of(tab.sheet, jobs[number].row, number),
                    places=(Place(tab.sheet.title, f"{letter(column)}{number}"),),
                    found=visible(cells[column].text),
                    expected="no typed number",
                )


def _lost_signs(tab: Tab, typed: list[TypedRow]) -> Iterator[Finding]:
    """The end of an instrument's range, typed again and again without its sign."""
    for job, found in _range_ends(tab, typed).items():
        if len(found) > 1:
            yield _of_tab(
                tab,
                "reading_kept_its_sign",
                Verdict.QUERY,
                f"{len(found)} insulation readings are exactly the end of an instrument's range, without a sign.",
                "If the instrument showed '>', type it: >999.",
                job=job,
                places=tuple(each.row.at[name] for each, name in found),
                found=", ".join(sorted({each.row.typed[name] for each, name in found})),
                expected="a figure that was measured, or one with its sign",
            )


def _range_ends(tab: Tab, typed: list[TypedRow]) -> dict[str, list[tuple[TypedRow, str]]]:
    """The plain figures of each job at which the range of an insulation tester ends."""
    ends: dict[str, list[tuple[TypedRow, str]]] = defaultdict(list)
    names = [name for name, each in tab.sheet.row.fields().items() if each.unit == "MΩ" and Mark.ABOVE in each.allows]
    for each, name in product(typed, names):
        value = getattr(each.row, name)
        plain = isinstance(value, Reading) and value.mark is None and value.quantity is not None
        if each.job and plain and magnitude(value.quantity, "MΩ") in RANGE_ENDS:
            ends[each.job].append((each, name))
    return ends
