"""Rules on the week as a whole: readings that were copied, one job twice, one instrument or tester in many places.

What they find stays with the office: it names other jobs, so it never enters a pack.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from itertools import combinations

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.reading import Reading
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.outcomes import name_of

PRACTICE = "common practice"
# so many rows that share their readings are improbable, where lengths differ by more than this share
ALIKE = ((("r1_r2", "zs", "rcd_time"), 3), (("zs",), 5), (("r1_r2",), 5))
LENGTHS_APART = 0.15
# so many equal figures in two jobs are no chance: asked about, and beyond doubt
BLOCK_ALIKE, BLOCK_COPIED = 4, 12
# a row with fewer figures may be equal to another by chance
ROW_ALIKE = 3
SITES_A_DAY = 3
# readings of which equal values say something; '>999' and times of nought do not
TELLING = ("r1_r2", "zs", "rcd_time", "rcd_time_180")

# last digits fall evenly; half of so many being 0 or 5 was hardly read off a display
DIGITS_LEAST, ROUND_SHARE = 30, 0.5

Signature = tuple[str, ...]
Texts = tuple[str, str, str, str]


def _finding(rule: str, verdict: Verdict, job: Job, texts: Texts, places: Iterable[Place]) -> Finding:
    """A finding of week scope; `texts` are message, found, expected and remedy."""
    message, found, expected, remedy = texts
    return Finding(
        rule=rule,
        verdict=verdict,
        job=job.reference,
        subject="Week",
        message=message,
        places=tuple(places),
        found=found,
        expected=expected,
        remedy=remedy,
        reference=PRACTICE,
        scope=Scope.WEEK,
    )


def _figures(row: CircuitReadings, attributes: tuple[str, ...]) -> tuple[str, ...]:
    """The plain figures of a row; values beyond a range and reasons are left out."""
    values = ((each, getattr(row, each)) for each in attributes)
    return tuple(
        f"{name} {row.shown(name)}"
        for name, value in values
        if isinstance(value, Reading) and value.measured and value.mark is None
    )


Tested = list[tuple[Circuit, CircuitReadings]]


def _alike(job: Job, attributes: tuple[str, ...], least: int) -> Iterator[tuple[Signature, Tested]]:
    """Groups of circuits of different lengths with the same figures in all these readings."""
    groups: dict[Signature, Tested] = defaultdict(list)
    for circuit in job.circuits:
        row = job.latest(circuit)
        signature = _figures(row, attributes) if row else ()
        if row and len(signature) == len(attributes):
            groups[signature].append((circuit, row))
    for signature, rows in groups.items():
        lengths = [magnitude(each.length, "m") for each, _ in rows if each.length is not None]
        apart = bool(lengths) and max(lengths) - min(lengths) > LENGTHS_APART * max(lengths)
        if len(rows) >= least and apart:
            yield signature, rows


def readings_are_not_copied_down(jobs: Iterable[Job]) -> Iterator[Finding]:
    """Three circuits of different lengths do not share R1+R2, Zs and RCD time, nor five one of the first two."""
    for job in jobs:
        told: set[str | None] = set()
        for attributes, least in ALIKE:
            for signature, rows in _alike(job, attributes, least):
                if {each.circuit for each, _ in rows} <= told:
                    continue
                told |= {each.circuit for each, _ in rows}
                yield _finding(
                    "readings_are_not_copied_down",
                    Verdict.QUERY,
                    job,
                    (
                        f"{len(rows)} circuits of different lengths share their readings.",
                        f"{', '.join(signature)} on {', '.join(name_of(each) for each, _ in rows)}",
                        "readings that differ as the lengths do",
                        "Compare the rows with the site sheet; measure again what was copied.",
                    ),
                    (place for _, row in rows for place in row.where(*attributes)),
                )


def blocks_are_not_copied_between_jobs(jobs: Iterable[Job]) -> Iterator[Finding]:
    """No job has the readings of another one, nor whole rows of them."""
    for (one, other), equal in _shared(jobs):
        if equal < BLOCK_ALIKE:
            continue
        verdict = Verdict.FAIL if equal >= BLOCK_COPIED else Verdict.QUERY
        for job, elsewhere in ((one, other), (other, one)):
            yield _finding(
                "blocks_are_not_copied_between_jobs",
                verdict,
                job,
                (
                    f"Rows of readings are those of job {elsewhere.reference}.",
                    f"{equal} equal figures",
                    "readings of this job",
                    "Compare with both site sheets; enter this job's own readings.",
                ),
                (place for row in job.readings for place in row.where("zs")),
            )


def _shared(jobs: Iterable[Job]) -> Iterator[tuple[tuple[Job, Job], int]]:
    """Pairs of jobs with rows that are alike in every figure, and how many figures these rows have together."""
    rows: dict[Signature, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    listed = list(jobs)
    for number, job in enumerate(listed):
        for row in job.readings:
            signature = _figures(row, TELLING)
            if len(signature) >= ROW_ALIKE:
                rows[signature][number] += 1
    equal: dict[tuple[int, int], int] = defaultdict(int)
    for signature, counts in rows.items():
        for one, other in combinations(counts, 2):
            equal[one, other] += len(signature) * min(counts[one], counts[other])
    yield from (((listed[one], listed[other]), figures) for (one, other), figures in equal.items())


def _each_with_the_others(alike: list[Job]) -> Iterator[tuple[Job, str]]:
    """Each of several jobs with the references of the others; nothing of a job alone."""
    for job in alike if len(alike) > 1 else ():
        yield job, ", ".join(each.reference for each in alike if each is not job)


def jobs_are_entered_once(jobs: Iterable[Job]) -> Iterator[Finding]:
    """Two jobs at one site on one day are one job split, or one entered twice."""
    at: dict[tuple[str, object], list[Job]] = defaultdict(list)
    for job in jobs:
        if job.row.site and job.row.live_tested:
            at[" ".join(job.row.site.lower().split()), job.row.live_tested].append(job)
    for alike in at.values():
        for job, others in _each_with_the_others(alike):
            yield _finding(
                "jobs_are_entered_once",
                Verdict.QUERY,
                job,
                (
                    f"Job {others} is at the same site on the same day.",
                    f"{job.row.site}, {job.row.shown('live_tested')}",
                    "one job for one site and day",
                    "Put both into one job, or have it accepted that they are two.",
                ),
                job.row.where("site", "live_tested"),
            )


def mail_goes_to_its_own_client(jobs: Iterable[Job]) -> Iterator[Finding]:
    """A mail address that two clients share: one pack would go to the other's door."""
    by_address: dict[str, list[Job]] = defaultdict(list)
    for job in jobs:
        if job.row.client_email and job.row.client:
            by_address[job.row.client_email.casefold()].append(job)
    for alike in by_address.values():
        for job in alike:
            others = [each for each in alike if _named(each) != _named(job)]
            if others:
                yield _finding(
                    "mail_goes_to_its_own_client",
                    Verdict.QUERY,
                    job,
                    (
                        "The client's e-mail is that of another client, too.",
                        f"{job.row.client_email}, also of {', '.join(each.reference for each in others)}",
                        "each client's own address",
                        "Mend the address or the client's name; or have it accepted that both read this mail.",
                    ),
                    job.row.where("client_email", "client"),
                )


