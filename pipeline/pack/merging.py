"""Several tagged PDFs become one, tags and headings included.

Copying pages alone would lose the structure tree, so it is rebuilt: one Part per document below one Document,
with all its numbers moved on. Structure trees: ISO 32000-1, 14.7; the number tree of parents: 14.7.4.4.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from pipeline.errors import MachineError
from pipeline.pack.opening import opened
from pipeline.pack.pictures import restore_pictures

if TYPE_CHECKING:
    import pikepdf


@dataclass(frozen=True, slots=True)
class Source:
    """A converted document, opened, its pictures given back; `silent` when a picture's tag still holds nothing."""

    pdf: "pikepdf.Pdf" = field(repr=False)
    silent: bool


@dataclass(frozen=True, slots=True)
class Part:
    """One document on its way into the pack: its title in outline and tags, its PDF, and its language if another."""

    title: str
    source: Source
    language: str = ""


@contextmanager
def sources(pdfs: Mapping[str, bytes]) -> Iterator[dict[str, Source]]:
    """Converted documents by name, opened once for all that is made of them."""
    with ExitStack() as stack:
        yield {name: _source(stack.enter_context(opened(content, mend=True))) for name, content in pdfs.items()}


def _source(pdf: "pikepdf.Pdf") -> Source:
    """An opened document with its pictures given back."""
    return Source(pdf, silent=restore_pictures(pdf))


@contextmanager
def merged(parts: Sequence[Part], language: str) -> "Iterator[pikepdf.Pdf]":
    """All parts as one open PDF with tags, outline, page labels and output intent, still without metadata.

    `language` is a tag of BCP 47. A single part keeps its own headings as outline.
    Raises `MachineError` when a part has no tags or its roles contradict those of another.
    """
    import pikepdf  # noqa: PLC0415

    with pikepdf.Pdf.new() as pdf:
        tree = _Tree(pdf)
        for part in parts:
            first = len(pdf.pages)
            pdf.pages.extend(part.source.pdf.pages)
            tree.graft(part, first, part.language if part.language != language else "")
        tree.finish()
        _outline(pdf, parts)
        lead = parts[0].source.pdf
        pdf.Root.OutputIntents = pdf.copy_foreign(lead.make_indirect(lead.Root.OutputIntents))
        _catalogue(pdf, language)
        yield pdf


class _Tree:
    """The structure tree of the pack while it grows."""

    def __init__(self, pdf: "pikepdf.Pdf") -> None:
        """An empty tree: a root with one Document."""
        import pikepdf  # noqa: PLC0415

        self._pdf = pdf
        self._next = 0
        self._parents: list[Any] = []
        self._roles: dict[str, Any] = {}
        self._root = pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.StructTreeRoot))
        self._document = pdf.make_indirect(
            pikepdf.Dictionary(Type=pikepdf.Name.StructElem, S=pikepdf.Name.Document, P=self._root, K=pikepdf.Array())
        )

    def graft(self, part: Part, first: int, language: str) -> None:
        """Hang the tree of one document in as a Part; its pages are in the pack from index `first` on."""
        import pikepdf  # noqa: PLC0415

        source = part.source.pdf
        if "/StructTreeRoot" not in source.Root:
            raise MachineError(f"The PDF of {part.title} has no tags.", "Take the supplied template again.")
        theirs = self._pdf.copy_foreign(source.Root.StructTreeRoot)
        self._document.K.append(self._part(part.title, theirs, language))
        self._learn_roles(part.title, theirs.get("/RoleMap", pikepdf.Dictionary()))
        last = -1
        for number, parents in pikepdf.NumberTree(theirs.ParentTree).items():
            self._parents += [number + self._next, parents]
            last = max(last, number)
        for page in list(self._pdf.pages)[first:]:
            _move_numbers(page.obj, self._next)
        self._next += last + 1

    def finish(self) -> None:
        """Write the root into the catalogue."""
        import pikepdf  # noqa: PLC0415

        self._root.K = self._document
        self._root.ParentTree = self._pdf.make_indirect(pikepdf.Dictionary(Nums=pikepdf.Array(self._parents)))
        self._root.ParentTreeNextKey = self._next
        if self._roles:
            self._root.RoleMap = pikepdf.Dictionary(self._roles)
        self._pdf.Root.StructTreeRoot = self._root

    def _part(self, title: str, theirs: Any, language: str) -> Any:
        """The Part element: what stood below the other document's root."""
        import pikepdf  # noqa: PLC0415

        part = self._pdf.make_indirect(
            pikepdf.Dictionary(Type=pikepdf.Name.StructElem, S=pikepdf.Name.Part, P=self._document, T=title)
        )
        if language:
            part.Lang = language
        tops = list(theirs.K) if isinstance(theirs.K, pikepdf.Array) else [theirs.K]
        kids = pikepdf.Array()
        for top in tops:
            inner = top.get("/K", []) if str(top.S) == "/Document" else top
            kids.extend(list(inner) if isinstance(inner, pikepdf.Array) else [inner])
        for kid in kids:
            kid.P = part
        part.K = kids
        return part

    def _learn_roles(self, title: str, roles: Any) -> None:
        """Take over what styles stand for; a role that stands for itself would be a circle and is left out."""
        for name, role in roles.items():
            if str(role) == name:
                continue
            if self._roles.setdefault(name, role) != role:
                raise MachineError(
                    f"The style {name[1:]} of {title} means {role}, in an earlier document {self._roles[name]}.",
                    "Give the style another name in one of the two templates.",
                )


