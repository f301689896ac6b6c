"""Small workbooks of our own, and the ways in which strangers' files differ from them."""

import io
import struct
import zipfile
from datetime import datetime

from openpyxl import Workbook

SHEET = "xl/worksheets/sheet1.xml"
BOOK = "xl/workbook.xml"
TYPES = "[Content_Types].xml"
MAIN = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def plain(change=None):
    """A workbook with a heading and one row; `change` gets it before it is saved."""
    book = Workbook()
    book.active.append(["Job", "Zs (Ω)"])
    book.active.append(["J1", 0.62])
    book.active["C2"] = datetime(2026, 3, 4)  # noqa: DTZ001 - a cell knows no time zone
    if change:
        change(book)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def rewritten(content, name="", change=lambda part: part, extra=()):
    """The same zip with one part changed (None takes it out) and others added."""
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as before, zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as after:
        for each in before.namelist():
            part = change(before.read(each)) if each == name else before.read(each)
            if part is not None:
                after.writestr(each, part)
        for each, part in extra:
            after.writestr(each, part)
    return stream.getvalue()


def replaced(content, name, old, new):
    """One part with other bytes in it; the old ones must be there."""

    def swap(part):
        assert old in part, part[:2000]
        return part.replace(old, new)

    return rewritten(content, name, swap)


def flipped(content, name):
    """One bit of a part's compressed data turned over."""
    with zipfile.ZipFile(io.BytesIO(content)) as book:
        at = book.getinfo(name).header_offset + 30 + len(name) + book.getinfo(name).compress_size // 2
    return content[:at] + bytes([content[at] ^ 4]) + content[at + 1 :]


def lying(content, name):
    """Both headers of a member claim 10 bytes."""
    data = bytearray(content)
    for mark, length_at, name_at, size_at in ((b"PK\x01\x02", 28, 46, 24), (b"PK\x03\x04", 26, 30, 22)):
        at = data.find(mark)
        while at >= 0:
            length = struct.unpack_from("<H", data, at + length_at)[0]
            if data[at + name_at : at + name_at + length] == name.encode():
                struct.pack_into("<I", data, at + size_at, 10)
            at = data.find(mark, at + 4)
    return bytes(data)


def overlapping(content):
    """The second member's directory entry points into the first member."""
    data = bytearray(content)
    first = data.find(b"PK\x01\x02")
    second = data.find(b"PK\x01\x02", first + 4)
    struct.pack_into("<I", data, second + 42, struct.unpack_from("<I", data, first + 42)[0])
    return bytes(data)


def rows(xml):
    """The workbook with further rows at the end of its sheet."""
    return replaced(plain(), SHEET, b"</sheetData>", xml + b"</sheetData>")
