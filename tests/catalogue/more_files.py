"""Files that hold more than any week, or pack and fill their parts as no program of spreadsheets does."""

import io
import zipfile

from tests.catalogue.entry import ACCEPTED, REFUSED
from tests.catalogue.files import FileEntry, in_sheet, more_parts, whole
from tests.catalogue.week import base_content, opened

ROWS_OF_A_WEEK, MERGED_OF_A_WEEK = 50_001, 10_001


def packed(method):
    """The sound workbook, its parts packed by another method."""

    def make():
        stream = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(base_content())) as old, zipfile.ZipFile(stream, "w", method) as new:
            for name in old.namelist():
                new.writestr(name, old.read(name))
        return stream.getvalue()

    return make


def last_row(cells, **more):
    """One more row below the readings."""
    attributes = "".join(f' {name}="{value}"' for name, value in more.items())
    return in_sheet("</sheetData>", f'<row r="900"{attributes}>{cells}</row></sheetData>')


def rows(count):
    """Many filled rows below the readings."""
    cells = "".join(f'<row r="{n}"><c r="A{n}"><v>1</v></c></row>' for n in range(900, 900 + count))
    return in_sheet("</sheetData>", f"{cells}</sheetData>")


def merged(count):
    """Many merged ranges."""
    ranges = "".join(f'<mergeCell ref="A{n}:B{n}"/>' for n in range(900, 900 + count))
    return in_sheet("</sheetData>", f"</sheetData><mergeCells>{ranges}</mergeCells>")


def names():
    """A list of names that is as long as a book."""
    book = opened()
    listed = "".join(f'<definedName name="n{n}">1</definedName>' for n in range(400_000))
    book.replace("xl/workbook.xml", "</sheets>", f"</sheets><definedNames>{listed}</definedNames>")
    return book.content()


def without_types():
    """A workbook that does not say which of its parts is which."""
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(base_content())) as old, zipfile.ZipFile(stream, "w") as new:
        for name in old.namelist():
            if name != "[Content_Types].xml":
                new.writestr(name, old.read(name))
    return stream.getvalue()


def in_utf_32(text):
    """A part in an encoding that no writer of workbooks uses."""
    return text.replace("UTF-8", "UTF-32").encode("utf-32")


HIDDEN_IN_A_CHOICE = (
    '<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006">'
    '<mc:Choice Requires="x"><row xmlns="urn:x" r="900"><c r="A900"><v>1</v></c></row></mc:Choice>'
    "</mc:AlternateContent>"
)

ENTRIES = [
    FileEntry(
        "list-in-utf-16",
        "A list in plain text as Excel saves it.",
        lambda: "Job\tZs\n".encode("utf-16"),
        REFUSED,
        "plain text",
    ),
    FileEntry("one-letter", "One byte.", lambda: b"P", REFUSED, "not an Excel workbook"),
    FileEntry("start-alone", "The first bytes of a zip.", lambda: b"PK\x03\x04", REFUSED, "incomplete"),
    FileEntry("zeros", "Nothing but zero bytes.", lambda: bytes(1 << 20), REFUSED, "not an Excel workbook"),
    FileEntry("packed-as-bzip2", "Parts packed by bzip2.", packed(zipfile.ZIP_BZIP2), REFUSED, "packed"),
    FileEntry("packed-as-lzma", "Parts packed by LZMA.", packed(zipfile.ZIP_LZMA), REFUSED, "packed"),
    FileEntry("stored", "Parts not packed at all.", packed(zipfile.ZIP_STORED), ACCEPTED),
    FileEntry("without-types", "No list of the parts' types.", without_types, REFUSED, "zip archive"),
    FileEntry(
        "macros-undeclared", "Macros that no list declares.", more_parts(("xl/vbaProject.bin", b"x")), REFUSED, "macros"
    ),
    FileEntry(
        "object-undeclared",
        "An object that no list declares.",
        more_parts(("xl/embeddings/x.bin", b"x")),
        REFUSED,
        "object",
    ),
    FileEntry(
        "menu-undeclared", "A menu of its own.", more_parts(("customUI/customUI.xml", b"<x/>")), REFUSED, "add-in"
    ),
    FileEntry(
        "link-undeclared",
        "A link that no list declares.",
        more_parts(("xl/externalLinks/externalLink1.xml", b"<x/>")),
        REFUSED,
        "links",
    ),
    FileEntry(
        "two-values", "Two values in one cell.", last_row('<c r="A900"><v>1</v><v>2</v></c>'), REFUSED, "two values"
    ),
    FileEntry(
        "foreign-row",
        "A row in a namespace of its own.",
        in_sheet("</sheetData>", f"{HIDDEN_IN_A_CHOICE}</sheetData>"),
        REFUSED,
        "counting",
    ),
    FileEntry(
        "endless-tag", "A tag without end.", last_row("", **{f"a{n}": n for n in range(150_000)}), REFUSED, "damaged"
    ),
    FileEntry("in-utf-32", "A part in UTF-32.", whole(in_utf_32), REFUSED, "damaged"),
    FileEntry("rows-without-end", "More rows than any week.", rows(ROWS_OF_A_WEEK), REFUSED, "far more"),
    FileEntry("merged-without-end", "More merged cells than any week.", merged(MERGED_OF_A_WEEK), REFUSED, "far more"),
    FileEntry("names-without-end", "More names than any week.", names, REFUSED, "far more"),
]
