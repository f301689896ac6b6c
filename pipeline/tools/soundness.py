"""Whether a Word file is worth converting, and whether what came out is a whole PDF."""

import io
import zipfile
import zlib

_MAIN_PART = "word/document.xml"


def word_trouble(content: bytes) -> str:
    """What is wrong with a Word file as a container, in a few words; empty when it is sound.

    LibreOffice turns an empty file into an empty page and says nothing of a torn one.
    """
    from xml.etree.ElementTree import ParseError  # noqa: PLC0415

    from defusedxml import DefusedXmlException, ElementTree  # type: ignore[import-untyped]  # noqa: PLC0415

    try:
        with zipfile.ZipFile(io.BytesIO(content)) as container:
            torn = container.testzip()
            if torn:
                return f"its part {torn} is torn"
            ElementTree.fromstring(container.read(_MAIN_PART))
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError):
        return "it is no Word file, or torn"
    except KeyError:
        return "it has no text part"
    except (ParseError, DefusedXmlException) as error:
        return f"its text part cannot be read ({error})"
    return ""


def pdf_trouble(content: bytes) -> str:
    """What is wrong with a PDF as a file, in a few words; empty when it opens without repair and has a page."""
    import pikepdf  # noqa: PLC0415

    try:
        with pikepdf.open(io.BytesIO(content), attempt_recovery=False) as pdf:
            return "" if len(pdf.pages) else "it has no page"
    except pikepdf.PdfError as error:
        return f"it cannot be opened ({error})"
