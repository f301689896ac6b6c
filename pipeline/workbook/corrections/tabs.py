"""The sheet of corrections as the first tab of the workbook, and the way back to the tabs as they were."""

import re
from typing import NamedTuple
from xml.sax.saxutils import escape, quoteattr, unescape

from pipeline.workbook.corrections.package import RELATION_TYPE, Package, prefixed
from pipeline.workbook.corrections.splice import insert, outline

TITLE = "Corrections"
NAME = "handover_corrections"
"""A name for the sheet that other programs keep, however they call its part or the admin its tab."""
VIEW = "handover_view"
PART = "xl/worksheets/corrections.xml"
"""Programs that save a workbook give its parts names of their own: where this one is found, nobody has saved since."""
AFTER_NAMES = (
    "calcPr", "oleSize", "customWorkbookViews", "pivotCaches", "smartTagPr", "smartTagTypes", "webPublishing",
    "fileRecoveryPr", "webPublishObjects", "extLst",
)  # fmt: skip
ACTIVE = re.compile(rb'(<(?:[\w.-]+:)?workbookView\b[^<>]*?\bactiveTab=")(\d+)')
CHOSEN = re.compile(rb'(<(?:[\w.-]+:)?sheetView\b[^<>]*?\btabSelected=")([01])')
OF_SHEET = re.compile(rb'\blocalSheetId="(\d+)"')
ENTRY = re.compile(rb"<(?:[\w.-]+:)?sheet\b[^<>]*/>")
DEFINED = re.compile(rb"<((?:[\w.-]+:)?)definedName\b([^<>]*)>([^<]*)</\1definedName>")


class Tab(NamedTuple):
    """Where the sheet of corrections stands, and its part."""

    place: int
    title: str
    part: str


def free_title(package: Package) -> str:
    """The title of the sheet of corrections; the admin may have a sheet of that name."""
    taken = {each.title.casefold() for each in package.book().sheets}
    number, title = 1, TITLE
    while title.casefold() in taken:
        number += 1
        title = f"{TITLE} {number}"
    return title


def add_tab(package: Package, title: str, sheet: bytes, heading: int) -> None:
    """Put the sheet before all others and let the workbook open on it; its row of headings stands on each page."""
    chosen = _choose_none(package)
    part = package.add_part(PART, sheet, "spreadsheetml.worksheet+xml")
    pointer = package.relate(package.main, part, "worksheet")
    xml = package.xml(package.main)
    active = ACTIVE.search(xml)
    named = "named" if b"definedNames" in xml else "-"
    view = f"{active[2].decode() if active else '-'} {','.join(map(str, chosen)) or '-'} {named}"
    xml = ACTIVE.sub(rb"\g<1>0", xml)
    xml = OF_SHEET.sub(lambda each: b'localSheetId="%d"' % (int(each[1]) + 1), xml)
    number = max(map(int, re.findall(rb'\bsheetId="(\d+)"', xml)), default=0) + 1
    entry = f'<sheet xmlns:r="{RELATION_TYPE}" name={quoteattr(title)} sheetId="{number}" r:id="{pointer}"/>'
    whole = outline(xml, package.main)
    first = ENTRY.search(xml, whole.named("sheets")[0].start)
    xml = insert(xml, first.start() if first else whole.end, prefixed(entry.encode(), whole.prefix))
    package.put(package.main, _with_names(xml, package.main, (title, heading, view)))


