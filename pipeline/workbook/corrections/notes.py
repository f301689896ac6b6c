"""The comments of the copy: below what the admin wrote, what was found; and the way back."""

import re
from collections.abc import Mapping
from typing import NamedTuple
from xml.sax.saxutils import escape

from pipeline.workbook.corrections.boxes import EMPTY_DRAWING, add_boxes, take_boxes
from pipeline.workbook.corrections.package import RELATION_TYPE, Package, prefixed
from pipeline.workbook.corrections.plain import plain_text
from pipeline.workbook.corrections.splice import insert, outline
from pipeline.workbook.parts import target
from pipeline.workbook.safe_xml import MAIN, damaged

BEGIN = "---- Corrections; taken out again when this workbook is read ----"
END = "---- End of the corrections ----"
EMPTY = f'<comments xmlns="{MAIN}"><authors></authors><commentList></commentList></comments>'.encode()
AUTHOR_NAME = b"handover check"
AUTHOR = b"<author>%s</author>" % AUTHOR_NAME
AUTHORS = re.compile(rb"<(?:[\w.-]+:)?author(?=[\s/>])")
LONGEST = 8_000
"""Letters of one comment; a cell's comment holds four times as many."""

COMMENT = re.compile(
    rb"<((?:[\w.-]+:)?)comment\b(?P<head>[^<>]*)(?:/>|(?<!/)>(?P<body>(?:(?!</(?:[\w.-]+:)?comment>).)*)</\1comment>)",
    re.DOTALL,
)
REF = re.compile(rb"\bref=([\"'])([A-Z]+[0-9]+)\1")
PIECE = re.compile(rb"(<(?:[\w.-]+:)?t\b[^<>]*(?<!/)>)([^<]*)(?=</)")
BARE_RUN = re.compile(
    rb"<((?:[\w.-]+:)?)r(?:\s[^<>]*)?>(?:<\1rPr>(?:(?!</\1rPr>).)*</\1rPr>|<\1rPr/>)?<\1t\b[^<>]*></\1t></\1r>",
    re.DOTALL,
)
ADDED = re.compile(rb"(\r?\n|&#10;|&#xA;|_x000a_)?" + BEGIN.encode() + rb".*?(?:" + END.encode() + rb"|\Z)", re.DOTALL)
# what may stand behind the pointer at the drawing with the comments' boxes
AFTER_DRAWING = (
    "legacyDrawingHF", "drawingHF", "picture", "oleObjects", "controls", "webPublishItems", "tableParts", "extLst",
)  # fmt: skip


class Parts(NamedTuple):
    """The two parts that hold a sheet's comments: the words and the boxes; empty where there are none."""

    words: str
    boxes: str


def add_notes(package: Package, sheet: str, notes: Mapping[str, str]) -> None:
    """Hang a comment on each of these cells, below the admin's own where there is one."""
    if not notes:
        return
    parts = _parts_of(package, sheet)
    xml, fresh = _with_words(package.xml(parts.words), notes)
    package.put(parts.words, xml)
    package.put(parts.boxes, add_boxes(package.xml(parts.boxes), {cell: notes[cell] for cell in fresh}))


def threads_of(package: Package, sheet: str) -> frozenset[str]:
    """The cells under discussion: a comment with answers shows only its own words, so nothing is added to it."""
    found = set[str]()
    for each in package.pointers(sheet).values():
        if each.kind.endswith("/threadedComment"):
            found |= {match[2].decode() for match in REF.finditer(package.xml(each.target))}
    return frozenset(found)


def take_notes(package: Package, sheet: str) -> None:
    """Take the words of the copy out of a sheet's comments, and comments that hold nothing else away."""
    pointers = package.pointers(sheet)
    parts = Parts(target(pointers, "comments"), target(pointers, "vmlDrawing"))
    if not parts.words or BEGIN.encode() not in package.xml(parts.words):
        return
    xml, gone = _without_words(package.xml(parts.words))
    package.put(parts.words, xml)
    if parts.boxes:
        package.put(parts.boxes, take_boxes(package.xml(parts.boxes), gone))
    if not COMMENT.search(xml):
        _drop(package, sheet, parts)


def _parts_of(package: Package, sheet: str) -> Parts:
    """The parts with a sheet's comments, made and pointed at where they are missing."""
    pointers = package.pointers(sheet)
    words, boxes = target(pointers, "comments"), target(pointers, "vmlDrawing")
    if not words:
        words = package.add_part("xl/corrections-comments.xml", EMPTY, "spreadsheetml.comments+xml")
        package.relate(sheet, words, "comments")
    xml = package.xml(sheet)
    whole = outline(xml, sheet)
    if not whole.named("legacyDrawing"):
        boxes = package.add_part("xl/drawings/corrections-boxes.vml", EMPTY_DRAWING, "vmlDrawing")
        pointer = package.relate(sheet, boxes, "vmlDrawing")
        piece = b'<%slegacyDrawing xmlns:r="%s" r:id="%s"/>' % (
            whole.prefix, RELATION_TYPE.encode(), pointer.encode(),
        )  # fmt: skip
        package.put(sheet, insert(xml, whole.place_before(AFTER_DRAWING), piece))
    else:
        element = whole.named("legacyDrawing")[0]
        pointed = re.search(rb":id=([\"'])(.*?)\1", xml[element.start : element.end])
        boxes = pointers[pointed[2].decode()].target if pointed else boxes
    return Parts(words, boxes)


