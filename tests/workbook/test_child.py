"""What a stranger's file is taken for: its cells, or refused in one plain sentence."""

import io
import json
import re
import subprocess
import sys

import pytest
from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.utils import get_column_letter

from pipeline.errors import WorkbookRefusedError
from pipeline.workbook.cells import Cell, Content, Look, from_plain
from pipeline.workbook.child import open_workbook
from tests.workbook.strange import (
    BOOK,
    MAIN,
    SHEET,
    TYPES,
    flipped,
    lying,
    overlapping,
    plain,
    replaced,
    rewritten,
    rows,
)

ENTITY = b'<!DOCTYPE x [<!ENTITY e "boo">]>'
FILE_ENTITY = b'<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>'
LAUGHS = b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>'
SPREADSHEET = b"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"
RELATION = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"


def of_type(new):
    return replaced(plain(), TYPES, SPREADSHEET, new)


def put_before(part, text):
    return rewritten(plain(), part, lambda content: text + content)


def pointing(kind, mode="Internal"):
    xml = (
        '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
        f'<Relationship Id="rId9" Type="{RELATION}/{kind}" Target="../x.bin" TargetMode="{mode}"/></Relationships>'
    )
    return rewritten(plain(), extra=[("xl/worksheets/_rels/sheet1.xml.rels", xml.encode())])


def formula(text):
    return plain(lambda book: book.active.__setitem__("D2", text))


def bare_zip(name, content):
    return rewritten(b"PK\x05\x06" + bytes(18), extra=[(name, content)])


