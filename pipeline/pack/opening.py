"""PDFs held as bytes, opened for pikepdf: qpdf reads a file three times as fast as it calls back into Python."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pikepdf


@contextmanager
def opened(content: bytes, *, mend: bool = False) -> "Iterator[pikepdf.Pdf]":
    """A PDF, closed again afterwards; raises `pikepdf.PdfError` when it needs repairs, unless it shall be mended."""
    import pikepdf  # noqa: PLC0415

    number, name = tempfile.mkstemp(suffix=".pdf")
    try:
        with os.fdopen(number, "wb") as file:
            file.write(content)
        with pikepdf.open(name, attempt_recovery=mend) as pdf:
            yield pdf
    finally:
        Path(name).unlink(missing_ok=True)
