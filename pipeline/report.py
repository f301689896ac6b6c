"""What a run says at its end: the summary, the balance of rows, and the corrections by sheet and cell."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from pipeline.facts.findings import Finding, Scope, Verdict, by_gravity
from pipeline.facts.questions import Question, question_on
from pipeline.rules import RING
from pipeline.run import Report
from pipeline.stages.decide import Decision, Status, question_of
from pipeline.unnumbered import row_name
from pipeline.workbook.corrections.listing import Group

# verdicts that a person may have to act on; passes and 'not applicable' stand on the record only
TOLD = (Verdict.FAIL, Verdict.QUERY, Verdict.NOT_ASSESSED, Verdict.NOTE)
COMMON = "common practice"
DEFAULTS = "Defaults"
NEXT_STEP = {
    Status.AWAITING: "print, sign in ink, then: handover release",
    Status.ISSUED: "send it to the client",
    Status.UNCHANGED: "nothing: the pack stands",
    Status.PLANNED: "visit the site",
    Status.TO_MAKE: "build",
    Status.HELD: "correct the cells listed below",
    Status.FAILED: "see below, then run the same command again",
}


WORDS = (
    "FAIL: wrong or impossible; correct it. QUERY: odd, or to be settled by the person responsible; correct it or ask.",
    "NOT ASSESSED: a check could not be made for lack of a figure. NOTE: said, nothing to do.",
)


def holding(decision: Decision) -> list[Finding]:
    """The findings that hold a job, gravest first; what another finding at the same cell explains is left out."""
    found = by_gravity(list(decision.judged.holding))
    told = {place for each in found if each.verdict is not Verdict.NOT_ASSESSED for place in each.places}
    kept: list[Finding] = []
    for each in found:
        if each.verdict is Verdict.NOT_ASSESSED:
            if (told and not each.places) or told.intersection(each.places):
                continue
            told.update(each.places)
        kept.append(each)
    return sorted(kept, key=lambda each: not each.message.startswith(RING))


def is_dangerous(decision: Decision) -> bool:
    """Whether a held job may be a live charge point that failed a safety check."""
    return decision.status is Status.HELD and any(each.message.startswith(RING) for each in holding(decision))


def next_step(decision: Decision, *, made: bool) -> str:
    """What to do with a job now; a check makes no notice to print."""
    if is_dangerous(decision):
        return "ring the electrician today" + (f"; print held/{row_name(decision)}/do-not-use.pdf" if made else "")
    return NEXT_STEP[decision.status]


def summary_rows(report: Report) -> list[tuple[str, str, str, str]]:
    """One line a job: reference, outcome, pack, what to do next."""
    return [
        (each.reference, _outcome(each), each.number, next_step(each, made=bool(report.check_value)))
        for each in report.decisions
    ]


def _outcome(decision: Decision) -> str:
    """The status in words, with what holds a held job."""
    if decision.status is not Status.HELD:
        return str(decision.status)
    counts = Counter(each.verdict for each in holding(decision))
    return "held: " + ", ".join(f"{count} × {verdict}" for verdict, count in sorted(counts.items()))


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
        lines.append(f"{sheet.sheet}: {sheet.filled} filled = {parts or '0'}")
    return lines


def corrections(report: Report) -> str:
    """The whole list of what to fix, as a text for the outputs folder: safety first, then job by job."""
    found = _sections(report)
    lines = [f"Corrections for {report.week.source}, {report.week.as_of:%d %b %Y}", ""]
    lines += WORDS if found else ["Nothing to correct."]
    for section in found:
        lines += ["", section.title, "-" * len(section.title)]
        for finding in section.findings:
            lines += _paragraph(finding)
    lines += _noted(report.decisions)
    return "\n".join(lines) + "\n"


def groups(report: Report) -> list[Group]:
    """The same list for the copy of the workbook, with the notes on cells among it."""
    found = _sections(report)
    told = {finding for each in found for finding in each.findings}
    for each in report.decisions:
        if notes := tuple(note for note in _notes(each) if note not in told):
            found.append(Group(f"Job {each.reference} · {each.status}, noted", notes))
    return found


def questions(report: Report) -> list[Question]:
    """What only a person can settle: each query that is open, and each changed job that has a pack already."""
    found: dict[str, Question] = {}
    for each in report.decisions:
        asked = [
            replace(question_on(finding, each.judged.job), job=each.reference)
            for finding in holding(each)
            if finding.verdict is Verdict.QUERY
        ]
        revision = question_of(each)
        for question in (*asked, *([revision] if revision else [])):
            found.setdefault(question.key, question)
    return list(found.values())


def _sections(report: Report) -> list[Group]:
    """What is to be mended: live points that failed first, then what concerns several jobs, then job by job."""
    held = [each for each in report.decisions if each.status is Status.HELD]
    shared = _shared(held)
    of_workbook = by_gravity([*shared, *(each for each in report.of_workbook if each.verdict in TOLD)])
    dangerous = [_of_job(each, shared) for each in held if is_dangerous(each)]
    others = [_of_job(each, shared) for each in held if not is_dangerous(each)]
    whole = [Group("The whole workbook", tuple(of_workbook))] if of_workbook else []
    return [*dangerous, *whole, *others]


def _shared(held: Iterable[Decision]) -> list[Finding]:
    """Findings on rows that several held jobs refer to: one cause, told once."""
    counts = Counter(finding for each in held for finding in holding(each) if not finding.job)
    return [finding for finding, count in counts.items() if count > 1]


def _of_job(decision: Decision, shared: Sequence[Finding]) -> Group:
    """One held job; what is told of the whole workbook is only pointed at."""
    found = holding(decision)
    elsewhere = [_where(each) for each in found if each in shared]
    title = f"{_title(decision)} · see the whole workbook: {'; '.join(elsewhere)}" if elsewhere else _title(decision)
    return Group(title, tuple(each for each in found if each not in shared))


def counted(number: int, thing: str) -> str:
    """A number with its thing, one or many."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _title(decision: Decision) -> str:
    """The heading of a held job."""
    return f"Job {decision.reference or '(no reference)'} · {_outcome(decision)}"