def _with_words(xml: bytes, notes: Mapping[str, str]) -> tuple[bytes, list[str]]:
    """The comments with the words added, and the cells that had no comment before."""
    waiting = dict(notes)

    def more(match: re.Match[bytes]) -> bytes:
        ref = REF.search(match["head"])
        words = waiting.pop(ref[2].decode(), None) if ref else None
        return match.group() if words is None else _appended(match.group(), f"\n{framed(words)}")

    xml = COMMENT.sub(more, xml)
    if not waiting:
        return xml, []
    prefix = outline(xml, "comments").prefix
    made = b"".join(_comment(cell, words, len(AUTHORS.findall(xml))) for cell, words in waiting.items())
    xml = _into(xml, b"authors", prefixed(AUTHOR, prefix))
    return _into(xml, b"commentList", prefixed(made, prefix)), list(waiting)


def framed(words: str) -> str:
    """Words between the two lines by which they are known again."""
    return f"{BEGIN}\n{plain_text(words[:LONGEST])}\n{END}"


def _comment(cell: str, words: str, author: int) -> bytes:
    """A comment of its own."""
    text = f'<t xml:space="preserve">{escape(framed(words))}</t>'
    return f'<comment ref="{cell}" authorId="{author}" shapeId="0"><text>{text}</text></comment>'.encode()


def _into(xml: bytes, name: bytes, piece: bytes) -> bytes:
    """A list with one more entry at its end, opened first where it is empty."""
    xml = re.sub(rb"<((?:[\w.-]+:)?" + name + rb")\b([^<>]*)/>", rb"<\1\2></\1>", xml)
    closed = re.search(rb"</(?:[\w.-]+:)?" + name + rb"\s*>", xml)
    if closed is None:
        raise damaged("comments")
    return insert(xml, closed.start(), piece)


def _appended(comment: bytes, words: str) -> bytes:
    """A comment with more words below its own: in a run of their own where it has runs."""
    runs = list(re.finditer(rb"</((?:[\w.-]+:)?)r>", comment))
    if runs:
        run = f'<r><t xml:space="preserve">{escape(words)}</t></r>'.encode()
        return insert(comment, runs[-1].end(), prefixed(run, runs[-1][1]))
    piece = PIECE.search(comment)
    if piece:
        return insert(comment, piece.end(), escape(words).encode())
    blank = re.compile(rb"<((?:[\w.-]+:)?)text\b[^<>]*(?:/>|>\s*(?:<[^<>]*/>)?\s*</\1text>)")
    text = escape(words).encode()
    return blank.sub(
        lambda each: b"<%stext><%st>%s</%st></%stext>" % (each[1], each[1], text, each[1], each[1]), comment
    )


def _without_words(xml: bytes) -> tuple[bytes, list[str]]:
    """The comments without the words of the copy, and the cells whose comment held nothing else."""
    gone: list[str] = []

    def less(match: re.Match[bytes]) -> bytes:
        left, empty = _cut(match.group())
        ref = REF.search(match["head"])
        if empty and ref:
            gone.append(ref[2].decode())
            return b""
        return left

    xml = COMMENT.sub(less, xml)
    at = len(AUTHORS.findall(xml)) - 1
    last = re.compile(rb"<((?:[\w.-]+:)?)author>" + AUTHOR_NAME + rb"</\1author>(?=\s*</(?:[\w.-]+:)?authors>)")
    if not re.search(rb"authorId=[\"']%d[\"']" % at, xml):
        xml = last.sub(b"", xml)
    return xml, gone


def _cut(comment: bytes) -> tuple[bytes, bool]:
    """One comment without the words of the copy, and whether it was made by the copy altogether."""
    pieces = list(PIECE.finditer(comment))
    whole = b"".join(each[2] for each in pieces)
    added = ADDED.search(whole)
    if added is None:
        return comment, False
    if added[1] is None and not (whole[: added.start()] + whole[added.end() :]).strip():
        return b"", True
    end = len(whole)
    for each in reversed(pieces):
        start = end - len(each[2])
        first, last = max(added.start(), start) - start, min(added.end(), end) - start
        if first < last:
            left = each[2][:first] + each[2][last:]
            comment = comment[: each.start(2)] + left + comment[each.end(2) :]
        end = start
    return BARE_RUN.sub(b"", comment), False


def _drop(package: Package, sheet: str, parts: Parts) -> None:
    """Take away parts that hold nothing any more."""
    package.unrelate(sheet, parts.words)
    package.drop(parts.words)
    if not parts.boxes or b"ClientData" in package.xml(parts.boxes):
        return
    xml = package.xml(sheet)
    for element in outline(xml, sheet).named("legacyDrawing"):
        package.put(sheet, xml[: element.start] + xml[element.end :])
    package.unrelate(sheet, parts.boxes)
    package.drop(parts.boxes)
