"""From remarks on single cells to findings: one cause is told once, however many cells show it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import groupby
from typing import NamedTuple

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope
from pipeline.workbook.columns import letter
from pipeline.workbook.parsed import SITE_SHEET, Remark, same, visible

RUN = 5
"""From so many cells under or beside each other on they are told as one."""
BLANK = "cell_is_filled"
SHIFTED = "row_stands_under_its_headings"
ORPHAN = "row_belongs_to_a_job"
UNLISTED = "reference_is_listed"
ON_NAMES = frozenset({UNLISTED, "key_is_plain"})
"""Rules on names: one name typed in many rows is one cause."""
SAME = " The same in "
NAMED = 8
# where a value of these sheets is found; of all others it is on the site sheet
SOURCES = {
    "Firm": "the firm's own papers",
    "People": "the person's own papers",
    "Instruments": "the instrument and its calibration certificate",
    "Accuracies": "the instrument's own manual",
    "Models": "the maker's instructions",
    "Fixings": "the maker's instructions",
    "Indicators": "the maker's instructions",
    "Defaults": "the firm's usual work",
}


class Spot(NamedTuple):
    """One cell of a sheet; `nth` counts filled rows, so that blank rows between them do not part a run."""

    sheet: str
    row: int
    column: int
    nth: int

    @property
    def place(self) -> Place:
        """The cell in letters."""
        return Place(self.sheet, f"{letter(self.column)}{self.row}")


class Notice(NamedTuple):
    """A remark with its cell, its job (empty for none), what the row is called, and what was typed."""

    spot: Spot
    remark: Remark
    job: str
    subject: str
    typed: str = ""
    heading: str = ""
    place: Place | None = None


def findings_of(notices: Iterable[Notice]) -> list[Finding]:
    """One finding a cell; one a job for a run down a column, and one a row for many blank cells beside each other."""
    single, findings = list[Notice](), list[Finding]()
    by_column: dict[tuple[str, int, str], list[Notice]] = defaultdict(list)
    one_name: dict[tuple[str, ...], list[Notice]] = defaultdict(list)
    for notice in notices:
        if notice.remark.rule == ORPHAN and notice.typed:
            one_name[ORPHAN, same(notice.typed)].append(notice)
        elif notice.remark.rule in ON_NAMES:
            remark = notice.remark
            one_name[notice.job, remark.rule, remark.verdict, remark.expected, notice.typed].append(notice)
        else:
            by_column[notice.spot.sheet, notice.spot.column, notice.remark.rule].append(notice)
    findings.extend(map(_of_one_name, one_name.values()))
    for column in by_column.values():
        for run in _runs(column):
            if len(run) < (2 if run[0].remark.rule == SHIFTED else RUN):
                single.extend(run)
            else:
                findings.extend(_down(run))
    return findings + list(_across(single))


def _of_one_name(rows: list[Notice]) -> Finding:
    """One finding for all rows, on whatever sheets, with the same name that no list has."""
    what = "rows of the workbook" if rows[0].remark.rule == ORPHAN else "cells"
    more = f"{SAME}{len(rows)} {what}." if len(rows) > 1 else ""
    message = f"{rows[0].remark.message}{more}"
    return _finding(rows[0], message, tuple(_place(each) for each in rows), rows[0].subject)


def _runs(notices: list[Notice]) -> Iterator[list[Notice]]:
    """Notices on filled rows that follow each other."""
    ordered = sorted(notices, key=lambda each: each.spot.row)
    # the difference between count and position is the same all along a run
    for _, run in groupby(enumerate(ordered), key=lambda pair: pair[1].spot.nth - pair[0]):
        yield [notice for _, notice in run]


def _down(run: list[Notice]) -> Iterator[Finding]:
    """One finding a job for a run down a column."""
    by_job: dict[str, list[Notice]] = defaultdict(list)
    for notice in run:
        by_job[notice.job].append(notice)
    first, last = run[0].spot.row, run[-1].spot.row
    for job, notices in by_job.items():
        start, end = notices[0].spot.place, notices[-1].spot.place
        together = start.cell if start == end else f"{start.cell}:{end.cell}"
        # whoever uses a row of a reference sheet is found by its single cells
        places = (Place(start.sheet, together),) if job else tuple(_place(each) for each in notices)
        message = f"{notices[0].remark.message} The same in this column from row {first} to row {last}."
        yield _finding(notices[0], message, places, notices[0].spot.sheet)


def _across(notices: list[Notice]) -> Iterator[Finding]:
    """One finding for a row with many blank cells, else one a cell."""
    blank: dict[tuple[str, int], list[Notice]] = defaultdict(list)
    for notice in notices:
        if notice.remark.rule == BLANK:
            blank[notice.spot.sheet, notice.spot.row].append(notice)
        else:
            yield _finding(notice, notice.remark.message, (_place(notice),), notice.subject)
    for row in blank.values():
        if len(row) < RUN:
            yield from (_finding(each, each.remark.message, (_place(each),), each.subject) for each in row)
        else:
            names = [each.heading for each in row]
            more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
            message = f"{len(row)} cells of this row are blank: {', '.join(names[:NAMED])}{more}."
            places = tuple(_place(each) for each in row)
            whole = _finding(row[0], message, places, row[0].subject)
            yield replace(whole, found=f"{len(row)} blank cells", expected="a value in each of them")


def _place(notice: Notice) -> Place:
    """Where the value of a cell was typed: in the cell itself, or among the defaults."""
    return notice.place or notice.spot.place


def _finding(notice: Notice, message: str, places: tuple[Place, ...], subject: str) -> Finding:
    """The finding of a notice."""
    return Finding(
        rule=notice.remark.rule,
        verdict=notice.remark.verdict,
        job=notice.job,
        subject=subject,
        message=message,
        places=places,
        found=visible(notice.typed) if notice.typed else "blank",
        expected=notice.remark.expected,
        remedy=notice.remark.remedy.replace(
            SITE_SHEET, SOURCES.get(notice.spot.sheet.partition(" in ")[0], SITE_SHEET)
        ),
        scope=Scope.CELL,
    )
