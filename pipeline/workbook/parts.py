"""The parts of a workbook and how they point at each other; whatever reaches outside is refused."""

import posixpath
import re
from typing import NamedTuple
from xml.etree.ElementTree import Element

from pipeline.errors import WorkbookRefusedError
from pipeline.workbook.container import Container
from pipeline.workbook.safe_xml import MAIN, SAVE_AGAIN, damaged, local, tree

TYPES = "[Content_Types].xml"
WORKBOOK_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"

# content type contains → what the file is
OTHER_TYPES: tuple[tuple[str, str], ...] = (
    ("binary.macroEnabled", "a binary Excel workbook (.xlsb)"),
    ("macroEnabled", "an Excel workbook with macros (.xlsm)"),
    ("vbaProject", "an Excel workbook with macros (.xlsm)"),
    ("spreadsheetml.template", "an Excel template (.xltx)"),
    ("wordprocessingml.document", "a Word document (.docx)"),
    ("presentationml", "a presentation (.pptx)"),
)
# the end of a pointer's or a part's type → what it brings in from elsewhere
REACHING_OUT: tuple[tuple[str, str], ...] = (
    (r"externalLink", "links to other workbooks"),
    (r"connections", "a data connection"),
    (r"queryTable", "a web or database query"),
    (r"oleObject|^package$", "an embedded object"),
    (r"activeX|ctrlProp|^control$", "an embedded control"),
    (r"macrosheet|attachedToolbars|dialogsheet", "old macros"),
    (r"webextension", "an add-in"),
)


# the name of a part → what it brings in
BY_NAME: tuple[tuple[str, str], ...] = (
    (r"vbaProject|vbaData|/macrosheets/", "macros"),
    (r"(^|/)externalLinks/", "links to other workbooks"),
    (r"(^|/)(connections\.xml|queryTables/)", "a data connection"),
    (r"(^|/)embeddings/", "an embedded object"),
    (r"(^|/)activeX/", "an embedded control"),
    (r"^customUI/|(^|/)webextensions/", "an add-in"),
)
VALUES_ALONE = "Copy the values alone into a fresh workbook (Paste Special, Values) and save that."


class Relation(NamedTuple):
    """One pointer from a part to another."""

    kind: str
    target: str
    outside: bool


class SheetPart(NamedTuple):
    """One sheet of the workbook and the part that holds it."""

    title: str
    part: str
    hidden: bool


class Book(NamedTuple):
    """What the workbook's main part says."""

    sheets: tuple[SheetPart, ...]
    relations: dict[str, Relation]
    epoch_1904: bool
    formulas: tuple[str, ...]


def main_part(container: Container) -> str:
    """Name of the workbook's main part; raises WorkbookRefusedError where the file is of another kind."""
    _refuse_other_zips(container)
    listed = list(tree(container.part(TYPES), TYPES).iter())
    kinds = [each.get("ContentType", "") for each in listed]
    for mark, what in OTHER_TYPES:
        if any(mark in kind for kind in kinds):
            raise WorkbookRefusedError(f"The file is {what}, not a plain Excel workbook.", SAVE_AGAIN)
    _refuse_by_name(container)
    refuse_reaching_out(kinds)
    mains = [each.get("PartName", "").lstrip("/") for each in listed if each.get("ContentType") == WORKBOOK_TYPE]
    if len(mains) != 1:
        raise WorkbookRefusedError("The file is not an Excel workbook.", SAVE_AGAIN)
    return mains[0]


def _refuse_other_zips(container: Container) -> None:
    """Refuse OpenDocument files and archives of anything else."""
    if "mimetype" in container.names and b"opendocument" in container.part("mimetype"):
        raise WorkbookRefusedError("The file is an OpenDocument file (.ods or alike).", SAVE_AGAIN)
    if TYPES not in container.names:
        raise WorkbookRefusedError("The file is a zip archive, not an Excel workbook.", "Choose the week's workbook.")


