"""What a run says at its end: the summary, the balance of rows, and the corrections by sheet and cell."""

from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from pipeline.facts.findings import MEANING, Finding, Verdict
from pipeline.rules.answers import ANSWER, may_be_accepted
from pipeline.run import Report
from pipeline.stages.decide import Decision, Status, is_withdrawn, question_of
from pipeline.telling import accepted, groups, holding, is_dangerous, outcome
from pipeline.unnumbered import row_name
from pipeline.workbook.corrections.cells import where

COMMON = "common practice"
NEXT_STEP = {
    Status.AWAITING: "print, sign in ink, then: handover release",
    Status.ISSUED: "send it to the client",
    Status.UNCHANGED: "nothing, once its pack is signed",
    Status.PLANNED: "visit the site; its sheet: handover sitesheet",
    Status.TO_MAKE: "build",
    Status.HELD: "correct the cells marked in the copy",
    Status.FAILED: "see below, then run the same command again",
}
ACCEPT = "correct the cells, or have the queries accepted on the sheet Answers of the copy"
REVISE = "restore the pack's figures, or ask for a revision on the sheet Answers of the copy"
WITHDRAWN = "correct what led to the withdrawal, or ask for a revision on the sheet Answers of the copy"
WORDS = tuple(f"{verdict.upper()}: {MEANING[verdict]}." for verdict in MEANING)


def next_step(decision: Decision, *, made: bool) -> str:
    """What to do with a job now; a check makes no notice to print."""
    if is_dangerous(decision):
        return "ring the electrician today" + (f"; print held/{row_name(decision)}/do-not-use.pdf" if made else "")
    found = holding(decision)
    if decision.status is Status.HELD and found and all(map(may_be_accepted, found)):
        return ACCEPT
    if decision.status is Status.HELD and question_of(decision):
        return WITHDRAWN if is_withdrawn(decision) else REVISE
    return NEXT_STEP[decision.status]


def summary_rows(report: Report) -> list[tuple[str, str, str, str]]:
    """One line a job: reference, outcome, pack, what to do next."""
    return [
        (each.reference, outcome(each), each.number, next_step(each, made=bool(report.check_value)))
        for each in report.decisions
    ]


def totals(report: Report) -> str:
    """The count of jobs by outcome, in one line."""
    counts = Counter(each.status for each in report.decisions)
    if not counts:
        return "No job is typed in yet."
    return f"{counted(len(report.decisions), 'job')}: " + ", ".join(
        f"{counts[each]} {each}" for each in Status if counts[each]
    )


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
        counts["not used: they name no job of the week"] = sheet.filled - sum(counts.values())
        parts = ", ".join(f"{count} {name}" for name, count in counts.items() if count)
        if sheet.filled:
            lines.append(f"{sheet.sheet}: {sheet.filled} filled = {parts}")
    bare = [each.sheet for each in report.week.balance if not each.filled]
    return [*lines, f"nothing typed: {', '.join(bare)}"] if bare else lines


def corrections(report: Report) -> str:
    """The whole list of what to fix, as a text for the outputs folder; the copy of the workbook has the same."""
    found = groups(report)
    lines = [f"Corrections for {report.week.source}, {report.week.as_of:%d %b %Y}", ""]
    lines += WORDS if found else ["Nothing to correct."]
    for group in found:
        lines += ["", group.title, *(["-" * len(group.title)] if group.findings else [])]
        only_noted = all(each.verdict is Verdict.NOTE for each in group.findings)
        for finding in group.findings:
            lines += _line(finding) if only_noted else _paragraph(finding)
    return "\n".join(lines) + "\n"


def answers(report: Report) -> list[str]:
    """What became of the answers: each that was taken, and each that was not with its place and the reason."""
    return [
        *accepted(report),
        *(f"Not accepted: {where(each)}: {each.message} {each.remedy}" for each in _refused(report)),
    ]


def count_of_answers(report: Report) -> list[str]:
    """One line on the answers of the week, where there are any."""
    taken, refused = len(accepted(report)), _refused(report)
    cells = ", ".join(dict.fromkeys(map(where, refused)))
    told = f", {len(refused)} not accepted: see {cells}" if refused else ""
    return [f"Answers: {taken} accepted{told}."] if taken or refused else []


def _refused(report: Report) -> list[Finding]:
    """What is wrong with answers that were not taken."""
    return [each for job in report.decisions for each in job.judged.findings if each.subject == ANSWER]


def notices(report: Report, held: Path) -> list[str]:
    """The do-not-use notices that were made, job by job; `held` is the folder of papers of held jobs."""
    found = [(each.reference, held / row_name(each)) for each in report.decisions if is_dangerous(each)]
    return [f"Print and fix at the point, job {job}: {path}" for job, folder in found for path in folder.glob("*.pdf")]


def counted(number: int, thing: str) -> str:
    """A number with its thing, one or many."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _line(finding: Finding) -> list[str]:
    """A note in one line."""
    return [f"  {where(finding) or finding.subject}: {finding.message} {finding.remedy}".rstrip()]


def _paragraph(finding: Finding) -> list[str]:
    """One finding as people read it: where, what, what was expected, how to mend it, why."""
    lines = ["", f"{str(finding.verdict).upper()}  {where(finding) or finding.subject}", f"  {finding.message}"]
    said = [
        f"{label}: {text.rstrip('.')}."
        for label, text in (("Found", finding.found), ("Expected", finding.expected))
        if text
    ]
    lines += [f"  {' '.join(said)}"] if said else []
    if finding.remedy:
        lines.append(f"  To mend: {finding.remedy}")
    if finding.reference and finding.reference != COMMON:
        lines.append(f"  Why: {finding.reference}")
    return lines


def troubles(decisions: Sequence[Decision]) -> list[str]:
    """What failed on this machine, job by job."""
    return [f"{each.reference} ({each.number}): {each.trouble}" for each in decisions if each.status is Status.FAILED]