def _with_names(xml: bytes, part: str, tab: tuple[str, int, str]) -> bytes:
    """The workbook with the names that lead back: to the sheet, to the tabs that were chosen, to its heading."""
    title, heading, view = tab
    quoted = escape(f"'{title}'" if " " in title else title)
    names = (
        f'<definedName name="_xlnm.Print_Titles" localSheetId="0">{quoted}!${heading}:${heading}</definedName>'
        f'<definedName name="{NAME}">{quoted}!$A$1</definedName>'
        f'<definedName name="{VIEW}" hidden="1">"{view}"</definedName>'
    ).encode()
    whole = outline(xml, part)
    found = whole.named("definedNames")
    tag = whole.prefix + b"definedNames"
    if not found:
        made = b"<%s>%s</%s>" % (tag, prefixed(names, whole.prefix), tag)
        return insert(xml, whole.place_before(AFTER_NAMES), made)
    start = found[0].start
    close = xml.index(b">", start)
    if xml[close - 1 : close] == b"/":
        made = b"<%s>%s</%s>" % (tag, prefixed(names, whole.prefix), tag)
        return xml[:start] + made + xml[close + 1 :]
    return insert(xml, close + 1, prefixed(names, whole.prefix))


def _choose_none(package: Package) -> list[int]:
    """Unmark the chosen tabs: two chosen at once would be typed into together; gives their places."""
    found = []
    for index, sheet in enumerate(package.sheets()):
        xml = package.xml(sheet.part)
        if any(each[2] == b"1" for each in CHOSEN.finditer(xml)):
            package.put(sheet.part, CHOSEN.sub(rb"\g<1>0", xml))
            found.append(index)
    return found


def is_marked(package: Package) -> bool:
    """Whether a workbook carries marks."""
    return NAME.encode() in package.xml(package.main)


def take_tab(package: Package) -> None:
    """Take the sheet of corrections away, and let the workbook open where the admin left it."""
    names = {_attribute(each[2], b"name"): each[3].decode() for each in DEFINED.finditer(package.xml(package.main))}
    title = unescape(names.get(NAME, "")).rpartition("!")[0].strip("'").replace("''", "'")
    tabs = [Tab(n, each.title, each.part) for n, each in enumerate(package.book().sheets)]
    tab = next((each for each in tabs if each.title == title), None)
    active, chosen, named = (names.get(VIEW, "").strip('"') + " - - -").split()[:3]
    if tab:
        _remove(package, tab, active)
    xml = package.xml(package.main)
    for each in DEFINED.finditer(xml):
        if _attribute(each[2], b"name") in {NAME, VIEW}:
            xml = xml.replace(each.group(), b"", 1)
    empty = rb"<\1/>" if named == "named" else b""
    package.put(package.main, re.sub(rb"<((?:[\w.-]+:)?definedNames)\b[^<>]*></\1>", empty, xml))
    for number in (int(each) for each in chosen.split(",") if each.isdigit()):
        for sheet in package.sheets()[number : number + 1]:
            package.put(sheet.part, CHOSEN.sub(rb"\g<1>1", package.xml(sheet.part), count=1))


def _remove(package: Package, tab: Tab, active: str) -> None:
    """Take one tab out of the workbook; what counts tabs counts on."""
    xml = package.xml(package.main)
    entries = list(ENTRY.finditer(xml, outline(xml, package.main).named("sheets")[0].start))
    xml = xml.replace(entries[tab.place].group(), b"", 1)
    for each in DEFINED.finditer(xml):
        if _attribute(each[2], b"localSheetId") == str(tab.place):
            xml = xml.replace(each.group(), b"", 1)
    xml = OF_SHEET.sub(lambda each: b'localSheetId="%d"' % _before(int(each[1]), tab.place), xml)
    was = int(active) if active.isdigit() else 0
    xml = ACTIVE.sub(
        lambda each: each[1] + b"%d" % (was if int(each[2]) == tab.place else _before(int(each[2]), tab.place)), xml
    )
    package.put(package.main, xml)
    package.unrelate(package.main, tab.part)
    package.drop(tab.part)


def _before(number: int, removed: int) -> int:
    """The place of a tab once another one is gone."""
    return number - 1 if number > removed else number


def _attribute(head: bytes, name: bytes) -> str:
    """The value of an attribute in a start tag."""
    found = re.search(rb"\b" + name + rb'="([^"]*)"', head)
    return found[1].decode() if found else ""
