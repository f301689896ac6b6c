"""What screen readers and links rely on, and a validator does not ask of every page: tags for it, places that exist."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pikepdf

_DEEPEST = 200  # levels of tags; more would be a circle


def structure_problems(pdf: "pikepdf.Pdf") -> Iterator[str]:
    """Pages that the tree of tags does not reach (ISO 32000-1, 14.7.4.4)."""
    import pikepdf  # noqa: PLC0415

    root: Any = pdf.Root.get("/StructTreeRoot")
    if root is None or "/ParentTree" not in root:
        yield "The file has no tags."
        return
    parents = pikepdf.NumberTree(root.ParentTree)
    for number, page in enumerate(pdf.pages, start=1):
        key = page.obj.get("/StructParents")
        owners: Any = parents[int(key)] if key is not None and int(key) in parents else []
        if not any(_reaches(owner, root) for owner in owners):
            yield f"Page {number} is not covered by the tags."


def destination_problems(pdf: "pikepdf.Pdf") -> Iterator[str]:
    """Bookmarks and links that lead to no page of the file."""
    pages = {page.obj.objgen for page in pdf.pages}
    with pdf.open_outline() as outline:
        items = list(_all(outline.root))
    if not items:
        yield "The file has no bookmarks."
    for item in items:
        action: Any = item.action or {}
        if not _leads(item.destination or action.get("/D"), pages):
            yield f"The bookmark {item.title} leads to no page."
    for number, page in enumerate(pdf.pages, start=1):
        notes: Any = page.obj.get("/Annots", [])
        for note in notes:
            action = note.get("/A", {})
            inside = "/Dest" in note or action.get("/S") == "/GoTo"
            if inside and not _leads(note.get("/Dest", action.get("/D")), pages):
                yield f"A link on page {number} leads to no page."


def _reaches(element: Any, root: Any) -> bool:
    """Whether an element of the structure hangs on its root."""
    for _ in range(_DEEPEST):
        if element is None or not hasattr(element, "objgen"):
            return False
        if element.objgen == root.objgen:
            return True
        element = element.get("/P")
    return False


def _all(items: "Iterable[pikepdf.OutlineItem]") -> "Iterator[pikepdf.OutlineItem]":
    """Bookmarks with those below them."""
    for item in items:
        yield item
        yield from _all(item.children)


def _leads(place: Any, pages: set[tuple[int, int]]) -> bool:
    """Whether a destination begins with a page of the file."""
    try:
        return place[0].objgen in pages
    except (TypeError, AttributeError, IndexError, ValueError):
        return False
