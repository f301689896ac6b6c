"""The formats that the copy adds to the workbook's styles: those of the marks and those of the list of corrections."""

from enum import IntEnum
from typing import NamedTuple

from pipeline.workbook.corrections.depths import DEPTHS, differential
from pipeline.workbook.corrections.package import Package
from pipeline.workbook.corrections.splice import extend_list, outline, shorten_list
from pipeline.workbook.hues import INK, TINT
from pipeline.workbook.parts import target
from pipeline.workbook.safe_xml import MAIN

AFTER_FONTS = ("fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs", "tableStyles", "colors", "extLst")
AFTER = {
    "fonts": AFTER_FONTS,
    "fills": AFTER_FONTS[1:],
    "cellXfs": AFTER_FONTS[4:],
    "dxfs": AFTER_FONTS[6:],
}
PLAIN_STYLES = (
    f'<styleSheet xmlns="{MAIN}"><fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill>'
    '</fills><borders count="1"><border/></borders><cellXfs count="1"><xf/></cellXfs></styleSheet>'
).encode()


class Look(IntEnum):
    """How a cell of the list looks, in the order in which the formats are added."""

    TEXT = 0
    TITLE = 1
    HEAD = 2
    GROUP = 3
    LINK = 4
    FAIL = 5
    QUERY = 6
    NOTE = 7


class Looks(NamedTuple):
    """Where the added formats begin among those of the workbook."""

    cells: int
    marks: int

    def of(self, look: Look) -> int:
        """The number of a cell format."""
        return self.cells + look


def _font(*, bold: bool = False, colour: str = "000000", size: int = 11, line: bool = False) -> bytes:
    """A font of the list."""
    more = f"{'<b/>' if bold else ''}{'<u/>' if line else ''}"
    return f'<font>{more}<sz val="{size}"/><color rgb="FF{colour}"/><name val="Calibri"/></font>'.encode()


def _fill(colour: str) -> bytes:
    """A ground of one colour."""
    return (
        f'<fill><patternFill patternType="solid"><fgColor rgb="FF{colour}"/><bgColor rgb="FF{colour}"/>'
        "</patternFill></fill>"
    ).encode()


FONTS = (
    _font(),
    _font(bold=True, colour=INK, size=16),
    _font(bold=True, colour=INK),
    _font(colour=INK, line=True),
    _font(bold=True, colour="FFFFFF"),
)
FILLS = (_fill(TINT), *(_fill(each.ground) for each in DEPTHS))
# font and fill of each look; None is no fill
_PARTS: dict[Look, tuple[int, int | None]] = {
    Look.TEXT: (0, None),
    Look.TITLE: (1, None),
    Look.HEAD: (2, 0),
    Look.GROUP: (2, 0),
    Look.LINK: (3, None),
    Look.FAIL: (4, 1),
    Look.QUERY: (2, 2),
    Look.NOTE: (2, 3),
}


def _formats(fonts: int, fills: int) -> list[bytes]:
    """The cell formats of the list, given how many fonts and fills there were before."""
    made = []
    for look in Look:
        font, fill = _PARTS[look]
        indent = int(look not in {Look.TITLE, Look.GROUP})
        wrap = "" if look in {Look.TITLE, Look.GROUP} else ' wrapText="1"'
        ground = 0 if fill is None else fills + fill
        made.append(
            f'<xf numFmtId="0" fontId="{fonts + font}" fillId="{ground}" borderId="0" xfId="0" applyFont="1" '
            f'applyFill="1" applyAlignment="1"><alignment horizontal="left" vertical="top" indent="{indent}"'
            f"{wrap}/></xf>".encode()
        )
    return made


def add_looks(package: Package) -> Looks:
    """Add the formats to the workbook's styles."""
    part = target(package.book().relations, "styles")
    if not part:
        part = package.add_part("xl/styles.xml", PLAIN_STYLES, "spreadsheetml.styles+xml")
        package.relate(package.main, part, "styles")
    xml = package.xml(part)
    xml, fonts = extend_list(xml, part, "fonts", FONTS, AFTER["fonts"])
    xml, fills = extend_list(xml, part, "fills", FILLS, AFTER["fills"])
    xml, cells = extend_list(xml, part, "cellXfs", _formats(fonts, fills), AFTER["cellXfs"])
    xml, marks = extend_list(xml, part, "dxfs", [differential(each) for each in DEPTHS], AFTER["dxfs"])
    package.put(part, xml)
    return Looks(cells, marks)


def take_looks(package: Package) -> None:
    """Take the formats away again, where no other program has written them in its own way since.

    Formats that stay are used by no cell and do no harm.
    """
    part = target(package.book().relations, "styles")
    if not part:
        return
    before = xml = package.xml(part)
    xml = shorten_list(xml, part, "dxfs", [differential(each) for each in DEPTHS])
    xml = shorten_list(shorten_list(xml, part, "fills", FILLS), part, "fonts", FONTS)
    bases = (_count(xml, part, "fonts"), _count(xml, part, "fills"))
    package.put(part, shorten_list(xml, part, "cellXfs", _formats(*bases)) if xml != before else before)


def _count(xml: bytes, part: str, name: str) -> int:
    """How many entries a list has."""
    return sum(each.children for each in outline(xml, part).named(name))
