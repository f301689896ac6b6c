"""The documents of a pack in their order; what stands in each follows the order of the work."""

from collections.abc import Mapping

from pipeline.documents.layouts.certificates import INSTALLATION
from pipeline.documents.layouts.client import COVER, DEFECTS_LETTER, DO_NOT_USE, USER_INSTRUCTIONS
from pipeline.documents.layouts.commissioning import COMMISSIONING
from pipeline.documents.layouts.layout import Layout
from pipeline.documents.layouts.minor_works import MINOR_WORKS
from pipeline.documents.layouts.papers import CALCULATIONS, NOTICES, NOTIFICATIONS, PHOTOS, PICTURES
from pipeline.documents.layouts.schedules import CIRCUITS, INSPECTIONS
from pipeline.documents.layouts.visit import SITE_SHEET
from pipeline.documents.texts import BLANK
from pipeline.documents.view import View

PACK: tuple[Layout, ...] = (
    COVER,
    INSTALLATION,
    MINOR_WORKS,
    INSPECTIONS,
    CIRCUITS,
    COMMISSIONING,
    CALCULATIONS,
    USER_INSTRUCTIONS,
    NOTICES,
    NOTIFICATIONS,
    PHOTOS,
    PICTURES,
    DEFECTS_LETTER,
    *(each.translated("de") for each in (COVER, USER_INSTRUCTIONS, NOTICES)),
)
OUTSIDE: tuple[Layout, ...] = (DO_NOT_USE, DO_NOT_USE.translated("de"), SITE_SHEET)
"""Papers that belong to no pack."""
LAYOUTS: dict[str, Layout] = {each.document: each for each in (*PACK, *OUTSIDE)}

SECOND_WAVE = {COVER.document: 2, INSTALLATION.document: 3, MINOR_WORKS.document: 3} | {
    each.document: 2 for each in PACK if each.original == COVER.document
}
"""The documents that print page numbers of the pack, each with the pages that it usually has itself.

They wait for the page counts of the others; one that has more or fewer pages than usual is made once more.
"""


def pack_of(view: View) -> tuple[Layout, ...]:
    """The documents of this job's pack, in order."""
    return tuple(each for each in PACK if each.needed(view))


def with_contents(view: View, counts: Mapping[str, int]) -> View:
    """The view with the contents of its pack; start pages count from 1 at the cover.

    A document whose pages are not known yet leaves a dash, and so do the starts after it. A translation is no part
    of the certificate.
    """
    contents, start = [], 1
    for layout in pack_of(view):
        pages = counts.get(layout.document, 0)
        contents.append(
            {"title": layout.title, "start": str(start) if start else BLANK, "pages": str(pages) if pages else BLANK}
        )
        start = start + pages if start and pages else 0
    attached = [
        line
        for line, layout in zip(contents, pack_of(view), strict=True)
        if layout.document not in SECOND_WAVE and not layout.original
    ]
    return view.with_lists(contents=tuple(contents), attached=tuple(attached))
