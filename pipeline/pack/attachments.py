"""Files inside the pack: the record, the rows as typed and the Word files, so that the pack explains itself.

PDF/A-3 wants for each a type, a description and its relationship to the page (ISO 19005-3, 6.8, annex E).
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

from pipeline.pack.metadata import pdf_date

if TYPE_CHECKING:
    import pikepdf

RECORD = "record.json"
WORKBOOK = "workbook.xlsx"

JSON = "application/json"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
DOCX = "application/vnd.openxmlformats-officedocument.wordprocessingml.document"


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file in a PDF: name, media type, relationship to the pages (Data or Source), and what it is in words."""

    name: str
    content: bytes = field(repr=False)
    media_type: str
    relationship: str
    description: str


def attach(pdf: "pikepdf.Pdf", attachments: Sequence[Attachment], issue_date: date) -> None:
    """Put the files into a PDF, listed by name and associated with the document as a whole."""
    import pikepdf  # noqa: PLC0415

    specifications = {each.name: _specification(pdf, each, issue_date) for each in attachments}
    names = pikepdf.Array()
    for name in sorted(specifications):
        names.extend([pikepdf.String(name), specifications[name]])
    pdf.Root.Names = pikepdf.Dictionary(EmbeddedFiles=pdf.make_indirect(pikepdf.Dictionary(Names=names)))
    pdf.Root.AF = pikepdf.Array(specifications.values())


def _specification(pdf: "pikepdf.Pdf", attachment: Attachment, issue_date: date) -> Any:
    """The file specification of one attachment with its embedded file."""
    import pikepdf  # noqa: PLC0415

    day = pdf_date(issue_date)
    sum_of_content = hashlib.md5(attachment.content, usedforsecurity=False).digest()  # as ISO 32000-1, 7.11.4, wants
    stream = pdf.make_stream(
        attachment.content,
        Type=pikepdf.Name.EmbeddedFile,
        Subtype=pikepdf.Name(f"/{attachment.media_type}"),
        Params=pikepdf.Dictionary(
            Size=len(attachment.content), CreationDate=day, ModDate=day, CheckSum=pikepdf.String(sum_of_content)
        ),
    )
    return pdf.make_indirect(
        pikepdf.Dictionary(
            Type=pikepdf.Name.Filespec,
            F=attachment.name,
            UF=attachment.name,
            Desc=attachment.description,
            AFRelationship=pikepdf.Name(f"/{attachment.relationship}"),
            EF=pikepdf.Dictionary(F=stream, UF=stream),
        )
    )
