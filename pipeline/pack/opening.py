"""PDFs held as bytes, opened for pikepdf: qpdf reads a file three times as fast as it calls back into Python."""

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

    with tempfile.TemporaryDirectory(prefix="pdf-", ignore_cleanup_errors=True) as folder:
        path = Path(folder) / "it.pdf"
        path.write_bytes(content)
        with pikepdf.open(path, attempt_recovery=mend) as pdf:
            yield pdf
