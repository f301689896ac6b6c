"""A finished pack → its problems: where it is not what it claims, or its pages do not say what its record says.

The record is taken out of the pack itself, and the texts of all documents are made from it anew.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from pipeline.documents.catalogue import LOCALES, texts
from pipeline.documents.layouts import LAYOUTS, pack_of, with_contents
from pipeline.documents.view import View, view_of
from pipeline.orders import Envelope, Order
from pipeline.pack.attachments import RECORD, WORKBOOK
from pipeline.pack.comparing import differences
from pipeline.pack.conformance import failures
from pipeline.pack.expecting import expected
from pipeline.pack.metadata import Claim
from pipeline.pack.opening import opened
from pipeline.pack.reading import Reading, read
from pipeline.pack.structure import destination_problems, structure_problems
from pipeline.pack.wholeness import (
    attached_files,
    attachment_problems,
    claim_of,
    content_of,
    cut_problems,
    description_problems,
    font_problems,
    leftover_problems,
    mark_problems,
    number_problems,
)

if TYPE_CHECKING:
    import pikepdf


def inspect_pack(pack: bytes, order: Order, documents: Sequence[str]) -> list[str]:
    """What is wrong with a finished pack of an order, one plain sentence each; empty when it may be issued."""
    relations = {RECORD: "Data"} | ({WORKBOOK: "Source"} if order.workbook_rows else {})
    relations |= {f"{name}.docx": "Source" for name in documents}
    with opened(pack) as pdf:
        problems = [*_file_problems(pack, pdf), *attachment_problems(pdf, relations)]
        files = {name: content_of(each) for name, each in attached_files(pdf).items()}
    for name, content in ((RECORD, order.record), (WORKBOOK, order.workbook_rows)):
        if files.get(name, b"") != content:
            problems.append(f"The attachment {name} is not that of the order.")
    if RECORD not in files:
        return problems
    return problems + page_problems(pack, files[RECORD], order.envelope, documents)


def page_problems(pack: bytes, record: bytes, envelope: Envelope, documents: Sequence[str]) -> list[str]:
    """Where the pages of a pack and its record differ."""
    reading = read(pack)
    recorded = view_of(record, envelope)
    problems = _printing_problems(reading, recorded, envelope.draft)
    layouts = pack_of(recorded)
    names = [each.document for each in layouts]
    if names != list(documents) or [title for title, _ in reading.starts] != [each.title for each in layouts]:
        return [*problems, f"The pack does not consist of the documents {', '.join(names)}, in this order."]
    counts = dict(zip(names, _page_counts(reading), strict=True))
    recorded = with_contents(recorded, counts)
    for layout, section in zip(layouts, reading.in_order(), strict=True):
        problems += [f"{layout.title}: {each}" for each in differences(section, expected(layout, recorded))]
    return problems


def inspect_document(pdf: bytes, order: Order, document: str, pages: Mapping[str, int] | None = None) -> list[str]:
    """What is wrong with a single document of an order, such as the notice of a held job.

    `pages` are the page counts of all documents of the pack, where this one prints them.
    """
    with opened(pdf) as opened_pdf:
        problems = _file_problems(pdf, opened_pdf)
    reading = read(pdf)
    recorded = with_contents(view_of(order.record, order.envelope), pages or {})
    problems += _printing_problems(reading, recorded, order.envelope.draft)
    return problems + differences(reading.in_order()[0], expected(LAYOUTS[document], recorded))


def _file_problems(content: bytes, pdf: "pikepdf.Pdf") -> list[str]:
    """What keeps a file from being what it claims, whatever its pages say."""
    return [
        *_conformance(content, claim_of(pdf)),
        *description_problems(pdf),
        *font_problems(pdf),
        *structure_problems(pdf),
        *destination_problems(pdf),
    ]


def _conformance(pdf: bytes, claim: Claim | None) -> list[str]:
    """What keeps a file from being what it claims."""
    if claim is None:
        return ["The file does not claim to be a PDF/A-3."]
    return [f"The file is not the PDF/A-3 that it claims to be. {each}" for each in failures(pdf, claim)]


def _printing_problems(reading: Reading, recorded: View, mark: str) -> list[str]:
    """Pages without their number or mark, with traces of a missing value, or with a text that is cut off."""
    return [
        *number_problems(reading),
        *mark_problems(reading, mark),
        *cut_problems(reading),
        *leftover_problems(reading, _vocabulary(recorded)),
    ]


def _page_counts(reading: Reading) -> list[int]:
    """How many pages each document of a pack has."""
    starts = [start for _, start in reading.starts]
    return [after - start for start, after in pairwise([*starts, len(reading.sizes)])]


def _vocabulary(recorded: View) -> set[str]:
    """All texts of a job and of the catalogue: what a page may print."""
    rows = [*recorded.single.values(), *(row for rows in recorded.lists.values() for row in rows)]
    fixed = {text for language in LOCALES for text in texts(language).values()}
    return {*fixed, *(text for row in rows for text in row.values())}
