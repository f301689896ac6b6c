"""What a run says at its end: the summary, the balance of rows, and the corrections by sheet and cell."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict, by_gravity
from pipeline.facts.questions import Question, question_on
from pipeline.rules import RING
from pipeline.rules.causes import UNUSUAL, without_followers
from pipeline.run import Report
from pipeline.stages.decide import Decision, Status, question_of
from pipeline.unnumbered import row_name
from pipeline.workbook.corrections.cells import joined
from pipeline.workbook.corrections.listing import Group
from pipeline.workbook.notices import ORPHAN

# verdicts that a person may have to act on; passes and 'not applicable' stand on the record only
TOLD = (Verdict.FAIL, Verdict.QUERY, Verdict.NOT_ASSESSED, Verdict.NOTE)
COMMON = "common practice"
DEFAULTS = "Defaults"
ROW_IS_MISSING = frozenset({"single_rows_are_there", "new_circuits_have_readings"})
NEXT_STEP = {
    Status.AWAITING: "print, sign in ink, then: handover release",
    Status.ISSUED: "send it to the client",
    Status.UNCHANGED: "nothing: the pack stands",
    Status.PLANNED: "visit the site; its sheet: handover sitesheet",
    Status.TO_MAKE: "build",
    Status.HELD: "correct the cells listed below",
    Status.FAILED: "see below, then run the same command again",
}


WORDS = (
    "FAIL: wrong or impossible; correct it. QUERY: odd, or to be settled by the person responsible; correct it or ask.",
    "NOT ASSESSED: a check could not be made for lack of a figure. NOTE: said, nothing to do.",
)


def holding(decision: Decision) -> list[Finding]:
    """The findings that hold a job, gravest first; what another finding explains is left out."""
    found = by_gravity(without_followers(decision.judged.holding))
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
        if sheet.filled:
            lines.append(f"{sheet.sheet}: {sheet.filled} filled = {parts}")
    bare = [each.sheet for each in report.week.balance if not each.filled]
    return [*lines, f"nothing typed: {', '.join(bare)}"] if bare else lines


def corrections(report: Report) -> str:
    """The whole list of what to fix, as a text for the outputs folder: safety first, then job by job."""
    found = _sections(report)
    lines = [f"Corrections for {report.week.source}, {report.week.as_of:%d %b %Y}", ""]
    lines += WORDS if found else ["Nothing to correct."]
    for section in found:
        lines += ["", section.title, "-" * len(section.title)]
        for finding in section.findings:
            lines += _paragraph(finding)
    lines += [] if not (alone := _held_elsewhere(report)) else ["", alone]
    lines += _noted(report.decisions)
    return "\n".join(lines) + "\n"


def groups(report: Report) -> list[Group]:
    """The same list for the copy of the workbook, with the notes on cells among it."""
    found = _sections(report)
    told = {finding for each in found for finding in each.findings}
    found += [Group(alone)] if (alone := _held_elsewhere(report)) else []
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
    lost = [each for each in report.of_workbook if each.rule == ORPHAN]
    of_workbook = by_gravity([*shared, *(each for each in report.of_workbook if each.verdict in TOLD)])
    dangerous = [_of_job(each, shared, lost) for each in held if is_dangerous(each)]
    others = [_of_job(each, shared, lost) for each in held if not is_dangerous(each)]
    whole = [Group("The whole workbook", tuple(of_workbook))] if of_workbook else []
    return [*dangerous, *whole, *(each for each in others if each.findings)]


def _shared(held: Iterable[Decision]) -> list[Finding]:
    """Findings on rows that several held jobs refer to, or on a default that fills them: one cause, told once."""
    counts = Counter(_of_no_job(finding) for each in held for finding in holding(each) if _may_be_shared(finding))
    return [finding for finding, count in counts.items() if count > 1]


def _may_be_shared(finding: Finding) -> bool:
    """Whether the cells of a finding are of no job's own."""
    return not finding.job or (bool(finding.places) and all(each.sheet == DEFAULTS for each in finding.places))


def _of_no_job(finding: Finding) -> Finding:
    """A finding as it is told of the whole workbook."""
    return replace(finding, job="", subject=DEFAULTS, calculation=None) if finding.job else finding


def _of_job(decision: Decision, shared: Sequence[Finding], lost: Sequence[Finding]) -> Group:
    """One held job; what is told of the whole workbook is only pointed at."""
    found = holding(decision)
    told = [each for each in found if _may_be_shared(each) and _of_no_job(each) in shared]
    elsewhere = "; ".join(dict.fromkeys(map(_where, told)))
    title = f"{_title(decision)} · see the whole workbook: {elsewhere}" if elsewhere else _title(decision)
    rest = [each for each in found if each not in told]
    unusual = {place: each for each in rest if each.rule == UNUSUAL for place in each.places}
    return Group(
        title, tuple(_pointed(each, decision.reference, unusual, lost) for each in _causes_first(rest, unusual))
    )


def _causes_first(found: Sequence[Finding], unusual: Mapping[Place, Finding]) -> list[Finding]:
    """An unusual figure before what is reckoned with it; what is dangerous stays before all."""
    first = [each for each in found if any(each is cause for cause in unusual.values())]
    used = {place for each in found if each not in first for place in each.places}
    first = [each for each in first if used.intersection(each.places)]
    ringing = [each for each in found if each.message.startswith(RING)]
    return list(dict.fromkeys([*ringing, *first, *found]))


def _pointed(finding: Finding, job: str, unusual: Mapping[Place, Finding], lost: Sequence[Finding]) -> Finding:
    """A finding with what to look at first: an unusual figure behind it, or a row that may be the missing one."""
    if finding.rule != UNUSUAL and (first := [str(each) for each in finding.places if each in unusual]):
        return replace(finding, remedy=f"First settle {' and '.join(first)}, which is unusual. {finding.remedy}")
    if finding.rule in ROW_IS_MISSING:
        rows = [each for each in lost if f"'{job}'?" in each.message and each.places[0].sheet in finding.expected]
        if rows:
            return replace(finding, remedy=f"Perhaps it is there, under another job: see {_where(rows[0])}.")
    return finding


def _held_elsewhere(report: Report) -> str:
    """The held jobs in which nothing is to be mended but what is told of the whole workbook."""
    held = [each for each in report.decisions if each.status is Status.HELD]
    shared = _shared(held)
    names = [each.reference for each in held if not _of_job(each, shared, ()).findings]
    return f"Held by what is told of the whole workbook alone: {', '.join(names)}." if names else ""


def counted(number: int, thing: str) -> str:
    """A number with its thing, one or many."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _title(decision: Decision) -> str:
    """The heading of a held job."""
    return f"Job {decision.reference or '(no reference)'} · {_outcome(decision)}"


def _paragraph(finding: Finding) -> list[str]:
    """One finding as people read it: where, what, what was expected, how to mend it, why."""
    lines = ["", f"{str(finding.verdict).upper()}  {_where(finding)}", f"  {finding.message}"]
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


def _where(finding: Finding) -> str:
    """The cells, those that a person typed for this row first; a default is named as what it is."""
    cells = joined(finding.places)
    typed = ", ".join(str(each) for each in cells if each.sheet != DEFAULTS)
    filled = ", ".join(str(each) for each in cells if each.sheet == DEFAULTS)
    if not typed:
        return filled or finding.subject
    return f"{typed} (with {filled})" if filled else typed


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
