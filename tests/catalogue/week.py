"""The week that the catalogue spoils: sound jobs of the demo, and what a change adds to what is found in them."""

import io
from collections import Counter
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from pipeline.demo.spoil import keep_jobs
from pipeline.demo.week import TODAY, demo_rows
from pipeline.facts.findings import Verdict
from pipeline.facts.sheets import BY_TITLE, FIRST_ROW, Belongs
from pipeline.stages.check import check
from pipeline.stages.decide import Status, decide_all
from pipeline.stages.validate import type_week
from pipeline.telling import holding
from pipeline.workbook.cells import from_plain
from pipeline.workbook.child import open_workbook
from pipeline.workbook.columns import filled_rows, letter
from pipeline.workbook.write import write_workbook
from tests.catalogue.surgery import Surgery

JOBS = ("LN-101", "LN-103", "LN-105", "LN-106", "LN-109")
LAST = JOBS[-1]


@cache
def base_rows():
    """The rows of the sound jobs."""
    return keep_jobs(demo_rows(), *JOBS)


@cache
def folder():
    """A folder with the workbook of the sound jobs and a small picture for each of their photos."""
    from PIL import Image

    made = Path(mkdtemp(prefix="catalogue-"))
    (made / "photos").mkdir()
    for number, row in enumerate(base_rows()["Photos"]):
        stream = io.BytesIO()
        Image.new("RGB", (48, 36), (12 * number % 250, 90, 255 - 9 * number)).save(stream, "JPEG")
        (made / "photos" / row["file"]).write_bytes(stream.getvalue())
    write_workbook(made / "week.xlsx", base_rows())
    return made


@cache
def base_content():
    """The bytes of the sound workbook."""
    return (folder() / "week.xlsx").read_bytes()


@dataclass(frozen=True)
class Judgement:
    """What the office is told of a week, and what becomes of its jobs."""

    told: Counter
    status: dict


def judged(content, photos=None, today=TODAY):
    """Read, type, check and decide in this process; what another finding at the same cell explains is left out."""
    cells = from_plain(open_workbook(content), "week.xlsx", "0" * 64)
    week = type_week(cells, today, photos or folder() / "photos")
    nothing_is_dropped(cells, week)
    decisions = decide_all(check(week), None, {})
    of_jobs = {each.reference for each in decisions}
    told = [each for each in week.findings if each.job not in of_jobs]
    for each in decisions:
        notes = [finding for finding in each.judged.findings if finding.verdict is Verdict.NOTE]
        told += [finding for finding in (*holding(each), *notes) if finding not in told]
    places = Counter((first_place(each), each.rule, str(each.verdict), each.job) for each in told)
    return Judgement(places, {each.reference: each.status for each in decisions})


def nothing_is_dropped(cells, week):
    """Every filled row of every sheet is a job's, used, or counted as not used; rows of no job are told."""
    for each in week.balance:
        sheet = cells.sheet(each.sheet)
        assert each.filled == len(filled_rows(sheet)) == each.used + each.not_used
        if BY_TITLE[each.sheet].belongs is Belongs.JOB:
            lost = each.filled - sum(each.of_jobs.values())
            assert not lost or any(place.sheet == each.sheet for told in week.findings for place in told.places)


def first_place(finding):
    """The cell that the office is sent to; what the sheet Defaults filled in is named behind it."""
    typed = [each for each in finding.places if each.sheet != "Defaults"]
    return str((typed or [*finding.places, ""])[0])


@cache
def base():
    """What is found in the sound week."""
    return judged(base_content())


def added(content, **more):
    """What a change adds, sorted, and the jobs that are not made; what only moved to another cell is not new."""
    after = judged(content, **more)
    gone = Counter(each[1:] for each in (base().told - after.told).elements())
    news = []
    for each in sorted((after.told - base().told).elements()):
        if each[1:3] in routine():
            continue
        if gone[each[1:]] > 0:
            gone[each[1:]] -= 1
        else:
            news.append(each[:3])
    return news, sorted(job for job, status in after.status.items() if status is not Status.TO_MAKE)


@cache
def routine():
    """Rules whose notes the sound week has too: they say how sure a table is, and nothing of what was typed."""
    return {(rule, verdict) for _, rule, verdict, _ in base().told}


def row_numbers(sheet, job=None, **cells):
    """The numbers of a sheet's rows that belong to a job and have these cells."""
    return [
        number
        for number, row in enumerate(base_rows().get(sheet, []), start=FIRST_ROW)
        if job in (None, row.get("job")) and all(row.get(name) == value for name, value in cells.items())
    ]


def opened():
    """The sound workbook on the table."""
    return Surgery(base_content())


def at(sheet, attribute, number):
    """The address of a field in a row."""
    column = list(BY_TITLE[sheet].row.fields()).index(attribute) + 1
    return f"{letter(column)}{number}"
