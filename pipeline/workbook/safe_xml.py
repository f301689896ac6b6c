"""XML of strangers: a parser that refuses every document type and entity before it could do harm."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any
from xml.parsers import expat

from pipeline.errors import WorkbookRefusedError

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SAVE_AGAIN = "Open it in Excel, save it as 'Excel Workbook (*.xlsx)' under a new name, and try again."


LARGEST_TREE = 16_000_000
"""Bytes of a part that is read as a whole: many times those of a week's lists and formats."""
LONGEST_STRETCH = 1_000_000
"""Bytes between two ends of tags: many times those of the longest text that a cell can hold."""


def oversized(part: str) -> WorkbookRefusedError:
    """The refusal of a file that holds far more than a week's workbook."""
    return WorkbookRefusedError(
        f"The workbook holds far more than a week's jobs (in its part '{part}').",
        "Copy the filled rows alone into a fresh workbook (Paste Special, Values) and save that.",
    )


def bounded(pieces: Iterable[bytes], part: str) -> Iterator[bytes]:
    """Pieces of XML as they come; raises WorkbookRefusedError for a tag or a text without end."""
    stretch = 0
    for piece in pieces:
        last = piece.rfind(b">")
        stretch = stretch + len(piece) if last < 0 else len(piece) - last
        if stretch > LONGEST_STRETCH:
            raise damaged(part)
        yield piece


def damaged(part: str) -> WorkbookRefusedError:
    """The refusal of a file whose structure does not hold."""
    return WorkbookRefusedError(
        f"The workbook is damaged (in its part '{part}').",
        "Copy it again from where it came, or open it in Excel and save it under a new name.",
    )


def forbidden(part: str) -> WorkbookRefusedError:
    """The refusal of a file that declares a document type or an entity; Office files never do."""
    return WorkbookRefusedError(
        f"The workbook holds a declaration that no Excel file needs and that can do harm (in its part '{part}').",
        "Do not open it. Ask the sender where the file was made, and type the week into a fresh workbook.",
    )


def parser(part: str) -> expat.XMLParserType:
    """A namespace-aware parser that raises WorkbookRefusedError at the first document type or entity."""
    made = expat.ParserCreate(namespace_separator=" ")
    made.buffer_text = True

    def refuse(*_: Any) -> Any:
        raise forbidden(part)

    made.StartDoctypeDeclHandler = refuse
    made.EntityDeclHandler = refuse
    made.UnparsedEntityDeclHandler = refuse
    made.ExternalEntityRefHandler = refuse
    return made


def tree(content: bytes, part: str) -> "Element":
    """The elements of a small part; raises WorkbookRefusedError where they are damaged or dangerous."""
    from xml.etree.ElementTree import ParseError  # noqa: PLC0415 - only the type of an error

    from defusedxml import DefusedXmlException  # type: ignore[import-untyped]  # noqa: PLC0415
    from defusedxml.ElementTree import fromstring  # type: ignore[import-untyped]  # noqa: PLC0415

    if len(content) > LARGEST_TREE:
        raise oversized(part)
    try:
        return fromstring(content, forbid_dtd=True)  # type: ignore[no-any-return]
    except DefusedXmlException:
        raise forbidden(part) from None
    except (ParseError, ValueError, LookupError):
        raise damaged(part) from None


def local(name: str) -> str:
    """An element's name without its namespace."""
    return name.rpartition("}")[2]
