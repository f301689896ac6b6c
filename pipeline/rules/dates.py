"""The days of a job: in an order that is possible, not yet to come, and not too long ago."""

from calendar import monthrange
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from itertools import pairwise

from pipeline.facts.choices import Charging, Premises
from pipeline.facts.field import Needed
from pipeline.facts.findings import Verdict
from pipeline.facts.row import Row
from pipeline.facts.rows.jobs import JobRow
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, name_of, passed

PRACTICE = "common practice"
# a certificate follows the tests while they are fresh: common practice
MONTHS_TO_ISSUE = 3
# nobody proposes more: common practice
MOST_YEARS = 10
# so many dates in the future at once have one cause
MOVED_TOGETHER = 3
# years to the next inspection by kind of premises: common practice in the United Kingdom, from memory;
# public charging is inspected by risk, one to three years
YEARS: dict[Premises, int] = {
    Premises.DWELLING: 10,
    Premises.RENTED_DWELLING: 5,
    Premises.FLATS: 5,
    Premises.FLATS_CAR_PARK: 5,
    Premises.COMMERCIAL: 5,
    Premises.INDUSTRIAL: 3,
    Premises.FARM: 3,
    Premises.CARAVAN_PARK: 3,
    Premises.MARINA: 1,
    Premises.FILLING_STATION: 1,
    Premises.PUBLIC: 3,
}
PUBLIC_YEARS = 3


