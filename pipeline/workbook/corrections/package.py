"""A workbook's parts, some of them changed; every other part goes into the new file as it was."""

import io
import posixpath
import re
import zipfile
from collections.abc import Iterator
from xml.sax.saxutils import quoteattr

from pipeline.errors import WorkbookRefusedError
from pipeline.workbook.container import Container
from pipeline.workbook.parts import TYPES, Book, Relation, SheetPart, book, main_part, relations
from pipeline.workbook.tally import encoding_of

NEW_PART_DATE = (2026, 1, 1, 0, 0, 0)
RELATION_TYPE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
CONTENT_TYPE = "application/vnd.openxmlformats-officedocument"
EMPTY_RELATIONS = (
    b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"></Relationships>'
)
DECLARATION = re.compile(r"^\s*<\?xml[^>]*\?>")


class Package(Container):
    """A container whose parts may be changed, added and dropped before it is written as a new file."""

    def __init__(self, content: bytes) -> None:
        """Check the zip as every reading does; raises WorkbookRefusedError."""
        super().__init__(content)
        self._new: dict[str, bytes] = {}
        self.main = main_part(self)

    def pieces(self, name: str) -> Iterator[bytes]:
        """A part in pieces, changed or as it was."""
        if name in self._new:
            yield self._new[name]
        else:
            yield from super().pieces(name)

    def xml(self, name: str) -> bytes:
        """A part of XML in UTF-8, whatever it was in."""
        content = self.part(name)
        encoding = encoding_of(content)
        if encoding.lower().replace("-", "") in {"utf8", "usascii", "ascii"}:
            return content
        return DECLARATION.sub("", content.decode(encoding)).encode("utf-8")

    def put(self, name: str, content: bytes) -> None:
        """Change a part or add one."""
        self._new[name] = content
        self.names |= {name}

    def drop(self, name: str) -> None:
        """Leave a part out of the new file, its pointers and its entry in the list of types with it."""
        self._new.pop(name, None)
        self.names -= {name, relations_part(name)}
        entry = re.compile(
            rb"<(?:[\w.-]+:)?Override\b[^<>]*PartName=([\"'])/" + re.escape(name.encode()) + rb"\1[^<>]*/>"
        )
        self.put(TYPES, entry.sub(b"", self.xml(TYPES)))

    def add_part(self, name: str, content: bytes, content_type: str) -> str:
        """Add a part under this name or the nearest free one, with its type; gives the name."""
        free = name
        stem, ending = posixpath.splitext(name)
        number = 1
        while free in self.names:
            number += 1
            free = f"{stem}{number}{ending}"
        self.put(free, content)
        entry = f'<Override PartName="/{free}" ContentType="{CONTENT_TYPE}.{content_type}"/>'
        self.put(TYPES, into_root(self.xml(TYPES), entry.encode()))
        return free

    def relate(self, part: str, target: str, kind: str) -> str:
        """Let a part point at another; gives the id of the pointer."""
        path = relations_part(part)
        known = self.xml(path) if path in self.names else EMPTY_RELATIONS
        number = 1
        while f"rIdCorrections{number}".encode() in known:
            number += 1
        pointer = f"rIdCorrections{number}"
        where = quoteattr(f"/{target}")
        entry = f'<Relationship Id="{pointer}" Type="{RELATION_TYPE}/{kind}" Target={where}/>'
        self.put(path, into_root(known, entry.encode()))
        return pointer

    def unrelate(self, part: str, target: str) -> None:
        """Take away a part's pointer at another; a list of pointers that is empty then goes with it."""
        path = relations_part(part)
        ids = [name for name, each in self.pointers(part).items() if each.target == target]
        content = self.xml(path)
        for name in ids:
            entry = re.compile(
                rb"<(?:[\w.-]+:)?Relationship\b[^<>]*\bId=([\"'])" + re.escape(name.encode()) + rb"\1[^<>]*?/>"
            )
            content = entry.sub(b"", content)
        self.put(path, content)
        if b"Relationship " not in content:
            self.names -= {path}

    def pointers(self, part: str) -> dict[str, Relation]:
        """The pointers of a part by their id."""
        return relations(self, part)

    def book(self) -> Book:
        """Sheets, pointers and names of the workbook as they are now."""
        return book(self, self.main)

    def sheets(self) -> list[SheetPart]:
        """The sheets of cells, in the order of their tabs."""
        whole = self.book()
        cells = {each.target for each in whole.relations.values() if each.kind.endswith("/worksheet")}
        return [each for each in whole.sheets if each.part in cells]

    def save(self) -> tuple[bytes, tuple[str, ...]]:
        """The new file, and the damaged parts that had to stay out of it."""
        stream, lost = io.BytesIO(), list[str]()
        with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as file:
            for info in self._infos():
                try:
                    file.writestr(info, self.part(info.filename), zipfile.ZIP_DEFLATED)
                except WorkbookRefusedError:
                    lost.append(info.filename)
        return stream.getvalue(), tuple(lost)

    def _infos(self) -> list[zipfile.ZipInfo]:
        """Members in their old order with their old dates, new ones after them."""
        given = [each for each in self._zip.infolist() if each.filename in self.names]
        old = [zipfile.ZipInfo(each.filename, each.date_time) for each in given]
        added = sorted(self._new.keys() & self.names - {each.filename for each in old})
        return old + [zipfile.ZipInfo(name, NEW_PART_DATE) for name in added]


def relations_part(part: str) -> str:
    """The name of the part that holds another's pointers."""
    folder, name = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def into_root(xml: bytes, piece: bytes) -> bytes:
    """A small list of XML with one more entry at its end; the entry takes the prefix of the root."""
    alone = re.search(rb"<((?:[\w.-]+:)?[\w.-]+)([^<>]*)/>\s*$", xml)
    if alone and xml.count(b"<") - xml.count(b"<?") == 1:
        xml = xml[: alone.start()] + b"<" + alone[1] + alone[2] + b"></" + alone[1] + b">"
    at = xml.rindex(b"</")
    prefix = re.match(rb"</((?:[\w.-]+:)?)", xml[at:])
    return xml[:at] + prefixed(piece, prefix[1] if prefix else b"") + xml[at:]


def prefixed(piece: bytes, prefix: bytes) -> bytes:
    """Elements of ours under the prefix that a file gives to its own."""
    return re.sub(rb"<(/?)(?=[A-Za-z])", rb"<\1" + prefix, piece) if prefix else piece
