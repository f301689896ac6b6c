"""What the cell formats of a workbook mean for its reader: number format, hidden, struck through, marked red."""

import re
from typing import NamedTuple
from xml.etree.ElementTree import Element

from pipeline.workbook.cells import Look
from pipeline.workbook.safe_xml import MAIN, damaged, tree

PAPER = {"FFFFFF"}
# places of the old palette (ECMA-376, 18.8.27: from memory) that hide or stress
OLD_PALETTE = {"1": "FFFFFF", "9": "FFFFFF", "2": "FF0000", "10": "FF0000"}
WHITE_THEME = "0"
RED = {"FF0000", "C00000", "FFC7CE", "FF5050", "FF6666", "FF7C80"}
BLANK_FORMAT = re.compile(r"^(?:\[[^\]]*\])?;{2,3}$|^;;;")


class Style(NamedTuple):
    """One cell format."""

    format: str = "General"
    is_date: bool = False
    looks: tuple[Look, ...] = ()


def styles_of(content: bytes, part: str) -> list[Style]:
    """The cell formats in the order in which cells count them; raises WorkbookRefusedError where damaged."""
    from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format  # noqa: PLC0415 - heavy

    root = tree(content, part)
    formats = dict(BUILTIN_FORMATS)
    try:
        for each in root.iter(_tag("numFmt")):
            formats[int(each.attrib["numFmtId"])] = each.get("formatCode", "General")
        fonts, fills = _children(root, "fonts"), _children(root, "fills")
        made = []
        for each in _children(root, "cellXfs"):
            code = formats.get(int(each.get("numFmtId", "0")), "General")
            looks = _looks(code, _at(fonts, each, "fontId"), _at(fills, each, "fillId"))
            made.append(Style(code, bool(is_date_format(code)), looks))
    except (ValueError, KeyError):
        raise damaged(part) from None
    return made or [Style()]


def _tag(name: str) -> str:
    """An element's full name."""
    return f"{{{MAIN}}}{name}"


def _children(root: Element, name: str) -> list[Element]:
    """The elements of one list of the styles."""
    found = root.find(_tag(name))
    return list(found) if found is not None else []


def _at(elements: list[Element], style: Element, reference: str) -> Element | None:
    """The font or fill that a cell format names."""
    index = int(style.get(reference, "0"))
    return elements[index] if 0 <= index < len(elements) else None


def _looks(code: str, font: Element | None, fill: Element | None) -> tuple[Look, ...]:
    """What a format hides or stresses."""
    ground = _colour(_find(fill, "patternFill", "fgColor")) if _solid(fill) else None
    letters = _colour(_find(font, "color"))
    strike = _find(font, "strike")
    found = {
        Look.BLANKED: bool(BLANK_FORMAT.search(code)),
        Look.INVISIBLE: letters is not None and (letters == ground or (ground is None and letters in PAPER)),
        Look.STRUCK: strike is not None and strike.get("val", "1") not in {"0", "false"},
        Look.RED: letters in RED or ground in RED,
    }
    return tuple(look for look, present in found.items() if present)


def _solid(fill: Element | None) -> bool:
    """Whether a fill covers the paper with one colour."""
    pattern = _find(fill, "patternFill")
    return pattern is not None and pattern.get("patternType") == "solid"


def _find(element: Element | None, *names: str) -> Element | None:
    """A descendant by the names on the way."""
    for name in names:
        element = element.find(_tag(name)) if element is not None else None
    return element


def _colour(element: Element | None) -> str | None:
    """Six hexadecimal digits of a colour; the theme's paper counts as white, other theme colours as unknown."""
    if element is None:
        return None
    if element.get("theme") == WHITE_THEME and not element.get("tint"):
        return "FFFFFF"
    listed = OLD_PALETTE.get(element.get("indexed", ""), "")
    return (element.get("rgb") or listed)[-6:].upper() or None