def _named(job: Job) -> str:
    """The client of a job, however the name is spaced and capitalised."""
    return " ".join((job.row.client or "").casefold().split())


def instruments_are_in_one_place(jobs: Iterable[Job]) -> Iterator[Finding]:
    """One instrument in two testers' hands at two sites on one day."""
    used: dict[tuple[str, object], dict[str, Job]] = defaultdict(dict)
    for job in jobs:
        for name in {row.instrument for row in job.readings if row.instrument}:
            if job.row.live_tested and job.row.tester:
                used[name, job.row.live_tested].setdefault(job.row.tester, job)
    for (name, _), by_tester in used.items():
        for one, other in combinations(by_tester.items(), 2):
            for (tester, job), (colleague, elsewhere) in ((one, other), (other, one)):
                yield _finding(
                    "instruments_are_in_one_place",
                    Verdict.NOTE,
                    job,
                    (
                        f"Instrument {name} was used by two testers on one day.",
                        f"{tester} here, {colleague} on job {elsewhere.reference}",
                        "one tester a day for one instrument",
                        "Mend the instrument or the date, if one of them is wrong.",
                    ),
                    job.row.where("tester", "live_tested"),
                )


def testers_are_in_few_places(jobs: Iterable[Job]) -> Iterator[Finding]:
    """Two sites a day are a normal day, three are told."""
    days: dict[tuple[str, object], list[Job]] = defaultdict(list)
    for job in jobs:
        if job.row.tester and job.row.live_tested:
            days[job.row.tester, job.row.live_tested].append(job)
    for (tester, _), busy in days.items():
        for job in busy if len({each.row.site for each in busy}) >= SITES_A_DAY else ():
            yield _finding(
                "testers_are_in_few_places",
                Verdict.NOTE,
                job,
                (
                    f"{tester} tested at {len(busy)} sites on one day.",
                    ", ".join(each.reference for each in busy),
                    "at most two sites a day",
                    "Mend the date, if one is wrong.",
                ),
                job.row.where("tester", "live_tested"),
            )


def _last_digits(job: Job) -> Iterator[str]:
    """The last digit of each reading that an instrument shows to its last place."""
    for row in job.readings:
        values = ((name, getattr(row, name)) for name in TELLING)
        yield from (row.shown(name)[-1] for name, each in values if each and each.measured and each.mark is None)


def last_digits_fall_evenly(jobs: Iterable[Job]) -> Iterator[Finding]:
    """A hint for each tester's week: readings that mostly end in 0 or 5 were rounded, or made up."""
    by_tester: dict[str, list[Job]] = defaultdict(list)
    for job in jobs:
        by_tester[job.row.tester or ""].append(job)
    for tester, own in by_tester.items():
        digits = [digit for job in own for digit in _last_digits(job)]
        rounded = sum(digit in "05" for digit in digits)
        if len(digits) < DIGITS_LEAST or rounded < ROUND_SHARE * len(digits):
            continue
        for job in own:
            yield _finding(
                "last_digits_fall_evenly",
                Verdict.NOTE,
                job,
                (
                    f"Many readings of {tester or 'one tester'} end in 0 or 5.",
                    f"{rounded} of {len(digits)} readings of the week",
                    "about a fifth of them",
                    "Ask the tester to enter what the display shows, to its last place.",
                ),
                (place for row in job.readings for place in row.where("zs")),
            )


def check_week(jobs: list[Job]) -> list[Finding]:
    """All findings on the week as a whole, each with the job it concerns; jobs still to visit have no readings."""
    tested = [each for each in jobs if each.tested]
    rules = (
        readings_are_not_copied_down,
        blocks_are_not_copied_between_jobs,
        jobs_are_entered_once,
        mail_goes_to_its_own_client,
        instruments_are_in_one_place,
        testers_are_in_few_places,
        last_digits_fall_evenly,
    )
    return [finding for each in rules for finding in each(tested)]
