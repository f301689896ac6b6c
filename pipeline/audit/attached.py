"""Files attached to a pack: there, whole, related, and saying what the record says."""

import io
import zipfile
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from pipeline.audit.faults import Fault, Kind
from pipeline.audit.pages import made_today, without_pages
from pipeline.documents.layouts import pack_of
from pipeline.documents.view import View
from pipeline.facts.record import Json
from pipeline.facts.sheets import SHEETS, Sheet
from pipeline.pack.attachments import RECORD, WORKBOOK
from pipeline.pack.expecting import expected
from pipeline.pack.reading import flat
from pipeline.pack.wholeness import attachment_problems

if TYPE_CHECKING:
    import pikepdf

_TOLD = 3
_WORD = ".docx"


def attachment_faults(
    pdf: "pikepdf.Pdf", files: Mapping[str, bytes], record: Json, seen: View, where: str
) -> list[Fault]:
    """Attached files that are missing, surplus, damaged, or say something else than the record."""
    layouts = pack_of(seen)
    told = without_pages(seen)
    relations = {RECORD: "Data", WORKBOOK: "Source"} | {f"{each.document}.docx": "Source" for each in layouts}
    if not made_today(pdf):  # another version may have had other documents
        relations |= {name: "Source" for name in files if name.endswith(_WORD)}
        relations = {name: relation for name, relation in relations.items() if name in files or name == RECORD}
    found = list(attachment_problems(pdf, relations))
    if WORKBOOK in files:
        found += _typed_rows(files[WORKBOOK], record)
    for layout in layouts:
        content = files.get(f"{layout.document}.docx")
        if content and made_today(pdf):
            said = _words_of(content)
            lacking = [each for each in expected(layout, told).texts() if _set(each) not in said]
            found += [f"The attachment {layout.document}.docx does not say {each}." for each in lacking[:_TOLD]]
    return [Fault(where, Kind.ATTACHMENT, each) for each in found]


def _typed_rows(content: bytes, record: Json) -> Iterator[str]:
    """Sheets of the attached workbook that do not have the rows of the record as typed."""
    from openpyxl import load_workbook  # noqa: PLC0415

    book = load_workbook(io.BytesIO(content))
    for sheet in (each for each in SHEETS if each.part in record["job"]):
        lines = book[sheet.title].iter_rows(values_only=True) if sheet.title in book.sheetnames else iter(())
        attributes = {field.heading: name for name, field in sheet.row.fields().items()}
        columns = [attributes.get(str(cell), "") for cell in next(lines, ())]
        there = [{name: str(cell) for name, cell in zip(columns, line, strict=True) if cell} for line in lines]
        if there != _recorded(sheet, record):
            yield f"The attachment {WORKBOOK} does not have the rows of the record on its sheet {sheet.title}."


def _recorded(sheet: Sheet, record: Json) -> list[dict[str, str]]:
    """The rows of a sheet as they were typed."""
    part = record["job"][sheet.part]
    rows = part if isinstance(part, list) else [part]
    typed = [{name: cell["typed"] for name, cell in row.items() if cell.get("typed")} for row in rows]
    return [row for row in typed if row]


def _words_of(content: bytes) -> str:
    """All words of a Word file without white space, headers and footers too."""
    from defusedxml import ElementTree  # type: ignore[import-untyped]  # noqa: PLC0415

    texts: list[str] = []
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        for name in sorted(parts.namelist()):
            if name.startswith("word/") and name.endswith(".xml"):
                root = ElementTree.fromstring(parts.read(name))
                texts += [each.text or "" for each in root.iter() if each.tag.endswith("}t")]
    return _set("".join(texts))


def _set(text: str) -> str:
    """A text as Word sets it: an index stands lower instead of behind a low line."""
    return flat(text).replace("_", "")