def _move_numbers(page: Any, offset: int) -> None:
    """Add `offset` to the structure numbers of a page, its annotations and its forms."""
    if "/StructParents" in page:
        page.StructParents = page.StructParents + offset
    for note in page.get("/Annots", []):
        if "/StructParent" in note:
            note.StructParent = note.StructParent + offset
    for form in page.get("/Resources", {}).get("/XObject", {}).values():
        for key in ("/StructParent", "/StructParents"):
            if key in form:
                form[key] = form[key] + offset


def _outline(pdf: "pikepdf.Pdf", parts: Sequence[Part]) -> None:
    """Headings of each document, below its title where there are several documents."""
    import pikepdf  # noqa: PLC0415

    first = 0
    with pdf.open_outline() as outline:
        for part in parts:
            source = part.source.pdf
            with source.open_outline() as theirs:
                headings = _headings(source, theirs.root, pdf, first)
            if len(parts) == 1:
                outline.root.extend(headings)
            else:
                top = pikepdf.OutlineItem(part.title, first, "Fit")
                top.children.extend(headings)
                outline.root.append(top)
            first += len(source.pages)


def _headings(
    source: "pikepdf.Pdf", items: "Sequence[pikepdf.OutlineItem]", pdf: "pikepdf.Pdf", first: int
) -> "list[pikepdf.OutlineItem]":
    """Outline items of a document, pointing at the same places in the pack."""
    import pikepdf  # noqa: PLC0415

    numbers: dict[Any, int] = {page.obj.objgen: number for number, page in enumerate(source.pages)}
    copies = []
    for item in items:
        place = item.destination
        if not isinstance(place, pikepdf.Array) or place[0].objgen not in numbers:
            continue
        page = pdf.pages[first + numbers[place[0].objgen]].obj
        copy = pikepdf.OutlineItem(item.title, pikepdf.Array([page, *list(place)[1:]]))
        copy.children.extend(_headings(source, item.children, pdf, first))
        copies.append(copy)
    return copies


def _catalogue(pdf: "pikepdf.Pdf", language: str) -> None:
    """What a reader needs to know of the whole: language, tags, title bar, page labels, tab order."""
    import pikepdf  # noqa: PLC0415

    root = pdf.Root
    root.Lang = language
    root.MarkInfo = pikepdf.Dictionary(Marked=True)
    root.ViewerPreferences = pikepdf.Dictionary(DisplayDocTitle=True)
    root.PageMode = pikepdf.Name.UseOutlines
    root.PageLabels = pikepdf.Dictionary(Nums=[0, pikepdf.Dictionary(S=pikepdf.Name.D)])
    for page in pdf.pages:
        page.obj.Tabs = pikepdf.Name.S
