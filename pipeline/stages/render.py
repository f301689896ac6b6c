"""Fill the Word templates of a pack from its record: all documents first, then those that print page numbers again."""

import json
import re
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

from pipeline.documents.blocks import RECORD_CODE
from pipeline.documents.catalogue import text
from pipeline.documents.layouts import LAYOUTS, SECOND_WAVE, pack_of, with_contents
from pipeline.documents.layouts.layout import Layout
from pipeline.documents.photos import printable, printable_logo
from pipeline.documents.pour import Image, pour
from pipeline.documents.styles import ACCENT
from pipeline.documents.view import View, view_of
from pipeline.errors import MachineError
from pipeline.orders import Json, Order

DO_NOT_USE = "do-not-use"
# sizes on a notice in mm
SIGN, CODE = 26, 29
# contrast with white that makes text readable (WCAG 2.2, success criterion 1.4.3)
READABLE = 4.5


def first_wave(order: Order) -> dict[str, bytes]:
    """The documents of the pack that print none of its page numbers."""
    return _wave(order, {}, of_second=False)


def second_wave(order: Order, counts: Mapping[str, int]) -> dict[str, bytes]:
    """The documents that print page numbers of the pack, once the pages of all are counted."""
    return _wave(order, counts, of_second=True)


def every_document(order: Order) -> dict[str, bytes]:
    """Every document of the pack, in its order, where no page can be counted: the numbers are dashes."""
    made = first_wave(order) | second_wave(order, {})
    return {name: made[name] for name in documents_of(order)}


def documents_of(order: Order) -> tuple[str, ...]:
    """The documents of the pack, in their order."""
    return tuple(each.document for each in pack_of(view_of(order.record, order.envelope)))


def _wave(order: Order, pages: Mapping[str, int], *, of_second: bool) -> dict[str, bytes]:
    """The documents of one wave with these page counts.

    Raises MachineError for a template that is missing or cannot be filled, and for a photo that is no picture.
    """
    seen = with_contents(view_of(order.record, order.envelope), pages)
    return _documents(order, seen, [name for name in documents_of(order) if (name in SECOND_WAVE) is of_second])


def do_not_use(order: Order) -> bytes:
    """The notice of a held job."""
    return paper(order, DO_NOT_USE)


def paper(order: Order, document: str) -> bytes:
    """One document outside a pack."""
    return _documents(order, view_of(order.record, order.envelope), [document])[document]


def code_text(seen: View) -> str:
    """What the code on the identity notice holds: the certificate's number and the fingerprint of its record."""
    certificate = seen.single["certificate"]
    return f"Certificate {certificate['name']}\nrecord sha256 {certificate['record_sum']}"


def find_templates(folder: Path | None = None) -> dict[str, bytes]:
    """The templates by document: a firm's own folder, else those supplied with the program.

    A firm's folder need only hold the templates that it changed. Raises MachineError where one is missing.
    """
    supplied = _supplied()
    found: dict[str, bytes] = {}
    for document in LAYOUTS:
        name = f"{document}.docx"
        own = folder / name if folder else None
        source = own if own and own.is_file() else supplied / LAYOUTS[document].language / name
        if not source.is_file():
            raise MachineError(f"The template {name} is missing.", "Install the program again.")
        found[document] = source.read_bytes()
    if folder and not folder.is_dir():
        raise MachineError(f"The template folder {folder} is not there.", "Check the folder's name.")
    return found


def _supplied() -> Path:
    """The templates of the checkout, else the copy inside the installed package."""
    package = Path(str(files("pipeline")))
    checkout = package.parent / "templates"
    return checkout if checkout.is_dir() else package / "templates"


def _documents(order: Order, seen: View, wanted: list[str]) -> dict[str, bytes]:
    """The wanted documents, filled."""
    colour = _readable(seen.single["firm"]["colour"])
    mark, record = order.envelope.draft, json.loads(order.record)
    made: dict[str, bytes] = {}
    for document in wanted:
        if document not in order.templates:
            raise MachineError(f"The template {document}.docx is missing.", "Build again with all templates.")
        said = seen.in_language(LAYOUTS[document].language)
        values: dict[str, Any] = {**said.single, **said.lists}
        made[document] = pour(
            document,
            order.templates[document],
            values | _pictures(LAYOUTS[document], order, record, seen),
            colour,
            mark,
        )
    return made


def _pictures(layout: Layout, order: Order, record: Json, seen: View) -> dict[str, Any]:
    """The pictures that a document shows, and no others."""
    from pipeline.documents import pictures  # noqa: PLC0415 - only where pictures are drawn

    match layout.original or layout.document:
        case "pictures":
            return {
                "single_line_diagram": [_image(each) for each in pictures.single_line_diagram(record)],
                "margin_chart": [_image(each) for each in pictures.margin_chart(record)],
            }
        case "notices" | "do-not-use":
            signs = {name: pictures.notice_symbol(name, SIGN, layout.language) for name in pictures.NOTICE_SYMBOLS}
            signs[RECORD_CODE] = pictures.record_code(code_text(seen), CODE, layout.language)
            return {"symbol_of": {name: _image(each) for name, each in signs.items()}}
        case "cover":
            return {"logo": _logo(order, record, layout.language)}
        case "photos":
            return {"photo_of": _photos(order, seen)}
        case _:
            return {}


def _logo(order: Order, record: Json, language: str) -> list[Image]:
    """The firm's logo, where there is one."""
    firm = record["job"]["firm"]
    name = firm.get("logo", {}).get("shown", "")
    words = f"{text('spoken.logo', language)} {firm['name']['shown']}"
    return [printable_logo(name, order.photos[name], words)] if name in order.photos else []


def _photos(order: Order, seen: View) -> dict[str, Image]:
    """The photos by file name, made ready for print."""
    captions = {each["file"]: each["caption"] for each in seen.lists["photos"]}
    missing = sorted(captions.keys() - order.photos.keys())
    if missing:
        raise MachineError(f"The photo {missing[0]} is missing.", "Put it back into the folder photos and build again.")
    said = text("spoken.photo")
    return {name: printable(name, order.photos[name], f"{said} {caption}") for name, caption in captions.items()}


def _image(picture: Any) -> Image:
    """A drawing as the merge takes it."""
    return Image(picture.data, picture.suffix, picture.width_mm, picture.height_mm, picture.alt)


def _readable(colour: str) -> str:
    """A firm's colour where text in it can be read on white, else the accent of the styles (WCAG 2.2, 1.4.3)."""
    if not re.fullmatch("[0-9A-Fa-f]{6}", colour):
        return ACCENT
    parts = [int(colour[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    red, green, blue = (each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in parts)
    light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return colour.upper() if 1.05 / (light + 0.05) >= READABLE else ACCENT
