"""What a run says at its end: the summary, the balance of rows, and the corrections by sheet and cell."""

from collections import Counter
from collections.abc import Iterable, Sequence

from pipeline.facts.findings import Finding, Verdict, by_gravity, holds
from pipeline.run import Report
from pipeline.stages.decide import Decision, Status

# verdicts that a person may have to act on; passes and 'not applicable' stand on the record only
TOLD = (Verdict.FAIL, Verdict.QUERY, Verdict.NOT_ASSESSED, Verdict.NOTE)
NEXT_STEP = {
    Status.AWAITING: "print, sign in ink, send the pack",
    Status.UNCHANGED: "nothing: the pack stands",
    Status.PLANNED: "visit the site",
    Status.TO_MAKE: "build",
    Status.HELD: "correct the cells listed below",
    Status.FAILED: "see below, then run the same command again",
}


def holding(decision: Decision) -> list[Finding]:
    """The findings that hold a job, gravest first; what another finding at the same cell explains is left out."""
    found = by_gravity([each for each in decision.judged.findings if holds(each)])
    explained = {place for each in found if each.verdict is not Verdict.NOT_ASSESSED for place in each.places}
    return [
        each for each in found if each.verdict is not Verdict.NOT_ASSESSED or not explained.intersection(each.places)
    ]


def summary_rows(report: Report) -> list[tuple[str, str, str, str]]:
    """One line a job: reference, outcome, pack, what to do next."""
    return [(each.reference, _outcome(each), each.number, NEXT_STEP[each.status]) for each in report.decisions]


def _outcome(decision: Decision) -> str:
    """The status in words, with what holds a held job."""
    if decision.status is not Status.HELD:
        return str(decision.status)
    counts = Counter(each.verdict for each in holding(decision))
    return "held: " + ", ".join(f"{count} × {verdict}" for verdict, count in sorted(counts.items()))


def totals(report: Report) -> str:
    """The count of jobs by outcome, in one line."""
    counts = Counter(each.status for each in report.decisions)
    return f"{len(report.decisions)} jobs: " + ", ".join(f"{counts[each]} {each}" for each in Status if counts[each])


def balance_lines(report: Report) -> list[str]:
    """Per sheet: filled rows and what became of them; rows that belong to no job are told as such."""
    status = {each.reference: str(each.status) for each in report.decisions}
    lines = []
    for sheet in report.week.balance:
        counts: Counter[str] = Counter()
        for job, rows in sheet.of_jobs.items():
            counts[status.get(job, "not asked for") if job else "of no job"] += rows
        if not sheet.of_jobs:
            counts.update({"used": sheet.used, "not used": sheet.not_used})
        parts = ", ".join(f"{count} {name}" for name, count in counts.items() if count)
        lines.append(f"{sheet.sheet}: {sheet.filled} filled = {parts or '0'}")
    return lines


def corrections(report: Report) -> str:
    """The whole list of what to fix, as a text for the outputs folder: safety first, then job by job."""
    held = [each for each in report.decisions if each.status is Status.HELD]
    lines = [f"Corrections for {report.week.source}, {report.week.as_of:%d %b %Y}", ""]
    if not held and not report.of_workbook:
        lines.append("Nothing to correct.")
    for finding in by_gravity([each for each in report.of_workbook if each.verdict in TOLD]):
        lines += _paragraph(finding)
    for each in held:
        lines += ["", _title(each), "-" * len(_title(each))]
        for finding in holding(each):
            lines += _paragraph(finding)
    lines += _noted(report.decisions)
    return "\n".join(lines) + "\n"


def _title(decision: Decision) -> str:
    """The heading of a held job."""
    return f"Job {decision.reference or '(no reference)'} · {_outcome(decision)}"


def _paragraph(finding: Finding) -> list[str]:
    """One finding as people read it: where, what, what was expected, how to mend it, why."""
    where = ", ".join(map(str, finding.places)) or finding.subject
    lines = ["", f"{str(finding.verdict).upper()}  {where}", f"  {finding.message}"]
    if finding.found or finding.expected:
        lines.append(f"  Found: {finding.found or 'nothing'}. Expected: {finding.expected or 'see above'}.")
    if finding.remedy:
        lines.append(f"  To mend: {finding.remedy}")
    if finding.reference:
        lines.append(f"  Why: {finding.reference}")
    return lines


def _noted(decisions: Iterable[Decision]) -> list[str]:
    """Notes on jobs that go on all the same, one line each; those about cells only, the rest is on the record."""
    lines: list[str] = []
    for each in decisions:
        notes = [n for n in each.judged.findings if n.verdict is Verdict.NOTE and n.scope == "cell"]
        if notes and each.status is not Status.HELD:
            lines += ["", f"Job {each.reference} · {each.status}, with notes"]
            lines += [f"  {', '.join(map(str, note.places))}: {note.message}" for note in notes]
    return ["", "Noted, nothing to do:", *lines] if lines else []


def troubles(decisions: Sequence[Decision]) -> list[str]:
    """What failed on this machine, job by job."""
    return [f"{each.reference} ({each.number}): {each.trouble}" for each in decisions if each.status is Status.FAILED]
