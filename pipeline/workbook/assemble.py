"""From typed sheets to jobs: each job with every row that it refers to, and the balance of all rows."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from itertools import chain
from typing import Any

from pipeline.facts.job import Job, SheetBalance
from pipeline.facts.row import Row
from pipeline.facts.rows.firm import Firm
from pipeline.facts.rows.inspections import Inspection
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.supply import Supply
from pipeline.facts.sheets import BY_TITLE, Belongs, Sheet
from pipeline.workbook.typist import TypedRow

TypedSheets = Mapping[str, list[TypedRow]]

# a job has one row of these sheets; their types serve where it has none
SINGLE: dict[str, type[Row]] = {"Supplies": Supply, "Inspections": Inspection}
OF_JOB = tuple(title for title, sheet in BY_TITLE.items() if sheet.belongs is Belongs.JOB and sheet.row is not JobRow)
LISTS = ("People", "Instruments", "Models")
# lists whose rows hang on the rows of another list
HANGING = {"Accuracies": "Instruments", "Fixings": "Models", "Indicators": "Models"}


def assemble(sheets: TypedSheets, photo_sums: Mapping[str, str]) -> tuple[Job, ...]:
    """The jobs in the order of their sheet; `photo_sums` gives SHA-256 by file name."""
    own = _by_job(sheets)
    firm = next((each.row for each in sheets["Firm"] if isinstance(each.row, Firm)), Firm())
    lists = {title: _by_name(sheets[title]) for title in (*LISTS, *HANGING)}
    jobs: dict[str, Job] = {}
    for row in (each.row for each in sheets["Jobs"]):
        if isinstance(row, JobRow) and row.job and row.job not in jobs:
            jobs[row.job] = _job(row, firm, own[row.job], lists, photo_sums)
    return tuple(jobs.values())


def _by_job(sheets: TypedSheets) -> dict[str, dict[str, list[Row]]]:
    """The rows of the jobs' sheets by job and sheet."""
    found: dict[str, dict[str, list[Row]]] = defaultdict(lambda: defaultdict(list))
    for title in OF_JOB:
        for each in sheets[title]:
            if each.job is not None:
                found[each.job][title].append(each.row)
    return found


def _by_name(rows: Iterable[TypedRow]) -> dict[str, list[Row]]:
    """The rows of a list by the name in their first column."""
    found: dict[str, list[Row]] = defaultdict(list)
    for each in rows:
        name = getattr(each.row, next(iter(each.row.fields())))
        if name:
            found[name].append(each.row)
    return found


def _job(
    row: JobRow,
    firm: Firm,
    own: Mapping[str, list[Row]],
    lists: Mapping[str, dict[str, list[Row]]],
    photo_sums: Mapping[str, str],
) -> Job:
    """One job, closed over the rows that it names."""
    parts: dict[str, Any] = {BY_TITLE[title].part: tuple(own[title]) for title in OF_JOB}
    for title, kind in SINGLE.items():
        parts[BY_TITLE[title].part] = next(iter(own[title]), kind())
    named = _named([row, *chain(*own.values())])
    for title, listed in lists.items():
        names = named[HANGING.get(title, title)]
        parts[BY_TITLE[title].part] = tuple(each for name in listed if name in names for each in listed[name])
    files = sorted({*(str(photo.file) for photo in parts["photos"]), str(firm.logo)} & photo_sums.keys())
    return Job.model_construct(row=row, firm=firm, photo_sums={name: photo_sums[name] for name in files}, **parts)


def _named(rows: list[Row]) -> dict[str, set[str]]:
    """The names of other sheets' rows that a job's rows hold, by sheet."""
    found: dict[str, set[str]] = defaultdict(set)
    for row in rows:
        for name, field in row.fields().items():
            value = getattr(row, name) if field.refers else None
            if value:
                found[field.refers].add(value)
    return found


def balance_of(sheet: Sheet, typed: Iterable[TypedRow], jobs: tuple[Job, ...], defaults: int = 0) -> SheetBalance:
    """What became of the filled rows of one sheet; `defaults` says how many default rows fill something."""
    # a firm is typed even where its sheet is blank; of all others a row is here because something stands in it
    rows = [each for each in typed if each.row.typed or sheet.row is not Firm]
    of_jobs: dict[str, int] = {}
    if sheet.belongs is Belongs.JOB:
        of_jobs = dict(Counter(each.job for each in rows if each.job is not None))
        used = len(of_jobs) if sheet.title in {"Jobs", *SINGLE} else sum(of_jobs.values())
    elif sheet.belongs is Belongs.OFFICE:
        of_jobs = dict(Counter(getattr(each.row, "job", None) or "" for each in rows))
        used = len(rows)
    elif sheet.title == "Defaults":
        used = defaults
    elif sheet.row is Firm:
        used = min(len(rows), 1)
    else:
        used = _used_by(jobs, sheet.part, rows)
    return SheetBalance(sheet=sheet.title, filled=len(rows), of_jobs=of_jobs, used=used, not_used=len(rows) - used)


def _used_by(jobs: tuple[Job, ...], part: str, rows: list[TypedRow]) -> int:
    """How many of these rows of a list some job uses."""
    parts = (getattr(job, part, ()) for job in jobs)
    used = {id(row) for each in parts if isinstance(each, tuple) for row in each}
    return sum(id(each.row) in used for each in rows)