REFUSED = {
    "no bytes": (lambda: b"", "empty"),
    "the end missing": (lambda: plain()[:-30], "incomplete"),
    "the second half zeroed": (lambda: plain()[:2500] + bytes(len(plain()) - 2500), "incomplete"),
    "the old format": (lambda: bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600), ".xls"),
    "a password": (
        lambda: bytes.fromhex("d0cf11e0a1b11ae1") + "EncryptedPackage".encode("utf-16-le"),
        "password",
    ),
    "a CSV list": (lambda: b"Job;Zs\nJ1;0,62\n", "CSV"),
    "a web page": (lambda: b"<html><body><table><tr><td>0.62", "web page"),
    "a PDF": (lambda: b"%PDF-1.7\n", "PDF"),
    "some bytes": (lambda: bytes(range(256)), "not an Excel workbook"),
    "a bare zip": (lambda: bare_zip("a.txt", b"x"), "zip archive"),
    "OpenDocument": (lambda: bare_zip("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"), ".ods"),
    "macros": (lambda: of_type(b"application/vnd.ms-excel.sheet.macroEnabled.main+xml"), "macros"),
    "binary": (lambda: of_type(b"application/vnd.ms-excel.sheet.binary.macroEnabled.main"), ".xlsb"),
    "Word": (
        lambda: of_type(b"application/vnd.openxmlformats-officedocument.wordprocessingml.document.main+xml"),
        "Word",
    ),
    "a part outside": (lambda: rewritten(plain(), extra=[("../../evil.txt", b"x")]), "outside"),
    "an absolute part": (lambda: rewritten(plain(), extra=[("/etc/evil", b"x")]), "outside"),
    "thousands of parts": (lambda: rewritten(plain(), extra=[(f"p{n}", b"") for n in range(1500)]), "parts"),
    "the same part twice": (lambda: rewritten(plain(), extra=[(SHEET.upper(), b"<x/>")]), "twice"),
    "parts over each other": (lambda: overlapping(plain()), "over each other"),
    "a bomb": (lambda: rewritten(plain(), extra=[("xl/big.xml", bytes(20 << 20))]), "swell"),
    "a lying header": (lambda: lying(rows(b" " * (8 << 20)), SHEET), "damaged"),
    "a damaged sheet": (lambda: flipped(plain(), SHEET), "damaged"),
    "a file entity in a sheet": (lambda: put_before(SHEET, FILE_ENTITY), "declaration"),
    "an entity in the properties": (lambda: put_before("docProps/core.xml", ENTITY), "declaration"),
    "an entity in the book": (lambda: put_before(BOOK, ENTITY), "declaration"),
    "entities of entities": (lambda: put_before("xl/styles.xml", LAUGHS), "declaration"),
    "an entity in a part by another name": (
        lambda: rewritten(plain(), extra=[("xl/odd.bin", b"\xef\xbb\xbf " + ENTITY + b"<x/>")]),
        "declaration",
    ),
    "an entity in wide characters": (
        lambda: rewritten(plain(), extra=[("xl/odd.xml", (ENTITY + b"<x/>").decode().encode("utf-16"))]),
        "declaration",
    ),
    "a row before its turn": (lambda: rows(b'<row r="1"><c r="A1"><v>1</v></c></row>'), "damaged"),
    "a row twice": (lambda: rows(b'<row r="2"><c r="A2"><v>1</v></c></row>'), "damaged"),
    "a cell twice": (
        lambda: replaced(plain(), SHEET, b"</row></sheetData>", b'<c r="B2"><v>3</v></c></row></sheetData>'),
        "damaged",
    ),
    "a cell in another row": (lambda: replaced(plain(), SHEET, b'r="B2"', b'r="B7"'), "damaged"),
    "no number": (lambda: replaced(plain(), SHEET, b"0.62", b"NaN"), "damaged"),
    "infinity": (lambda: replaced(plain(), SHEET, b"0.62", b"INF"), "damaged"),
    "a text that is not listed": (lambda: rows(b'<row r="3"><c r="A3" t="s"><v>99</v></c></row>'), "damaged"),
    "a format that is not listed": (lambda: rows(b'<row r="3"><c r="A3" s="99"><v>1</v></c></row>'), "damaged"),
    "a missing sheet": (lambda: rewritten(plain(), SHEET, lambda _: None), "damaged"),
    "another variant": (
        lambda: replaced(plain(), SHEET, MAIN, b"http://purl.oclc.org/ooxml/spreadsheetml/main"),
        "variant",
    ),
    "a hidden second count": (lambda: rows(b'<row r="3"><!-- <c r="A3"><v>1</v></c> --></row>'), "disagree"),
    "a program": (lambda: formula("=cmd|'/C calc'!A0"), "program"),
    "a web service": (lambda: formula('=_xlfn.WEBSERVICE("http://example.com")'), "network"),
    "a picture from the web": (lambda: formula('=IMAGE("http://example.com/a.png")'), "network"),
    "a data connection": (lambda: pointing("connections"), "connection"),
    "another workbook": (lambda: pointing("externalLink"), "other workbooks"),
    "an embedded object": (lambda: pointing("oleObject"), "embedded object"),
    "an embedded file": (lambda: pointing("package"), "embedded"),
    "a linked picture": (lambda: pointing("image", "External"), "outside"),
    "two sheets of one name": (
        lambda: replaced(plain(lambda book: book.create_sheet("Twin")), BOOK, b'name="Twin"', b'name="Sheet"'),
        "Two sheets",
    ),
}


@pytest.mark.parametrize("case", REFUSED)
def test_an_unsafe_or_foreign_file_is_refused_in_one_sentence(case):
    make, word = REFUSED[case]
    with pytest.raises(WorkbookRefusedError) as refusal:
        open_workbook(make())
    assert word in refusal.value.message
    assert refusal.value.message.count("\n") == 0
    assert refusal.value.remedy


def sheet_of(content, number=0):
    return from_plain(json.loads(json.dumps(open_workbook(content))), "", "").sheets[number]


def test_texts_numbers_and_dates_are_read_as_typed():
    assert sheet_of(plain()).rows[2] == {
        1: Cell(Content.TEXT, "J1"),
        2: Cell(Content.NUMBER, "0.62"),
        3: Cell(Content.DATE, "2026-03-04", "yyyy-mm-dd h:mm:ss", (), "46085"),
    }


