"""Word documents → PDFs."""

from collections.abc import Mapping
from datetime import date

from pipeline.pack.merging import Part, Source, merged, sources
from pipeline.pack.metadata import Claim, Description, marked
from pipeline.pack.numbering import number_pages
from pipeline.pack.saving import saved, written
from pipeline.tools.fonts import regular
from pipeline.tools.libreoffice import Office, Trouble


def convert(documents: Mapping[str, bytes], office: Office) -> dict[str, bytes | Trouble]:
    """Each Word document as a PDF just as the converter wrote it, or the trouble with it.

    Batches are what makes this fast: give the documents of many jobs at once.
    """
    return office.convert(documents)


def settle(pdf: bytes, title: str, issue_date: str, language: str = "en-GB", mark: str = "") -> bytes:
    """A single converted PDF as it is handed out: numbered, described, and the same bytes whenever it is made.

    A `mark` such as that of a draft is printed across every page.
    """
    with sources({title: pdf}) as opened:
        return settled(opened[title], title, issue_date, language, mark)


def settled(
    source: Source, title: str, issue_date: str, language: str, mark: str = "", claim: Claim | None = None
) -> bytes:
    """The same of a document that is open; one that claims what was found of its pack is not judged again."""
    description = Description(marked(title, mark), "", title, date.fromisoformat(issue_date), language)
    with merged([Part(title, source)], language) as single:
        number_pages(single, regular(), mark)
        return written(single, description, claim) if claim else saved(single, description, silent=source.silent)[0]
