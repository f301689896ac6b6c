"""Rows that stand twice: told once as such, and every other rule judges the first of them alone."""

from collections import defaultdict

from pipeline.facts.job import Job
from pipeline.facts.row import Row

# the parts of a job in which one key names one row; a photo that stands twice is asked about at its cells
PARTS = ("boards", "circuits", "readings", "points", "schemes", "electrodes", "remarks")


def twins_of(job: Job) -> list[list[Row]]:
    """The rows of each key that several rows have."""
    by_key: dict[tuple[type[Row], tuple[str, ...]], list[Row]] = defaultdict(list)
    for name in PARTS:
        for row in getattr(job, name):
            by_key[type(row), row.key()].append(row)
    return [rows for rows in by_key.values() if len(rows) > 1]


def without_twins(job: Job) -> Job:
    """The job with one row for each key; the job itself where no row stands twice."""
    more = {id(row) for rows in twins_of(job) for row in rows[1:]}
    if not more:
        return job
    return job.model_copy(
        update={name: tuple(row for row in getattr(job, name) if id(row) not in more) for name in PARTS}
    )
