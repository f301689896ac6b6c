"""Comments and notes that people hang on cells."""

from pipeline.workbook.container import Container
from pipeline.workbook.parts import Relation
from pipeline.workbook.safe_xml import local, tree
from pipeline.workbook.texts import unescape

KINDS = ("/comments", "/threadedComment")
LONGEST = 300


def comments_of(container: Container, pointers: dict[str, Relation]) -> dict[str, str]:
    """The comments of a sheet by the address of their cell."""
    found: dict[str, str] = {}
    for pointer in pointers.values():
        if not pointer.kind.endswith(KINDS):
            continue
        for element in tree(container.part(pointer.target), pointer.target).iter():
            if local(element.tag) in {"comment", "threadedComment"}:
                words = [each.text or "" for each in element.iter() if local(each.tag) in {"t", "text"}]
                found[element.get("ref", "")] = unescape("".join(words)).strip()[:LONGEST]
    return found
