"""What the office is told, each cause once: live points that failed, what concerns several jobs, then job by job."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import replace

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict, by_gravity
from pipeline.facts.questions import Question, question_on
from pipeline.rules import RING
from pipeline.rules.answers import may_be_accepted
from pipeline.rules.causes import UNUSUAL, of_defaults, without_followers
from pipeline.run import Report
from pipeline.stages.decide import Decision, Status, question_of
from pipeline.workbook.corrections.cells import DEFAULTS, where
from pipeline.workbook.corrections.listing import Group
from pipeline.workbook.notices import ORPHAN, SAME, UNLISTED
from pipeline.workbook.photo_rows import FOLDER_RULE

# verdicts that a person may have to act on; passes and 'not applicable' stand on the record only
TOLD = (Verdict.FAIL, Verdict.QUERY, Verdict.NOT_ASSESSED, Verdict.NOTE)
EVERYWHERE = frozenset({UNLISTED, FOLDER_RULE})
"""Rules of which one cause shows in the cells of many jobs."""
CIRCUITS, POINTS = "Circuits", "Charge points"
# rules that miss rows of these sheets: rows under a mistyped job are those that they miss
MISSES = {
    "single_rows_are_there": {"Supplies", "Inspections"},
    "new_circuits_have_readings": {"Readings"},
    "circuits_equal_their_control_total": {CIRCUITS},
    "points_equal_their_control_total": {POINTS},
    "kind_of_work_fits_the_circuits": {CIRCUITS},
    "final_circuits_serve_one_point": {CIRCUITS, POINTS},
    "references_lead_to_a_row_of_the_job": {"Boards", CIRCUITS, "Load management"},
}


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


def outcome(decision: Decision) -> str:
    """The status in words, with what holds a held job."""
    if decision.status is not Status.HELD:
        return str(decision.status)
    verdicts = [each.verdict for each in holding(decision)]
    return "held: " + ", ".join(f"{verdicts.count(each)} × {each}" for each in sorted(set(verdicts)))


def groups(report: Report) -> list[Group]:
    """The whole list: what is to be mended, what was accepted, and what is only noted at the cells of each job."""
    held = [each for each in report.decisions if each.status is Status.HELD]
    shared, lost = _shared(held), [each for each in report.of_workbook if each.rule == ORPHAN]
    of_workbook = [*shared.values(), *(each for each in report.of_workbook if each.verdict in TOLD)]
    dangerous = [_of_job(each, shared, lost) for each in held if is_dangerous(each)]
    others = [_of_job(each, shared, lost) for each in held if not is_dangerous(each)]
    whole = [Group("The whole workbook", tuple(by_gravity(of_workbook)))] if of_workbook else []
    found = [*dangerous, *whole, *(each for each in others if each.findings)]
    bare = [job.reference for job in held if not _of_job(job, shared, lost).findings]
    found += [Group(f"Held by what is told of the whole workbook alone: {', '.join(bare)}.")] if bare else []
    told = {finding for each in found for finding in each.findings}
    return [*found, *map(Group, accepted(report)), *_noted(report.decisions, told)]


def accepted(report: Report) -> list[str]:
    """Each answer that was taken: of which job, from whom, and what it settles."""
    lines = []
    for each in report.decisions:
        for answer in each.judged.answers:
            about = answer.finding
            what = f"{where(about) or about.subject}: {about.message}"
            by = f"{answer.name or answer.person} ({answer.role}, {answer.day:%d %b %Y})"
            lines.append(f"Accepted for job {each.reference} by {by}: {what} Reason: {answer.reason}")
    return lines


def questions(report: Report) -> list[Question]:
    """What only a person can settle: each query that is open, and each changed job that has a pack already."""
    found: dict[str, Question] = {}
    for each in report.decisions:
        asked = [
            replace(question_on(finding, each.judged.job), job=each.reference)
            for finding in holding(each)
            if may_be_accepted(finding)
        ]
        revision = question_of(each)
        for question in (*asked, *([revision] if revision else [])):
            found.setdefault(question.key, question)
    return list(found.values())


def _shared(held: Iterable[Decision]) -> dict[Hashable, Finding]:
    """The causes that hold several jobs, each as one finding of the whole workbook."""
    by_cause: dict[Hashable, dict[str, list[Finding]]] = defaultdict(lambda: defaultdict(list))
    for each in held:
        for finding in holding(each):
            if cause := _cause(finding):
                by_cause[cause][each.reference].append(finding)
    return {cause: _together(jobs) for cause, jobs in by_cause.items() if len(jobs) > 1}


def _cause(finding: Finding) -> Hashable:
    """What several jobs may have in common: a row that they refer to, a default, a name that no list has; or None."""
    if not finding.job:
        return finding
    if of_defaults(finding, DEFAULTS):
        return replace(finding, job="", subject=DEFAULTS, calculation=None)
    named = finding.rule, finding.verdict, finding.found, finding.expected
    return named if finding.rule in EVERYWHERE else None


def _together(jobs: Mapping[str, Sequence[Finding]]) -> Finding:
    """One finding for several jobs."""
    found = [finding for each in jobs.values() for finding in each]
    cause = _cause(found[0])
    if isinstance(cause, Finding):
        return cause
    places = list(dict.fromkeys(place for each in found for place in each.places))
    sheets = [place.sheet for place in places]
    places.sort(key=lambda each: sheets.index(each.sheet))
    message = f"{found[0].message.partition(SAME)[0]}{SAME}{len(places)} cells of {len(jobs)} jobs: {', '.join(jobs)}."
    return replace(found[0], job="", message=message, places=tuple(places))


def _of_job(decision: Decision, shared: Mapping[Hashable, Finding], lost: Sequence[Finding]) -> Group:
    """One held job; what is told of the whole workbook is only pointed at."""
    found, told, away = holding(decision), list[Finding](), list[str]()
    for each in found:
        row = _row_missed(each, decision.reference, lost)
        if row or _cause(each) in shared:
            told.append(each)
            away.append(where(row or each) or each.subject)
    title = f"Job {decision.reference or '(no reference)'} · {outcome(decision)}"
    title += f" · see the whole workbook: {'; '.join(dict.fromkeys(away))}" if away else ""
    rest = [each for each in found if each not in told]
    unusual = {place: each for each in rest if each.rule == UNUSUAL for place in each.places}
    return Group(title, tuple(_pointed(each, unusual) for each in _causes_first(rest, unusual)))


def _row_missed(finding: Finding, job: str, lost: Sequence[Finding]) -> Finding | None:
    """Rows of an unknown job that surely are those which a finding misses: one slip, told where it was typed."""
    for each in lost:
        sheets = {place.sheet for place in each.places} & MISSES.get(finding.rule, set())
        named = "the sheet " not in finding.expected or any(
            f"the sheet {sheet}" in finding.expected for sheet in sheets
        )
        if sheets and named and f"Did you mean '{job}'?" in each.message:
            return each
    return None


def _causes_first(found: Sequence[Finding], unusual: Mapping[Place, Finding]) -> list[Finding]:
    """An unusual figure before what is reckoned with it; what is dangerous stays before all."""
    first = [each for each in found if any(each is cause for cause in unusual.values())]
    used = {place for each in found if each not in first for place in each.places}
    first = [each for each in first if used.intersection(each.places)]
    ringing = [each for each in found if each.message.startswith(RING)]
    return list(dict.fromkeys([*ringing, *first, *found]))


def _pointed(finding: Finding, unusual: Mapping[Place, Finding]) -> Finding:
    """A finding with the unusual figure behind it that is to be looked at first."""
    if finding.rule != UNUSUAL and (first := [str(each) for each in finding.places if each in unusual]):
        return replace(finding, remedy=f"First settle {' and '.join(first)}, which is unusual. {finding.remedy}")
    return finding


def _noted(decisions: Iterable[Decision], told: set[Finding]) -> list[Group]:
    """The notes on each job's cells; what else is noted stands on its record."""
    found = []
    for each in decisions:
        of_cells = [note for note in each.judged.findings if note.verdict is Verdict.NOTE and note.scope is Scope.CELL]
        if notes := tuple(note for note in of_cells if note not in told):
            found.append(Group(f"Job {each.reference} · {each.status}, noted; holds nothing", notes))
    return found