def months_after(day: date, months: int) -> date:
    """The same day some months later; where that month is shorter, its last day."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


# one after the other; a chain tells a slip once
CHAINS = (
    ("designed", "dead_tested", "energised", "live_tested"),
    ("designed", "worked"),
)


@rule(title="Dates follow the order of the work", area=Area.DATES, reference="IEC 60364-6, 6.4.3")
def dates_follow_the_order_of_the_work(case: Case) -> Iterator[Outcome]:
    """Design, dead tests, energising, live tests; a survey after the design is odd, the rest impossible."""
    row = case.job.row
    wrong = [
        (early, late, Verdict.FAIL)
        for chain in CHAINS
        for early, late in pairwise(chain)
        if _reversed(row, early, late)
    ]
    wrong = [each for nth, each in enumerate(wrong) if each[0] not in {before[0] for before in wrong[:nth]}]
    if _reversed(row, "surveyed", "designed"):
        wrong.append(("surveyed", "designed", Verdict.QUERY))
    for early, late, verdict in wrong:
        first, second = row.fields()[early].title, row.fields()[late].title
        yield Outcome(
            verdict,
            "Job",
            f"'{first}' lies after '{second}'.",
            row.where(early, late),
            found=f"{first} {row.shown(early)}, {second} {row.shown(late)}",
            expected=f"{first} on or before {second}",
            remedy="Mend the date that is wrong.",
        )
    if not wrong:
        yield passed("Job", "The dates follow the order of the work.", row.where("designed", "live_tested"))


def _reversed(row: JobRow, early: str, late: str) -> bool:
    """Whether two dates that are both there stand in the wrong order."""
    first, second = getattr(row, early), getattr(row, late)
    return first is not None and second is not None and first > second


@rule(title="No date lies in the future", area=Area.DATES, reference=PRACTICE)
def days_are_not_to_come(case: Case) -> Iterator[Outcome]:
    """What was done was done by the day of the check."""
    job = case.job
    done = ["surveyed", "designed", "previous_date", "defects_told"]
    if job.tested:
        done += ["worked", "dead_tested", "energised", "live_tested"]
    cells: list[tuple[Row, str]] = [(job.row, each) for each in done]
    cells.append((job.supply, "ze_date"))
    cells += [(each, "measured_on") for each in job.electrodes] + [(each, "taken") for each in job.photos]
    late = [(row, name) for row, name in cells if (day := getattr(row, name)) is not None and day > case.as_of]
    if len(late) >= MOVED_TOGETHER:
        yield _moved_together(case, late)
    elif late:
        yield from (_to_come(case, row, name) for row, name in late)
    else:
        yield passed("Job", f"No date lies after {case.as_of:%d %b %Y}.")


def _to_come(case: Case, row: Row, name: str) -> Outcome:
    """One date that lies in the future."""
    return Outcome(
        Verdict.FAIL,
        name_of(row),
        f"'{row.fields()[name].title}' lies in the future.",
        row.where(name),
        found=row.shown(name),
        expected=f"{case.as_of:%d %b %Y} or before",
        remedy="Mend the date; look whether day and month, or the year, were swapped.",
    )


def _moved_together(case: Case, late: list[tuple[Row, str]]) -> Outcome:
    """Many dates in the future at once: one cause, told once."""
    first, name = late[0]
    return replace(
        _to_come(case, first, name),
        message=f"{len(late)} dates of this job lie in the future.",
        places=tuple(place for row, each in late for place in row.where(each)),
        found=f"{first.fields()[name].title} {first.shown(name)} and {len(late) - 1} more",
        remedy="Mend the dates. If all have moved by 4 years and a day, Excel counts this workbook's days from 1904: "
        "switch that off in its options, under Advanced.",
    )


@rule(title="The pack is issued soon after the tests", area=Area.DATES, reference=PRACTICE, needed=Needed.TEST)
def packs_are_issued_soon_after_the_tests(case: Case) -> Iterator[Outcome]:
    """More than three months later somebody must say why."""
    row = case.job.row
    if row.live_tested is None:
        yield blank("Job", row, "live_tested")
        return
    last = months_after(row.live_tested, MONTHS_TO_ISSUE)
    if case.as_of <= last:
        yield passed("Job", f"The live tests are at most {MONTHS_TO_ISSUE} months old.", row.where("live_tested"))
    else:
        yield Outcome(
            Verdict.QUERY,
            "Job",
            f"The live tests are more than {MONTHS_TO_ISSUE} months old.",
            row.where("live_tested"),
            found=row.shown("live_tested"),
            expected=f"issue by {last:%d %b %Y}",
            remedy="Have the signatory say why the pack comes late, or test again.",
        )


@rule(
    title="The next inspection is proposed within custom",
    area=Area.DATES,
    reference="IEC 60364-6, 6.5.2; common practice",
    needed=Needed.TEST,
)
def next_inspection_is_within_custom(case: Case) -> Iterator[Outcome]:
    """After the tests, and not later than is usual for the premises; the signatory decides."""
    row = case.job.row
    if row.next_inspection is None or row.live_tested is None or row.premises is None:
        yield blank("Job", row, "next_inspection", "live_tested", "premises")
        return
    years = PUBLIC_YEARS if row.charging is Charging.PUBLIC else YEARS[row.premises]
    usual, latest = (months_after(row.live_tested, 12 * each) for each in (years, MOST_YEARS))
    places = row.where("next_inspection")
    if row.live_tested < row.next_inspection <= usual:
        yield passed("Job", f"Next inspection proposed for {row.shown('next_inspection')}.", places)
        return
    reasoned = row.next_reason is not None and row.live_tested < row.next_inspection <= latest
    yield Outcome(
        Verdict.NOTE if reasoned else Verdict.QUERY,
        "Job",
        "The proposed next inspection is not within what is usual for these premises.",
        places,
        found=f"{row.shown('next_inspection')}{f', because: {row.next_reason}' if row.next_reason else ''}",
        expected=f"after {row.shown('live_tested')} and by {usual:%d %b %Y} ({years} years, {row.shown('premises')})",
        remedy="Mend the date, or give the reason for it.",
    )


@rule(title="One edition fits the design date", area=Area.DATES, reference=PRACTICE)
def design_date_fits_the_edition(case: Case) -> Iterator[Outcome]:
    """The edition that the job is judged by was in force on the day of the design, and is of the job's family."""
    row, edition = case.job.row, case.edition
    if row.designed is None or row.family is None:
        yield blank("Job", row, "designed", "family")
    elif edition.covers(row.designed) and edition.family is row.family:
        yield passed("Job", f"Judged by {edition.title}.", row.where("designed", "family"))
    else:
        yield Outcome(
            Verdict.QUERY,
            "Job",
            "The edition that this job is judged by was not in force on the day of the design.",
            row.where("designed", "family"),
            found=f"designed {row.shown('designed')}, rules '{row.family}'",
            expected=f"{edition.title}, in force from {edition.valid_from:%d %b %Y}",
            remedy="Mend the design date, or judge the whole job by the edition of that day.",
        )
