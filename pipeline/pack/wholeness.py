"""What a finished file must be besides its pages: files whole, descriptions alike, fonts known, pages numbered."""

import hashlib
import re
from collections.abc import Collection, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from pipeline.pack.metadata import Claim
from pipeline.pack.numbering import FROM_BELOW, number_text
from pipeline.pack.reading import Reading, flat

if TYPE_CHECKING:
    import pikepdf

_FAMILY = "LiberationSans"
# what a template, a spreadsheet or a program leaves behind when a value went missing
_LEFTOVERS = re.compile(
    r"\{\{|\}\}|\{%|%\}|#REF!|#VALUE!|#N/A|#NAME\?|#DIV/0!|\ufffd|\bNone\b(?! of\b)|\bnan\b|\bundefined\b"
)
_DC = "{http://purl.org/dc/elements/1.1/}"
_XMP = "{http://ns.adobe.com/xap/1.0/}"
_PDF = "{http://ns.adobe.com/pdf/1.3/}"
_PDFA = "{http://www.aiim.org/pdfa/ns/id/}"
_PDFUA = "{http://www.aiim.org/pdfua/ns/id/}"
_ALIKE = {
    "/Title": f"{_DC}title",
    "/Author": f"{_DC}creator",
    "/Subject": f"{_DC}description",
    "/Creator": f"{_XMP}CreatorTool",
    "/Producer": f"{_PDF}Producer",
    "/CreationDate": f"{_XMP}CreateDate",
    "/ModDate": f"{_XMP}ModifyDate",
}


def claim_of(pdf: "pikepdf.Pdf") -> Claim | None:
    """What a file says it conforms to, or nothing when it does not say PDF/A-3."""
    said = _metadata(pdf)
    if said.get(f"{_PDFA}part") != "3":
        return None
    return Claim(said.get(f"{_PDFA}conformance", ""), accessible=said.get(f"{_PDFUA}part") == "1")


def description_problems(pdf: "pikepdf.Pdf") -> Iterator[str]:
    """Entries of the document information that the XMP does not have alike."""
    said = _metadata(pdf)
    info: Any = pdf.trailer.get("/Info", {})
    for key, name in _ALIKE.items():
        entry = re.sub(r"^D:(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)Z$", r"\1-\2-\3T\4:\5:\6Z", str(info.get(key, "")))
        if entry != said.get(name, ""):
            yield f"The file says of its {key[1:]} once {entry or 'nothing'} and once {said.get(name) or 'nothing'}."


def attached_files(pdf: "pikepdf.Pdf") -> dict[str, Any]:
    """The file specifications of a PDF by name."""
    import pikepdf  # noqa: PLC0415

    names: Any = pdf.Root.get("/Names", {})
    return dict(pikepdf.NameTree(names.EmbeddedFiles).items()) if "/EmbeddedFiles" in names else {}


def content_of(specification: Any) -> bytes:
    """The content of an attached file."""
    return bytes(specification.EF.F.read_bytes())


def attachment_problems(pdf: "pikepdf.Pdf", wanted: Mapping[str, str]) -> Iterator[str]:
    """Attached files that are missing, damaged or not related to the pages as they must be.

    `wanted` gives the relationship of each file by name.
    """
    files = attached_files(pdf)
    associated = [each.objgen for each in pdf.Root.get("/AF", [])]
    for name in sorted({*wanted, *files}):
        if name not in files:
            yield f"The attachment {name} is missing."
        elif name not in wanted:
            yield f"The attachment {name} does not belong to the pack."
        elif str(files[name].get("/AFRelationship", "")) != f"/{wanted[name]}" or files[name].objgen not in associated:
            yield f"The attachment {name} is not marked as {wanted[name]} of the pack."
        elif not _whole(files[name]):
            yield f"The attachment {name} does not have the size or the sum that it is listed with."


