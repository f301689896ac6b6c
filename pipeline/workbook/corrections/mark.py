"""Mark a workbook: formats and comments on its cells, the list of corrections before its tabs, the open questions."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from pipeline.facts.field import Place
from pipeline.facts.findings import GRAVITY, Finding
from pipeline.facts.questions import Question
from pipeline.workbook.child import maker_of
from pipeline.workbook.corrections.answers import add_questions
from pipeline.workbook.corrections.cells import DEFAULTS, first_cell, join_cells
from pipeline.workbook.corrections.depths import DEPTHS, Depth, depth_of
from pipeline.workbook.corrections.formats import add_formats
from pipeline.workbook.corrections.listing import HEADING_ROW, Group, sheet_xml
from pipeline.workbook.corrections.looks import add_looks
from pipeline.workbook.corrections.losses import losses_of
from pipeline.workbook.corrections.notes import add_notes, threads_of
from pipeline.workbook.corrections.package import Package
from pipeline.workbook.corrections.tabs import add_tab, free_title
from pipeline.workbook.corrections.unmark import remove_marks

Marks = Mapping[str, Mapping[str, Sequence[Finding]]]


def marked_copy(source: bytes, groups: Sequence[Group], questions: Sequence[Question] = ()) -> bytes:
    """The bytes of a copy with every finding marked; `source` itself is left alone.

    Marks of an earlier copy are replaced. Raises WorkbookRefusedError for a file that cannot be opened safely.
    """
    package = Package(remove_marks(source))
    add_questions(package, questions, maker_of(package, package.book()))
    titles = {each.title: each.part for each in package.sheets()}
    marks = _by_cell(finding for group in groups for finding in group.findings)
    remarks = [*losses_of(package), *_threads(package, titles, marks)]
    looks = add_looks(package)
    for title, part in titles.items():
        if title in marks:
            depths = _by_depth(marks[title])
            package.put(part, add_formats(package.xml(part), part, depths, looks))
            silent = threads_of(package, part)
            notes = {cell: _words(found) for cell, found in _anchored(marks[title]).items() if cell not in silent}
            add_notes(package, part, notes)
    add_tab(package, free_title(package), sheet_xml(groups, frozenset(titles), remarks, looks), HEADING_ROW)
    return package.save()[0]


def _by_cell(findings: Iterable[Finding]) -> Marks:
    """The findings at each cell or range, by sheet."""
    found: dict[str, dict[str, list[Finding]]] = defaultdict(lambda: defaultdict(list))
    for finding in dict.fromkeys(findings):
        for place in dict.fromkeys(_typed(finding.places)):
            if first_cell(place.cell):
                found[place.sheet][place.cell].append(finding)
    return found


def _typed(places: Sequence[Place]) -> Sequence[Place]:
    """The cells to be marked: a default that stands behind one of them is right for every other job."""
    return [each for each in places if each.sheet != DEFAULTS] or places


def _anchored(cells: Mapping[str, Sequence[Finding]]) -> dict[str, list[Finding]]:
    """The findings by the one cell that carries their comment: of a range the first."""
    found: dict[str, list[Finding]] = defaultdict(list)
    for cell, findings in cells.items():
        found[first_cell(cell)] += findings
    return found


def _by_depth(cells: Mapping[str, Sequence[Finding]]) -> dict[Depth, list[str]]:
    """The cells of a sheet by the depth of their gravest finding, neighbours put together."""
    found: dict[Depth, list[str]] = {depth: [] for depth in DEPTHS}
    for cell, findings in cells.items():
        found[depth_of(min(findings, key=lambda each: GRAVITY[each.verdict]).verdict)].append(cell)
    return {depth: join_cells(each) for depth, each in found.items()}


def _words(findings: Sequence[Finding]) -> str:
    """What a comment says: of each finding what was found, what is expected, how to mend it, and why."""
    return "\n\n".join(map(_said, sorted(findings, key=lambda each: GRAVITY[each.verdict])))


def _said(finding: Finding) -> str:
    """One finding in the lines of a comment."""
    whose = f"Job {finding.job}. " if finding.job else ""
    lines = [f"{depth_of(finding.verdict).letter}  {finding.verdict}: {whose}{finding.message}"]
    for label, text in (
        ("Found", finding.found),
        ("Expected", finding.expected),
        ("To mend", finding.remedy),
        ("Why", finding.reference),
    ):
        if text:
            lines.append(f"{label}: {text}")
    return "\n".join(lines)


def _threads(package: Package, titles: Mapping[str, str], marks: Marks) -> list[str]:
    """The cells whose discussion hides what a comment would add."""
    return [
        f"{title} {cell} is under discussion in comments with answers; what was found there stands in this list only."
        for title, part in titles.items()
        for cell in sorted(threads_of(package, part) & _anchored(marks.get(title, {})).keys())
    ]