def _paragraph(finding: Finding) -> list[str]:
    """One finding as people read it: where, what, what was expected, how to mend it, why."""
    lines = ["", f"{str(finding.verdict).upper()}  {_where(finding)}", f"  {finding.message}"]
    if finding.found or finding.expected:
        found, expected = (finding.found or "nothing").rstrip("."), (finding.expected or "see above").rstrip(".")
        lines.append(f"  Found: {found}. Expected: {expected}.")
    if finding.remedy:
        lines.append(f"  To mend: {finding.remedy}")
    if finding.reference and finding.reference != COMMON:
        lines.append(f"  Why: {finding.reference}")
    return lines


def _where(finding: Finding) -> str:
    """The cells, those that a person typed for this row first; a default is named as what it is."""
    cells = list(dict.fromkeys(finding.places))
    typed = [each for each in cells if each.sheet != DEFAULTS]
    filled = ", ".join(map(str, (each for each in cells if each.sheet == DEFAULTS)))
    where = ", ".join(map(str, typed)) or finding.subject
    return f"{where} (with {filled})" if filled else where


def _noted(decisions: Iterable[Decision]) -> list[str]:
    """Notes on jobs that go on all the same, one line each; those about cells only, the rest is on the record."""
    lines: list[str] = []
    for each in decisions:
        notes = _notes(each)
        if notes and each.status is not Status.HELD:
            lines += ["", f"Job {each.reference} · {each.status}, with notes"]
            lines += [f"  {', '.join(map(str, note.places))}: {note.message}" for note in notes]
    return ["", "Noted, nothing to do:", *lines] if lines else []


def _notes(decision: Decision) -> list[Finding]:
    """The notes on a job's cells."""
    return [each for each in decision.judged.findings if each.verdict is Verdict.NOTE and each.scope is Scope.CELL]


def troubles(decisions: Sequence[Decision]) -> list[str]:
    """What failed on this machine, job by job."""
    return [f"{each.reference} ({each.number}): {each.trouble}" for each in decisions if each.status is Status.FAILED]
