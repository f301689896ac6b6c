"""The zip around a workbook: what kind of file it really is, and whether it is safe to look inside."""

import io
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import PurePosixPath
from xml.parsers import expat

from pipeline.errors import WorkbookRefusedError
from pipeline.workbook.safe_xml import SAVE_AGAIN, damaged, parser

LARGEST_MEMBERS = 1_000
LARGEST_INFLATED = 600_000_000
LARGEST_RATIO = 200
RATIO_FROM = 5_000_000
PIECE = 1 << 20
ENCRYPTED_FLAG = 0x1
USUAL_PACKING = frozenset({zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED})
LOCAL_HEADER = b"PK\x03\x04"
OLE = bytes.fromhex("d0cf11e0a1b11ae1")
HEADER_SIZE = 30


class Container:
    """A workbook's zip once it has proved safe; parts are inflated in pieces and counted while they grow."""

    def __init__(self, content: bytes) -> None:
        """Look at kind, directory and places of the members; raises WorkbookRefusedError."""
        refuse_other_kinds(content)
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(content))
        except (zipfile.BadZipFile, ValueError, NotImplementedError, EOFError):
            raise WorkbookRefusedError(
                "The file is incomplete: its end is missing or damaged.",
                "Wait until copying or saving has finished, then try again; or fetch a fresh copy.",
            ) from None
        members = self._zip.infolist()
        refuse_unsafe_directory(members)
        refuse_overlaps(members, content)
        self.names = frozenset(member.filename for member in members)

    def pieces(self, name: str) -> Iterator[bytes]:
        """A part in pieces; raises WorkbookRefusedError where it is missing, damaged, or larger than it claims."""
        if name not in self.names:
            raise damaged(name)
        member, seen = self._zip.getinfo(name), 0
        try:
            with self._zip.open(member) as stream:
                while piece := stream.read(PIECE):
                    seen += len(piece)
                    yield piece
        except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError, RuntimeError):
            raise damaged(name) from None
        if seen != member.file_size:
            raise damaged(name)

    def part(self, name: str) -> bytes:
        """A whole part."""
        return b"".join(self.pieces(name))

    def check_parts(self, used: frozenset[str]) -> list[str]:
        """Read every part to its end and refuse dangerous XML in any; names the damaged parts nobody uses."""
        hurt = []
        for name in sorted(self.names):
            try:
                self._scan(name)
            except WorkbookRefusedError as refusal:
                if name in used or "damaged" not in refusal.message:
                    raise
                hurt.append(name)
        return hurt

    def _scan(self, name: str) -> None:
        """Inflate one part against its checksum and, where it is XML, let the strict parser see all of it."""
        reader = None
        for number, piece in enumerate(self.pieces(name)):
            if number == 0 and looks_like_xml(piece):
                reader = parser(name)
            if reader:
                _feed(reader, piece, name, last=False)
        if reader:
            _feed(reader, b"", name, last=True)


def _feed(reader: expat.XMLParserType, piece: bytes, name: str, *, last: bool) -> None:
    """Give the parser a piece; trouble with it is damage."""
    try:
        reader.Parse(piece, last)
    except (expat.ExpatError, ValueError, LookupError):
        raise damaged(name) from None


def looks_like_xml(start: bytes) -> bool:
    """Whether a part begins as XML does, in any encoding that a parser takes."""
    marks = (b"\xff\xfe", b"\xfe\xff", b"<\0", b"\0<")
    return start.startswith(marks) or start.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<")