ALIKE = {
    "a mark at the start of the XML": lambda: rewritten(plain(), SHEET, lambda xml: b"\xef\xbb\xbf" + xml),
    "wide characters": lambda: rewritten(
        plain(), SHEET, lambda xml: xml.decode("utf-8").replace("utf-8", "utf-16").encode("utf-16")
    ),
    "a dimension that is too small": lambda: replaced(plain(), SHEET, b'ref="A1:C2"', b'ref="A1:A1"'),
    "cells without addresses": lambda: replaced(
        replaced(plain(), SHEET, b'<c r="B2"', b"<c"), SHEET, b'<c r="C2"', b"<c"
    ),
    "a million empty rows": lambda: rows(
        b"".join(b'<row r="%d"><c r="A%d" s="0"/></row>' % (n, n) for n in range(3, 100_000))
    ),
    "a formatted cell in the last row": lambda: rows(b'<row r="1048576"><c r="A1048576" s="0"/></row>'),
    "all columns formatted": lambda: rows(
        b'<row r="3">%s</row>'
        % b"".join(b'<c r="%s3" s="0"></c>' % get_column_letter(n).encode() for n in range(1, 16385))
    ),
    "an address that became a link": lambda: plain(
        lambda book: setattr(book.active["A2"], "hyperlink", "mailto:office@example.com")
    ),
    "a protected sheet": lambda: plain(lambda book: setattr(book.active.protection, "sheet", True)),
    "a namespace with a prefix": lambda: rewritten(plain(), SHEET, prefixed),
}


def prefixed(xml):
    for name in (b"worksheet", b"sheetData", b"row", b"c", b"v", b"is", b"t"):
        for end in (b" ", b">", b"/"):
            xml = xml.replace(b"<" + name + end, b"<x:" + name + end).replace(b"</" + name + end, b"</x:" + name + end)
    return xml.replace(b'xmlns="', b'xmlns="' + MAIN + b'" xmlns:x="', 1)


@pytest.mark.parametrize("case", ALIKE)
def test_a_harmless_habit_of_another_program_changes_no_cell(case):
    read = sheet_of(ALIKE[case]()).rows
    assert {number: {n: cell[:2] for n, cell in row.items()} for number, row in read.items()} == {
        number: {n: cell[:2] for n, cell in row.items()} for number, row in sheet_of(plain()).rows.items()
    }


def test_damage_in_a_part_that_nobody_reads_is_named():
    answer = open_workbook(flipped(plain(), "docProps/core.xml"))
    assert answer["damaged"] == ["docProps/core.xml"]


def test_shared_texts_join_their_runs_and_leave_out_the_phonetic_guide():
    listed = (
        b'<sst xmlns="%s"><si><r><t>0.</t></r><r><t>62</t></r><rPh sb="0" eb="1"><t>x</t></rPh></si>'
        b"<si><t>a_x000B_b</t></si></sst>" % MAIN
    )
    pointer = f'<Relationship Id="rId77" Type="{RELATION}/sharedStrings" Target="sharedStrings.xml"/></Relationships>'
    book = rows(b'<row r="3"><c r="A3" t="s"><v>0</v></c><c r="B3" t="s"><v>1</v></c></row>')
    book = rewritten(book, "xl/sharedStrings.xml", lambda _: None, extra=[("xl/sharedStrings.xml", listed)])
    book = rewritten(
        book,
        "xl/_rels/workbook.xml.rels",
        lambda xml: without_shared(xml).replace(b"</Relationships>", pointer.encode()),
    )
    row = sheet_of(book).rows[3]
    assert [row[1].text, row[2].text] == ["0.62", "a\x0bb"]


def without_shared(xml):
    return re.sub(rb"<Relationship [^>]*sharedStrings[^>]*/>", b"", xml)


