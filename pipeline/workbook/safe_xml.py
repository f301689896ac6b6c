"""XML of strangers: a parser that refuses every document type and entity before it could do harm."""

from typing import TYPE_CHECKING, Any
from xml.parsers import expat

from pipeline.errors import WorkbookRefusedError

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SAVE_AGAIN = "Open it in Excel, save it as 'Excel Workbook (*.xlsx)' under a new name, and try again."


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

    try:
        return fromstring(content, forbid_dtd=True)  # type: ignore[no-any-return]
    except DefusedXmlException:
        raise forbidden(part) from None
    except (ParseError, ValueError, LookupError):
        raise damaged(part) from None


def local(name: str) -> str:
    """An element's name without its namespace."""
    return name.rpartition("}")[2]
