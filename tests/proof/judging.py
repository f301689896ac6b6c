"""What is said of a drawn job: by its cells, by the rules on the job, by those on the week."""

from proof.generator import Drawn
from proof.typing_in import Sheets, typed_job

from pipeline.facts.findings import Finding, Verdict, holds
from pipeline.rules import check_job, check_week

GRAVE = (Verdict.FAIL, Verdict.QUERY)


def troubles(drawn: Drawn, sheets: Sheets | None = None) -> list[Finding]:
    """What holds a drawn job, or the same job with other values in its sheets."""
    job, of_cells = typed_job(sheets or drawn.sheets, drawn.as_of)
    return [each for each in [*of_cells, *check_job(job, drawn.edition, drawn.as_of)] if holds(each)]


def complaints(drawn: Drawn, sheets: Sheets, *others: Sheets) -> list[Finding]:
    """Fails and queries on a job among the other jobs of its week."""
    job, of_cells = typed_job(sheets, drawn.as_of)
    week = [job, *(typed_job(each, drawn.as_of)[0] for each in others)]
    found = [*of_cells, *check_job(job, drawn.edition, drawn.as_of), *check_week(week)]
    return [each for each in found if each.verdict in GRAVE]
