"""The sheet of corrections: every finding, job by job, the gravest first, each with a link to its cells."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple
from xml.sax.saxutils import escape, quoteattr

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding
from pipeline.workbook.corrections.cells import DEFAULTS, joined
from pipeline.workbook.corrections.depths import depth_of, legend
from pipeline.workbook.corrections.looks import Look, Looks
from pipeline.workbook.corrections.plain import plain_text
from pipeline.workbook.hues import lines_height
from pipeline.workbook.safe_xml import MAIN

COLUMNS = (
    ("Where", 21),
    ("Kind", 15),
    ("About", 20),
    ("What is wrong", 46),
    ("Found", 22),
    ("Expected", 32),
    ("How to mend it", 44),
    ("Why", 24),
)
LETTERS = "ABCDEFGH"
HEADING_ROW = 3 + len(legend())
INTRODUCTION = (
    "Correct the cells in this very file and check it again: marks and this sheet are taken out before it is read. "
    "Your own file has not been touched. A click on a place leads there."
)
LONGEST = 30_000
_LOOKS = {"F": Look.FAIL, "Q": Look.QUERY, "N": Look.NOTE}


@dataclass(frozen=True, slots=True)
class Group:
    """The findings that are told together: those of one job, or of the workbook as a whole."""

    title: str
    findings: tuple[Finding, ...] = ()


class Line(NamedTuple):
    """One row of the list: texts from the first column on with their looks, and where its first cell leads."""

    texts: tuple[str, ...]
    looks: tuple[Look, ...]
    leads: str = ""
    height: float | None = None


def sheet_xml(groups: Iterable[Group], titles: frozenset[str], remarks: Sequence[str], looks: Looks) -> bytes:
    """The XML of the sheet; `titles` are the sheets that links may lead to, `remarks` stand above the list."""
    lines = list(_lines(list(groups), titles, remarks))
    rows = "".join(_row(number, line, looks) for number, line in enumerate(lines, start=1))
    links = "".join(
        f'<hyperlink ref="A{number}" location={quoteattr(line.leads)} display={quoteattr(plain_text(line.texts[0]))}/>'
        for number, line in enumerate(lines, start=1)
        if line.leads
    )
    columns = "".join(
        f'<col min="{number}" max="{number}" width="{width}" customWidth="1"/>'
        for number, (_, width) in enumerate(COLUMNS, start=1)
    )
    return (
        f'<worksheet xmlns="{MAIN}"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr>'
        '<sheetViews><sheetView showGridLines="0" tabSelected="1" workbookViewId="0">'
        f'<pane ySplit="{HEADING_ROW}" topLeftCell="A{HEADING_ROW + 1}" activePane="bottomLeft" state="frozen"/>'
        f'<selection pane="bottomLeft" activeCell="A{HEADING_ROW + 1}" sqref="A{HEADING_ROW + 1}"/></sheetView>'
        f'</sheetViews><sheetFormatPr defaultRowHeight="15"/><cols>{columns}</cols><sheetData>{rows}</sheetData>'
        f"{f'<hyperlinks>{links}</hyperlinks>' if links else ''}"
        '<pageMargins left="0.4" right="0.4" top="0.4" bottom="0.6" header="0.3" footer="0.3"/>'
        '<pageSetup paperSize="9" orientation="landscape" fitToHeight="0"/></worksheet>'
    ).encode()


def _lines(groups: Sequence[Group], titles: frozenset[str], remarks: Sequence[str]) -> Iterator[Line]:
    """Title, legend, heading, then group by group."""
    yield Line(("Corrections",), (Look.TITLE,), height=24)
    yield _across(INTRODUCTION)
    yield from map(_across, legend())
    yield Line(tuple(name for name, _ in COLUMNS), (Look.HEAD,) * len(COLUMNS))
    for remark in remarks:
        yield _worded(("", "", "", remark), (Look.TEXT,) * 4)
    if not any(each.findings for each in groups) and not remarks:
        yield _worded(("", "", "", "Nothing to correct."), (Look.TEXT,) * 4)
    for group in groups:
        yield _across(group.title)
        for finding in group.findings:
            yield from _told(finding, titles)


def _across(text: str) -> Line:
    """A text that runs across all columns."""
    return Line((text, *("",) * (len(COLUMNS) - 1)), (Look.GROUP,) * len(COLUMNS))


def _told(finding: Finding, titles: frozenset[str]) -> Iterator[Line]:
    """One finding, and a line of its own for each further place."""
    depth = depth_of(finding.verdict)
    where = sorted(joined(finding.places), key=lambda each: each.sheet == DEFAULTS)
    first, rest = (where[0], where[1:]) if where else (None, [])
    texts = (
        str(first) if first else finding.subject,
        f"{depth.letter}  {finding.verdict}",
        finding.subject,
        finding.message,
        finding.found,
        finding.expected,
        finding.remedy,
        finding.reference,
    )
    leads = _leads(first, titles)
    looks = (Look.LINK if leads else Look.TEXT, _LOOKS[depth.letter], *(Look.TEXT,) * 6)
    yield _worded(texts, looks, leads)
    for place in rest:
        leads = _leads(place, titles)
        shown = f"set on {place}" if place.sheet == DEFAULTS else str(place)
        yield Line((shown,), (Look.LINK if leads else Look.TEXT,), leads)


def _leads(place: Place | None, titles: frozenset[str]) -> str:
    """The address of a place inside the workbook; nothing where it lies outside of it."""
    if place is None or place.sheet not in titles:
        return ""
    title = place.sheet.replace("'", "''")
    return f"'{title}'!{place.cell or 'A1'}"


def _worded(texts: tuple[str, ...], looks: tuple[Look, ...], leads: str = "") -> Line:
    """A line tall enough for its longest text."""
    heights = [lines_height(text, width * 0.9 - 2) for text, (_, width) in zip(texts, COLUMNS, strict=False)]
    return Line(texts, looks, leads, max(heights))


def _row(number: int, line: Line, looks: Looks) -> str:
    """One row; every text is a text, whatever sign it begins with."""
    cells = "".join(
        f'<c r="{letter}{number}" s="{looks.of(look)}" t="inlineStr"><is><t xml:space="preserve">'
        f"{escape(plain_text(text[:LONGEST]))}</t></is></c>"
        if text
        else f'<c r="{letter}{number}" s="{looks.of(look)}"/>'
        for letter, text, look in zip(LETTERS, line.texts, line.looks, strict=False)
    )
    height = f' ht="{min(line.height, 400):g}" customHeight="1"' if line.height else ""
    return f'<row r="{number}"{height}>{cells}</row>'
