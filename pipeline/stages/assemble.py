"""PDFs, Word documents and record → one pack."""

import json
from collections.abc import Mapping
from datetime import date
from itertools import accumulate

from pipeline.documents.layouts import LAYOUTS
from pipeline.orders import Order
from pipeline.pack.attachments import DOCX, JSON, RECORD, WORKBOOK, XLSX, Attachment, attach
from pipeline.pack.merging import Part, Source, merged
from pipeline.pack.metadata import Claim, Description, marked
from pipeline.pack.numbering import number_pages
from pipeline.pack.reading import pages_of
from pipeline.pack.saving import saved
from pipeline.tools.fonts import regular

# under this name the titles may hold the title of the whole
PACK = "pack"


def assemble(
    order: Order, documents: Mapping[str, Source], docx: Mapping[str, bytes], titles: Mapping[str, str]
) -> tuple[bytes, Claim]:
    """The pack as a tagged PDF/A-3: all documents in their order, numbered through, the record attached; its claim.

    Equal input gives equal bytes, whenever and wherever the PDFs were converted.
    """
    day = date.fromisoformat(order.envelope.issue_date)
    description = _description(order, titles, day)
    parts = [Part(titles[name], source, _locale(name)) for name, source in documents.items()]
    with merged(parts, description.language) as pack:
        number_pages(pack, regular(), order.envelope.draft)
        attach(pack, _attachments(order, docx, titles), day)
        return saved(pack, description, silent=any(each.silent for each in documents.values()))


def page_counts(pdfs: Mapping[str, bytes]) -> dict[str, int]:
    """How many pages each document has."""
    return {name: pages_of(content) for name, content in pdfs.items()}


def first_pages(pdfs: Mapping[str, bytes]) -> dict[str, int]:
    """On which page of the pack each document begins, counting from 1."""
    counts = page_counts(pdfs)
    return dict(zip(counts, accumulate(counts.values(), initial=1), strict=False))


def _description(order: Order, titles: Mapping[str, str], day: date) -> Description:
    """What the pack says of itself."""
    envelope = order.envelope
    firm = json.loads(order.record)["job"]["firm"]["name"]["shown"]
    title = titles.get(PACK, "Handover pack" if envelope.draft else f"Handover pack {envelope.number}")
    subject = envelope.draft or f"Number {envelope.number}, revision {envelope.revision}"
    return Description(marked(title, envelope.draft), firm, subject, day)


def _locale(document: str) -> str:
    """The language of a document; that of the pack for one that no layout knows."""
    return LAYOUTS[document].locale if document in LAYOUTS else ""


def _attachments(order: Order, docx: Mapping[str, bytes], titles: Mapping[str, str]) -> list[Attachment]:
    """The record first, then what it and the pages came from."""
    record = Attachment(RECORD, order.record, JSON, "Data", "The record of the job, in canonical JSON")
    rows = Attachment(WORKBOOK, order.workbook_rows, XLSX, "Source", "The job's rows as typed")
    words = [
        Attachment(f"{name}.docx", content, DOCX, "Source", f"{titles[name]}, as a Word document")
        for name, content in docx.items()
    ]
    return [record, *([rows] if order.workbook_rows else []), *words]
