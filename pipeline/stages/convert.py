"""Word documents → PDFs."""

from collections.abc import Mapping
from datetime import date

from pipeline.pack.merging import Part, merged
from pipeline.pack.metadata import Description, marked
from pipeline.pack.numbering import number_pages
from pipeline.pack.saving import saved
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
    description = Description(marked(title, mark), "", title, date.fromisoformat(issue_date), language)
    with merged([Part(title, pdf)], language) as settled:
        number_pages(settled, regular(), mark)
        return saved(settled, description)