def refuse_unsafe_directory(members: list[zipfile.ZipInfo]) -> None:
    """Refuse what no writer of workbooks makes: too many or too large members, twins, odd paths, passwords."""
    if len(members) > LARGEST_MEMBERS:
        _refuse(f"The file holds {len(members)} parts; a workbook has fewer than {LARGEST_MEMBERS}.")
    names = [member.filename.casefold() for member in members]
    if len(set(names)) < len(names):
        _refuse("The file holds the same part twice, so it is not clear which one counts.")
    for member in members:
        refuse_path(member.filename)
        if member.flag_bits & ENCRYPTED_FLAG:
            _refuse("Parts of the file are locked with a password.")
        if member.compress_type not in USUAL_PACKING:
            _refuse("Parts of the file are packed in a way that Excel does not use.")
        if member.file_size > RATIO_FROM and member.file_size > LARGEST_RATIO * max(member.compress_size, 1):
            _refuse("The file would swell to an absurd size when opened.")
    if sum(member.file_size for member in members) > LARGEST_INFLATED:
        _refuse(f"The file would swell to more than {LARGEST_INFLATED // 1_000_000} MB when opened.")


def refuse_path(name: str) -> None:
    """Refuse a member whose name would lead outside of a folder."""
    path = PurePosixPath(name.replace("\\", "/"))
    if path.is_absolute() or ".." in path.parts or ":" in name or "\0" in name:
        _refuse("The file holds a part whose name leads outside of it.")


def refuse_overlaps(members: list[zipfile.ZipInfo], content: bytes) -> None:
    """Refuse members that share bytes, and local headers that tell another story than the directory."""
    end = 0
    ordered = sorted(members, key=lambda each: each.header_offset)
    if ordered and ordered[0].header_offset:
        _refuse("Something stands in front of the workbook within its own file.")
    for member in ordered:
        start = member.header_offset
        header = content[start : start + HEADER_SIZE]
        if start < end or header[:4] != LOCAL_HEADER:
            _refuse("Parts of the file lie over each other.")
        names = int.from_bytes(header[26:28], "little") + int.from_bytes(header[28:30], "little")
        end = start + HEADER_SIZE + names + member.compress_size


def _refuse(message: str) -> None:
    """Refuse a container that only an attacker or a broken program makes."""
    raise WorkbookRefusedError(message, SAVE_AGAIN)


# how the files begin that people take for workbooks → what they are
STARTS: tuple[tuple[bytes, str], ...] = (
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"\x1f\x8b", "a compressed file"),
    (b"7z\xbc\xaf", "a compressed file"),
    (b"Rar!", "a compressed file"),
    (b"{\\rtf", "a text document"),
)


def refuse_other_kinds(content: bytes) -> None:
    """Refuse by content, not by name, whatever is not a zip; the message names what it is."""
    if content.startswith(LOCAL_HEADER):
        return
    if not content:
        raise WorkbookRefusedError("The file is empty.", "Copy it again from where it came.")
    if content.startswith(OLE):
        _refuse_old(content)
    for start, kind in STARTS:
        if content.startswith(start):
            raise WorkbookRefusedError(f"The file is {kind}, not an Excel workbook.", "Choose the week's workbook.")
    kind = _text_kind(content)
    if kind:
        raise WorkbookRefusedError(f"The file is {kind}, not an Excel workbook, whatever its name says.", SAVE_AGAIN)
    raise WorkbookRefusedError("The file is not an Excel workbook, or it is damaged from its start.", SAVE_AGAIN)


def _refuse_old(content: bytes) -> None:
    """Refuse the old container format: a workbook with a password, or one of the format before .xlsx."""
    if "EncryptedPackage".encode("utf-16-le") in content:
        raise WorkbookRefusedError(
            "The workbook is locked with a password.", "Open it in Excel, remove the password, and save it again."
        )
    raise WorkbookRefusedError("The file has the old Excel format (.xls).", SAVE_AGAIN)


def _text_kind(content: bytes) -> str:
    """What kind of text a file is, or nothing where it is none."""
    start = content[:4096]
    if start.startswith((b"\xff\xfe", b"\xfe\xff")):  # Excel's 'Unicode text' is a list in UTF-16
        start = start.decode("utf-16", "ignore").encode()
    if b"<html" in start.lower() or b"<table" in start.lower() or b"<!doctype" in start.lower():
        return "a web page"
    if looks_like_xml(start):
        return "an XML text"
    if b"\0" in start:
        return ""
    return "plain text such as a CSV list"
