"""A code for cameras (QR code, ISO/IEC 18004), drawn module by module as vectors."""

from itertools import groupby

from pipeline.documents.catalogue import LANGUAGE
from pipeline.documents.catalogue import text as catalogue_text
from pipeline.documents.pictures.canvas import Box, Canvas
from pipeline.documents.pictures.lettering import BLACK
from pipeline.documents.pictures.picture import Picture

QUIET = 4  # modules of white around it (ISO/IEC 18004; common practice)


def record_code(text: str, size_mm: float, language: str = LANGUAGE) -> Picture:
    """The code of a text, as wide and high as asked, its quiet zone included."""
    import segno  # noqa: PLC0415 - only where a notice is drawn

    rows = segno.make_qr(text, error="m", boost_error=False).matrix
    module = size_mm / (len(rows) + 2 * QUIET)
    canvas = Canvas(size_mm)
    for line, row in enumerate(rows):
        place = 0
        for dark, run in groupby(row):
            length = len(list(run))
            if dark:
                box = Box((QUIET + place) * module, (QUIET + line) * module, length * module, module)
                canvas.rectangle(box, None, BLACK)
            place += length
    spoken = catalogue_text("spoken.code", language)
    return canvas.picture(size_mm, f"{spoken} {text}")
