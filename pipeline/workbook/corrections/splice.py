"""Where the elements of a part's XML begin and end, so that others can be put between them and nothing else changes."""

import re
from collections.abc import Sequence
from typing import NamedTuple
from xml.parsers import expat

from pipeline.workbook.corrections.package import prefixed
from pipeline.workbook.safe_xml import damaged, forbidden

# a million cells are nothing to look into: only what stands around them
SHEET_DATA = re.compile(rb"<((?:[\w.-]+:)?)sheetData\b[^<>]*(?<!/)>")


class Element(NamedTuple):
    """One child of the root: name without prefix, where it and the next one begin, how many children it has."""

    name: str
    start: int
    end: int
    children: int


class Outline(NamedTuple):
    """The children of a root in their order, the prefix of the root, and where its end tag begins."""

    elements: tuple[Element, ...]
    prefix: bytes
    end: int

    def place_before(self, followers: Sequence[str]) -> int:
        """Where an element belongs that has to stand before these."""
        return next((each.start for each in self.elements if each.name in followers), self.end)

    def named(self, name: str) -> list[Element]:
        """The children of that name."""
        return [each for each in self.elements if each.name == name]


def outline(xml: bytes, part: str) -> Outline:
    """The outline of a part; raises WorkbookRefusedError where it is damaged."""
    hole, width = _sheet_data(xml)
    starts: list[list[object]] = []
    depth, root, end = 0, "", 0

    def place() -> int:
        at = reader.CurrentByteIndex
        return at + width if at > hole else at

    def open_(name: str, _: dict[str, str]) -> None:
        nonlocal depth, root
        depth += 1
        if depth == 1:
            root = name
        elif depth == 2:
            starts.append([name.rpartition(":")[2], place(), 0])
        elif depth == 3:
            starts[-1][2] = int(str(starts[-1][2])) + 1

    def close(_: str) -> None:
        nonlocal depth, end
        depth -= 1
        if depth == 0:
            end = place()

    def refuse(*_: object) -> None:
        raise forbidden(part)

    reader = expat.ParserCreate()
    reader.StartDoctypeDeclHandler = refuse
    reader.StartElementHandler, reader.EndElementHandler = open_, close
    try:
        reader.Parse(xml[:hole] + xml[hole + width :], True)  # noqa: FBT003 - expat takes no keywords
    except expat.ExpatError:
        raise damaged(part) from None
    ends = [int(str(each[1])) for each in starts[1:]] + [end]
    elements = tuple(
        Element(str(name), int(str(start)), stop, int(str(children)))
        for (name, start, children), stop in zip(starts, ends, strict=True)
    )
    prefix, colon, _ = root.rpartition(":")
    return Outline(elements, f"{prefix}{colon}".encode(), end)


def _sheet_data(xml: bytes) -> tuple[int, int]:
    """Where the cells of a sheet begin and how many bytes they take; nothing where there are none."""
    opened = SHEET_DATA.search(xml)
    if opened is None:
        return len(xml), 0
    closed = xml.rfind(b"</" + opened[1] + b"sheetData")
    return (opened.end(), closed - opened.end()) if closed >= opened.end() else (len(xml), 0)


def insert(xml: bytes, at: int, piece: bytes) -> bytes:
    """The XML with a piece put in."""
    return xml[:at] + piece + xml[at:]


def extend_list(
    xml: bytes, part: str, name: str, pieces: Sequence[bytes], followers: Sequence[str]
) -> tuple[bytes, int]:
    """Add entries to a counted list, made anew before its followers where it is missing; gives how many it had."""
    whole = outline(xml, part)
    found, added = whole.named(name), b"".join(prefixed(each, whole.prefix) for each in pieces)
    if not found:
        tag = whole.prefix + name.encode()
        # without a count, so that it is known again as a list that was not there before
        made = b"<%s>%s</%s>" % (tag, added, tag)
        return insert(xml, whole.place_before(followers), made), 0
    element = found[0]
    head, inside, tail = _opened(xml[element.start : element.end])
    head = _counted(head, element.children + len(pieces))
    return xml[: element.start] + head + inside + added + tail + xml[element.end :], element.children


def shorten_list(xml: bytes, part: str, name: str, pieces: Sequence[bytes]) -> bytes:
    """Take entries off the end of a counted list, if exactly these stand there."""
    whole = outline(xml, part)
    taken = b"".join(prefixed(each, whole.prefix) for each in pieces)
    for element in whole.named(name):
        head, inside, tail = _opened(xml[element.start : element.end])
        if inside.endswith(taken):
            left = inside.removesuffix(taken)
            if not left and b"count=" not in head:
                return xml[: element.start] + xml[element.end :]
            head = _counted(head, element.children - len(pieces))
            piece = head + left + tail if left else head[:-1] + b"/>" + tail.partition(b">")[2]
            return xml[: element.start] + piece + xml[element.end :]
    return xml


def _opened(element: bytes) -> tuple[bytes, bytes, bytes]:
    """An element's start tag, its inside, its end tag with what follows; an empty one is opened first."""
    start = re.match(rb"<([\w:.-]+)([^<>]*?)(/?)>", element)
    if start is None:
        return element, b"", b""
    if start[3]:
        return b"<" + start[1] + start[2] + b">", b"", b"</" + start[1] + b">" + element[start.end() :]
    closed = element.rindex(b"</")
    return element[: start.end()], element[start.end() : closed], element[closed:]


def _counted(head: bytes, count: int) -> bytes:
    """A start tag with another count."""
    return re.sub(rb'\bcount=(["\'])\d+\1', b'count="%d"' % count, head)
