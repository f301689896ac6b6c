"""The boxes in which comments are shown: an old drawing language that Excel still asks for beside the words."""

import re
from collections.abc import Mapping, Sequence

from pipeline.workbook.hues import LINE, lines_height

VML, OFFICE, EXCEL = (f"urn:schemas-microsoft-com:{name}" for name in ("vml", "office:office", "office:excel"))
EMPTY_DRAWING = f'<xml xmlns:v="{VML}" xmlns:o="{OFFICE}" xmlns:x="{EXCEL}"></xml>'.encode()
KIND = (
    f'<v:shapetype xmlns:v="{VML}" xmlns:o="{OFFICE}" id="_x0000_t202" coordsize="21600,21600" o:spt="202" '
    'path="m,l,21600r21600,l21600,xe"><v:stroke joinstyle="miter"/><v:path gradientshapeok="t" o:connecttype="rect"/>'
    "</v:shapetype>"
).encode()
WIDTH = 270
"""Width of a box in points; about 52 letters stand on one of its lines."""
ON_A_LINE = 52
BOX = re.compile(rb"<((?:[\w.-]+:)?)shape\b(?:(?!</(?:[\w.-]+:)?shape>).)*</\1shape>", re.DOTALL)
NUMBER = re.compile(rb"_x0000_s(\d+)")
CELL = re.compile(r"([A-Z]+)([0-9]+)")


def add_boxes(xml: bytes, notes: Mapping[str, str]) -> bytes:
    """A drawing with a box for each of these cells."""
    number = max((int(each) for each in NUMBER.findall(xml)), default=1024)
    made = [] if b'_x0000_t202"' in xml.replace(b"#_x0000_t202", b"") else [KIND]
    made += [_box(cell, words, number + nth) for nth, (cell, words) in enumerate(notes.items(), start=1)]
    at = xml.rindex(b"</")
    return xml[:at] + b"".join(made) + xml[at:]


def take_boxes(xml: bytes, cells: Sequence[str]) -> bytes:
    """A drawing without the boxes of these cells."""
    places = {place_of(cell) for cell in cells}
    xml = BOX.sub(lambda box: b"" if _stands_at(box.group()) in places else box.group(), xml)
    return xml if BOX.search(xml) else xml.replace(KIND, b"")


def _stands_at(box: bytes) -> tuple[int, int]:
    """Row and column of a box, both from 0."""
    row, column = (re.search(rb"<(?:[\w.-]+:)?%s>\s*(\d+)\s*<" % name, box) for name in (b"Row", b"Column"))
    return (int(row[1]), int(column[1])) if row and column else (-1, -1)


def place_of(cell: str) -> tuple[int, int]:
    """Row and column of a cell, both from 0."""
    match = CELL.fullmatch(cell)
    if match is None:
        return (-1, -1)
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - 64
    return int(match[2]) - 1, column - 1


def _box(cell: str, words: str, number: int) -> bytes:
    """The box of one comment, hidden until the pointer is over its cell."""
    row, column = place_of(cell)
    height = sum(lines_height(line, ON_A_LINE) - 2 for line in words.split("\n")) + 3 * LINE
    return (
        f'<v:shape xmlns:v="{VML}" xmlns:o="{OFFICE}" xmlns:x="{EXCEL}" id="_x0000_s{number}" type="#_x0000_t202" '
        f'style="position:absolute;margin-left:60pt;margin-top:2pt;width:{WIDTH}pt;height:{height:.0f}pt;z-index:1;'
        'visibility:hidden" fillcolor="#ffffff" o:insetmode="auto"><v:fill color2="#ffffff"/>'
        '<v:shadow color="black" obscured="t"/><v:path o:connecttype="none"/>'
        '<v:textbox style="mso-direction-alt:auto"><div style="text-align:left"></div></v:textbox>'
        '<x:ClientData ObjectType="Note"><x:MoveWithCells/><x:SizeWithCells/><x:AutoFill>False</x:AutoFill>'
        f"<x:Row>{row}</x:Row><x:Column>{column}</x:Column></x:ClientData></v:shape>"
    ).encode()
