"""Changes to a finished workbook made inside its XML, as a stranger's program or a person's hand would leave them."""

import io
import re
import zipfile
from copy import deepcopy
from datetime import date
from xml.etree import ElementTree as ET

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
BOOK, STYLES, TYPES = "xl/workbook.xml", "xl/styles.xml", "[Content_Types].xml"
DAY_ZERO = date(1899, 12, 30)

ET.register_namespace("", MAIN)
ET.register_namespace("r", OFFICE)


def tag(name):
    """An element's full name."""
    return f"{{{MAIN}}}{name}"


def number_of(letters):
    """The number of a column."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def split(address):
    """Column number and row number of an address."""
    letters, digits = re.fullmatch(r"([A-Z]+)([0-9]+)", address).groups()
    return number_of(letters), int(digits)


class Surgery:
    """The parts of one workbook; sheets are parsed once they are touched."""

    def __init__(self, content):
        """Take the zip apart."""
        with zipfile.ZipFile(io.BytesIO(content)) as book:
            self.parts = {name: book.read(name) for name in book.namelist()}
        self._trees = {}

    def tree(self, name):
        """The elements of a part."""
        if name not in self._trees:
            self._trees[name] = ET.fromstring(self.parts[name])  # noqa: S314 - our own
        return self._trees[name]

    def part_of(self, title):
        """The part that holds a sheet; our writer numbers them in their order."""
        titles = [each.get("name") for each in self.tree(BOOK).iter(tag("sheet"))]
        return f"xl/worksheets/sheet{titles.index(title) + 1}.xml"

    def sheet(self, title):
        """The elements of a sheet."""
        return self.tree(self.part_of(title))

    def rows(self, title):
        """The element that holds the rows of a sheet."""
        return self.sheet(title).find(tag("sheetData"))

    def row(self, title, number):
        """A row by its number, made where it is not there."""
        data, before = self.rows(title), 0
        for at, each in enumerate(data):
            if int(each.get("r")) == number:
                return each
            if int(each.get("r")) < number:
                before = at + 1
        made = ET.Element(tag("row"), {"r": str(number)})
        data.insert(before, made)
        return made

    def cell(self, title, address):
        """A cell by its address, made where it is not there."""
        column, number = split(address)
        row, before = self.row(title, number), 0
        for at, each in enumerate(row):
            here = split(each.get("r"))[0]
            if here == column:
                return each
            if here < column:
                before = at + 1
        made = ET.Element(tag("c"), {"r": address})
        row.insert(before, made)
        return made

    def put(self, title, address, value, style=None, **raw):
        """Type a value; `raw` gives type, formula or value letter by letter instead."""
        cell = self.cell(title, address)
        for each in list(cell):
            cell.remove(each)
        cell.attrib.pop("t", None)
        if style is not None:
            cell.set("s", str(style))
        if raw:
            if raw.get("t"):
                cell.set("t", raw["t"])
            for name in ("f", "v"):
                if name in raw:
                    ET.SubElement(cell, tag(name)).text = raw[name]
        else:
            _fill(cell, value)
        return cell

    def style_of(self, title, address):
        """The number of a cell's format."""
        return int(self.cell(title, address).get("s", "0"))

    def style(self, like=0, code=None, font=None, fill=None):
        """A further cell format like another one; `font` and `fill` are XML."""
        styles = self.tree(STYLES)
        formats = styles.find(tag("cellXfs"))
        made = deepcopy(formats[like])
        if code is not None:
            codes = styles.find(tag("numFmts"))
            if codes is None:
                codes = ET.Element(tag("numFmts"))
                styles.insert(0, codes)
            ident = 400 + len(codes)
            ET.SubElement(codes, tag("numFmt"), {"numFmtId": str(ident), "formatCode": code})
            made.set("numFmtId", str(ident))
        for name, xml in (("font", font), ("fill", fill)):
            if xml:
                listed = styles.find(tag(f"{name}s"))
                whole = xml.replace("<", f'<{name} xmlns="{MAIN}"><', 1) + f"</{name}>"
                listed.append(ET.fromstring(whole))  # noqa: S314 - our own
                made.set(f"{name}Id", str(len(listed) - 1))
        formats.append(made)
        return len(formats) - 1

    def insert(self, title, after, element):
        """Put an element behind another one of a sheet."""
        root = self.sheet(title)
        names = [each.tag for each in root]
        root.insert(names.index(tag(after)) + 1, element)

    def replace(self, name, old, new):
        """Other letters in a part; the old ones must be there."""
        text = self.text(name)
        assert old in text, (name, text[:600])
        self._trees.pop(name, None)
        self.parts[name] = text.replace(old, new, 1).encode()

    def text(self, name):
        """A part as text."""
        if name in self._trees:
            return ET.tostring(self._trees[name], encoding="unicode")
        return self.parts[name].decode()

    def content(self):
        """The workbook put together again."""
        stream = io.BytesIO()
        with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as book:
            for name in [*self.parts, *(each for each in self._trees if each not in self.parts)]:
                tree = self._trees.get(name)
                book.writestr(name, self.parts[name] if tree is None else ET.tostring(tree, "utf-8"))
        return stream.getvalue()


def _fill(cell, value):
    """A value as spreadsheets write it."""
    match value:
        case None:
            return
        case bool():
            cell.set("t", "b")
            ET.SubElement(cell, tag("v")).text = str(int(value))
        case str():
            cell.set("t", "inlineStr")
            text = ET.SubElement(ET.SubElement(cell, tag("is")), tag("t"))
            text.set("{http://www.w3.org/XML/1998/namespace}space", "preserve")
            text.text = escaped(value)
        case date():
            ET.SubElement(cell, tag("v")).text = str((value - DAY_ZERO).days)
        case _:
            ET.SubElement(cell, tag("v")).text = repr(value)


def escaped(text):
    """Letters that XML cannot hold as Excel writes them."""
    return re.sub("[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]", lambda match: f"_x{ord(match[0]):04X}_", text)