def test_a_formula_keeps_its_text_and_its_last_result():
    book = rows(b'<row r="3"><c r="A3"><f>0.31+0.31</f><v>0.1</v></c></row>')
    assert sheet_of(book).rows[3][1] == Cell(Content.FORMULA, "=0.31+0.31", cached="0.1")


@pytest.mark.parametrize(
    ("serial", "epoch_1904", "text"),
    [
        ("46085", False, "2026-03-04"),
        ("46085.5", False, "2026-03-04T12:00:00"),
        ("46085", True, "2030-03-05"),
        ("0.62", False, "14:52:48"),
        ("60", False, "serial 60"),
        ("59", False, "1900-02-28"),
        ("99999999", False, "serial 99999999"),
        ("-1", False, "serial -1"),
    ],
)
def test_a_serial_number_becomes_the_day_of_its_calendar(serial, epoch_1904, text):
    book = replaced(plain(), SHEET, b"<v>46085</v>", b"<v>%s</v>" % serial.encode())
    if epoch_1904:
        book = replaced(book, BOOK, b"<workbookPr/>", b'<workbookPr date1904="1"/>')
    assert sheet_of(book).rows[2][3].text == text


def test_what_a_format_hides_or_stresses_is_kept_with_the_cell():
    def dress(book):
        page = book.active
        page["A2"].font = Font(color="00FFFFFF", strike=True)
        page["B2"].number_format = ";;;"
        page["C2"].fill = PatternFill("solid", start_color="FFFF0000")

    row = sheet_of(plain(dress)).rows[2]
    assert row[1].looks == (Look.INVISIBLE, Look.STRUCK)
    assert row[2].looks == (Look.BLANKED,)
    assert row[3].looks == (Look.RED,)


def test_white_letters_on_a_dark_ground_are_visible():
    def dress(book):
        book.active["A2"].font = Font(color="FFFFFFFF")
        book.active["A2"].fill = PatternFill("solid", start_color="FF1F4E5F")

    assert sheet_of(plain(dress)).rows[2][1].looks == ()


def test_comments_merges_and_hidden_parts_are_kept_with_the_sheet():
    def dress(book):
        page = book.active
        page["B2"].comment = Comment("retest", "x")
        page.merge_cells("A5:A6")
        page.column_dimensions["B"].hidden = True
        page.row_dimensions[2].hidden = True
        page.sheet_state = "hidden"
        book.create_sheet("other")

    sheet = sheet_of(plain(dress))
    assert sheet.comments == {"B2": "retest"}
    assert sheet.merged == ("A5:A6",)
    assert sheet.hidden_columns == ((2, 2),)
    assert sheet.hidden_rows == {2}
    assert sheet.hidden


def test_every_row_after_a_long_gap_is_read():
    book = Workbook()
    for number in (*range(1, 201), *range(801, 1001)):
        book.active.cell(number, 1, number)
    stream = io.BytesIO()
    book.save(stream)
    assert len(sheet_of(stream.getvalue()).rows) == 400


def test_the_process_answers_with_the_refusal():
    done = subprocess.run(
        [sys.executable, "-m", "pipeline.workbook.child", "900", "5"], input=b"Job;Zs", capture_output=True, check=True
    )
    assert "CSV" in json.loads(done.stdout)["refused"][0]


def test_the_reading_process_loads_only_what_reading_needs():
    loaded = "import sys, pipeline.workbook.child; print(*{name.partition('.')[0] for name in sys.modules})"
    found = subprocess.run([sys.executable, "-c", loaded], capture_output=True, text=True, check=True).stdout.split()
    assert "pipeline" in found
    assert not {"pydantic", "openpyxl", "lxml"} & set(found)


@pytest.mark.skipif(sys.platform == "win32", reason="the limits alone bound it there")
def test_the_reading_process_ends_with_whoever_started_it():
    command = [sys.executable, "-m", "pipeline.workbook.child", "900", "60"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as child:
        child.stdout.close()  # as the end of whoever started it does; the rest of the workbook is still awaited
        assert child.wait(timeout=60) == 1