def _refuse_by_name(container: Container) -> None:
    """Refuse parts that are what their place in the file says, though no list declares them."""
    for name in sorted(container.names):
        for mark, what in BY_NAME:
            if re.search(mark, name, re.IGNORECASE):
                raise WorkbookRefusedError(f"The workbook holds {what}; only typed values are taken.", VALUES_ALONE)


def refuse_reaching_out(kinds: list[str]) -> None:
    """Refuse a workbook that brings in something from elsewhere, by the types of its parts and pointers."""
    ends = [kind.rpartition("/")[2] for kind in kinds]
    for mark, what in REACHING_OUT:
        if any(re.search(mark, end, re.IGNORECASE) for end in ends):
            raise WorkbookRefusedError(
                f"The workbook holds {what}; only typed values are taken.",
                VALUES_ALONE,
            )


def relations(container: Container, part: str) -> dict[str, Relation]:
    """The pointers of a part by their id; raises WorkbookRefusedError where one reaches outside."""
    folder, name = posixpath.split(part)
    path = posixpath.join(folder, "_rels", f"{name}.rels")
    if path not in container.names:
        return {}
    found = {}
    for each in tree(container.part(path), path):
        outside = each.get("TargetMode") == "External"
        target = each.get("Target", "")
        if not outside:
            target = posixpath.normpath(posixpath.join("/", folder, target)).lstrip("/")
        found[each.get("Id", "")] = Relation(each.get("Type", ""), target, outside)
    # an address typed in a cell becomes a hyperlink; it is a text like any other and never followed
    for pointer in found.values():
        if pointer.outside and not pointer.kind.endswith("/hyperlink"):
            raise WorkbookRefusedError(
                "The workbook fetches something from outside (a picture or a link).",
                "Remove it, or copy the values alone into a fresh workbook and save that.",
            )
    refuse_reaching_out([pointer.kind for pointer in found.values()])
    return found


def check_pointers(container: Container) -> None:
    """Refuse whatever reaches outside, wherever in the file its pointer stands."""
    for name in sorted(container.names):
        folder, file = posixpath.split(name)
        if file.endswith(".rels") and posixpath.basename(folder) == "_rels":
            relations(container, posixpath.join(posixpath.dirname(folder), file.removesuffix(".rels")))


def book(container: Container, main: str) -> Book:
    """Sheets in their order, the pointers, the calendar and the named formulas of the workbook."""
    root = tree(container.part(main), main)
    if not root.tag.startswith(f"{{{MAIN}}}"):
        raise WorkbookRefusedError("The workbook is in the 'Strict' variant of the Excel format.", SAVE_AGAIN)
    pointers = relations(container, main)
    sheets = tuple(_sheet(each, pointers, main) for each in root.iter(f"{{{MAIN}}}sheet"))
    titles = [each.title.casefold() for each in sheets]
    for each in sheets:
        if titles.count(each.title.casefold()) > 1:
            raise WorkbookRefusedError(f"Two sheets are called '{each.title}'.", "Rename or remove one of them.")
    settings = root.find(f"{{{MAIN}}}workbookPr")
    names = tuple(each.text or "" for each in root.iter(f"{{{MAIN}}}definedName"))
    return Book(sheets, pointers, settings is not None and settings.get("date1904", "0") in {"1", "true"}, names)


def _sheet(element: Element, pointers: dict[str, Relation], main: str) -> SheetPart:
    """One sheet of the list with the part that it points at."""
    pointer = next((value for name, value in element.attrib.items() if local(name) == "id" and "}" in name), "")
    if pointer not in pointers:
        raise damaged(main)
    return SheetPart(element.get("name", ""), pointers[pointer].target, element.get("state", "visible") != "visible")


def target(pointers: dict[str, Relation], kind: str) -> str:
    """The part that a pointer of this kind names, or nothing."""
    return next((each.target for each in pointers.values() if each.kind.endswith(f"/{kind}")), "")
