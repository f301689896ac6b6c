"""Whether a Word file is worth converting, and whether what came out is a whole PDF."""

import io
import zipfile
import zlib
from pathlib import Path
from xml.parsers.expat import ExpatError, ParserCreate

_MAIN_PART = "word/document.xml"


def word_trouble(content: bytes) -> str:
    """What is wrong with a Word file as a container, in a few words; empty when it is sound.

    LibreOffice turns an empty file into an empty page and says nothing of a torn one.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as container:
            torn = container.testzip()
            if torn:
                return f"its part {torn} is torn"
            _read_through(container.read(_MAIN_PART))
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError):
        return "it is no Word file, or torn"
    except KeyError:
        return "it has no text part"
    except ExpatError as error:
        return f"its text part cannot be read ({error})"
    return ""


def _read_through(text: bytes) -> None:
    """Read a text part from end to end; raises `ExpatError` where it is not well-formed or defines entities."""
    parser = ParserCreate()
    parser.EntityDeclHandler = _no_entities
    parser.Parse(text, True)  # noqa: FBT003 - the last piece


def _no_entities(*_: object) -> None:
    """Word files have none; what they would unfold to could be of any size."""
    raise ExpatError("it defines entities")


def pdf_trouble(path: Path) -> str:
    """What is wrong with a PDF as a file, in a few words; empty when it opens without repair and has a page."""
    import pikepdf  # noqa: PLC0415

    try:
        with pikepdf.open(path, attempt_recovery=False) as pdf:
            return "" if len(pdf.pages) else "it has no page"
    except pikepdf.PdfError as error:
        return f"it cannot be opened ({error})"
