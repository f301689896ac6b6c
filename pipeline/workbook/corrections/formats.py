"""Marks on cells: conditional formats that lie over the cell's own look and over every other conditional format."""

import re
from collections.abc import Mapping, Sequence

from pipeline.workbook.corrections.depths import DEPTHS, MARK, Depth, formula_of
from pipeline.workbook.corrections.looks import Looks
from pipeline.workbook.corrections.package import prefixed
from pipeline.workbook.corrections.splice import insert, outline

# what may stand behind the conditional formats of a sheet (ECMA-376-1, 18.3.1.99)
AFTER_FORMATS = (
    "conditionalFormatting", "dataValidations", "hyperlinks", "printOptions", "pageMargins", "pageSetup",
    "headerFooter", "rowBreaks", "colBreaks", "customProperties", "cellWatches", "ignoredErrors", "smartTags",
    "drawing", "legacyDrawing", "legacyDrawingHF", "drawingHF", "picture", "oleObjects", "controls",
    "webPublishItems", "tableParts", "extLst",
)  # fmt: skip
AT_ONCE = 400
"""Cells named in one format; a list of cells has its limits."""
RULE = re.compile(rb"<((?:[\w.-]+:)?)cfRule\b(?:(?!</(?:[\w.-]+:)?cfRule>).)*</\1cfRule>", re.DOTALL)
PRIORITY = re.compile(rb'(<(?:[\w.-]+:)?cfRule\b[^<>]*?\bpriority=["\'])(\d+)')


def add_formats(xml: bytes, part: str, cells: Mapping[Depth, Sequence[str]], looks: Looks) -> bytes:
    """A sheet with a mark on each of the cells; the gravest lies on top."""
    named = [
        (place, depth, " ".join(cells[depth][start : start + AT_ONCE]))
        for place, depth in enumerate(DEPTHS)
        for start in range(0, len(cells.get(depth, ())), AT_ONCE)
    ]
    if not named:
        return xml
    pieces = [
        f'<conditionalFormatting sqref="{where}"><cfRule type="expression" dxfId="{looks.marks + place}" '
        f'priority="{number}"><formula>{formula_of(depth)}</formula></cfRule></conditionalFormatting>'
        for number, (place, depth, where) in enumerate(named, start=1)
    ]
    whole = outline(xml, part)
    at = whole.place_before(AFTER_FORMATS)
    moved = xml[:at] + _moved(xml[at:], len(pieces))
    return insert(moved, at, prefixed("".join(pieces).encode(), whole.prefix))


def take_formats(xml: bytes, part: str) -> bytes:
    """A sheet without marks, the other formats in their old order."""
    if MARK not in xml:
        return xml
    formats = outline(xml, part).named("conditionalFormatting")
    count = 0
    for element in reversed(formats):
        piece = xml[element.start : element.end]
        if MARK in piece:
            left, taken = _without_marks(piece)
            count += taken
            xml = xml[: element.start] + left + xml[element.end :]
    first = formats[0].start if formats else len(xml)
    return xml[:first] + _moved(xml[first:], -count)


def _without_marks(piece: bytes) -> tuple[bytes, int]:
    """One group of formats without ours, empty where it has no other, and how many there were."""
    rules = [each.group() for each in RULE.finditer(piece)]
    marks = [each for each in rules if MARK in each]
    if len(marks) == len(rules):
        return b"", len(marks)
    for each in marks:
        piece = piece.replace(each, b"", 1)
    return piece, len(marks)


def _moved(xml: bytes, by: int) -> bytes:
    """The formats further down or up in the order in which they lie over each other."""
    lowest = min((int(each[2]) for each in PRIORITY.finditer(xml)), default=0)
    if lowest + by < 1:
        return xml
    return PRIORITY.sub(lambda each: each[1] + str(int(each[2]) + by).encode(), xml)