def font_problems(pdf: "pikepdf.Pdf") -> Iterator[str]:
    """Fonts other than the documents' own: a missing one is replaced by the converter without a word."""
    fonts = {name for page in pdf.pages for name in _fonts(page.obj, set())}
    names = {str(name)[1:].rpartition("+")[2] for name in fonts}
    yield from (f"The font {name} is not {_FAMILY}." for name in sorted(names) if not name.startswith(_FAMILY))


def number_problems(reading: Reading) -> Iterator[str]:
    """Pages without their number at the bottom right."""
    pages = len(reading.sizes)
    for page, (width, _) in enumerate(reading.sizes):
        wanted = flat(number_text(page + 1, pages))
        stamps = [
            piece
            for piece in reading.artifacts
            if piece.page == page
            and flat(piece.text) == wanted
            and piece.left > width / 2
            and piece.below < 2 * FROM_BELOW
        ]
        if len(stamps) != 1:
            yield f"Page {page + 1} does not have its number at the bottom right."


def mark_problems(reading: Reading, mark: str) -> Iterator[str]:
    """Pages of a draft that do not bear its mark; `mark` is empty for what is no draft."""
    marked = {piece.page for piece in reading.artifacts if flat(piece.text) == flat(mark)}
    for page in range(len(reading.sizes) if mark else 0):
        if page not in marked:
            yield f"Page {page + 1} is not marked: {mark}."


def cut_problems(reading: Reading) -> Iterator[str]:
    """Texts that run over the edge of their page, so that paper does not show them whole."""
    for section in reading.in_order():
        for piece in section.pieces:
            width, height = reading.sizes[piece.page]
            inside = piece.left > 0 and piece.below > 0 and piece.right < width and piece.above < height
            if piece.text.strip() and not inside:
                yield f"Page {piece.page + 1} cuts off: {piece.text.strip()[:60]}"


def leftover_problems(reading: Reading, allowed: Collection[str] = ()) -> Iterator[str]:
    """Traces of a value that went missing, unless they are a word of a text that may be printed."""
    known = [flat(text) for text in allowed if _LEFTOVERS.search(text)]
    pieces = [piece for section in reading.in_order() for piece in section.pieces] + reading.artifacts
    for piece in pieces:
        for found in _LEFTOVERS.findall(piece.text):
            if not any(
                text in flat(piece.text) or (len(piece.text.split()) > 2 and flat(piece.text) in text) for text in known
            ):
                yield f"Page {piece.page + 1} prints {found} in: {piece.text.strip()}"


def _whole(specification: Any) -> bool:
    """Whether an attached file has the size and the sum that it is listed with."""
    content, listed = content_of(specification), specification.EF.F.get("/Params", {})
    md5 = hashlib.md5(content, usedforsecurity=False).digest()
    return bool(listed.get("/Size") == len(content) and bytes(listed.get("/CheckSum", b"")) == md5)


def _fonts(drawn: Any, seen: set[tuple[int, int]]) -> Iterator[str]:
    """The names of all fonts that a page can draw with, those of its forms and of its notes included."""
    resources: Any = drawn.get("/Resources", {})
    yield from (str(font.BaseFont) for font in resources.get("/Font", {}).values() if "/BaseFont" in font)
    notes: Any = drawn.get("/Annots", [])
    looks = [look for note in notes for look in note.get("/AP", {}).values() if "/Resources" in look]
    for form in [*resources.get("/XObject", {}).values(), *looks]:
        if form.objgen not in seen:
            seen.add(form.objgen)
            yield from _fonts(form, seen)


def _metadata(pdf: "pikepdf.Pdf") -> dict[str, str]:
    """Each property of the XMP with its first text."""
    from defusedxml import ElementTree  # type: ignore[import-untyped]  # noqa: PLC0415

    if "/Metadata" not in pdf.Root:
        return {}
    root = ElementTree.fromstring(pdf.Root.Metadata.read_bytes())
    descriptions = root.iter("{http://www.w3.org/1999/02/22-rdf-syntax-ns#}Description")
    return {each.tag: "".join(each.itertext()).strip() for description in descriptions for each in description}
