"""The few records of an Enhanced Metafile that line drawings need ([MS-EMF], revision 14 and later; from memory).

One logical unit is 0.01 mm, so that a drawing of up to 320 mm fits into the 16-bit points of the short records.
"""

import struct
from collections.abc import Sequence

from pipeline.documents.pictures.lettering import FACE, Ink

Point = tuple[int, int]

UNITS_PER_MM = 100
NO_PEN, NO_BRUSH = 0x80000008, 0x80000005  # stock objects

_HEADER, _WINDOW_EXTENT, _WINDOW_ORIGIN, _VIEWPORT_EXTENT, _VIEWPORT_ORIGIN = 1, 9, 10, 11, 12
_END, _MAP_MODE, _BACKGROUND_MODE, _TEXT_ALIGN, _TEXT_COLOUR = 14, 17, 18, 22, 24
_SELECT, _BRUSH, _ELLIPSE, _FONT, _TEXT, _POLYGON, _POLYLINE, _PEN = 37, 39, 42, 82, 84, 86, 87, 95
_ANISOTROPIC, _TRANSPARENT, _BASELINE = 8, 1, 24
_GEOMETRIC_FLAT_MITRE = 0x10000 | 0x200 | 0x2000
_GRAPHICS_ADVANCED, _BY_POINTS, _SWISS = 2, 0, 0x22
_HEADER_SIZE, _TEXT_START = 108, 76


def record(kind: int, body: bytes) -> bytes:
    """One record: type, size, body filled up to four bytes."""
    body += bytes(-len(body) % 4)
    return struct.pack("<II", kind, 8 + len(body)) + body


def pen(handle: int, thickness: int, ink: Ink) -> bytes:
    """A solid pen with flat ends and mitred corners."""
    return record(
        _PEN, struct.pack("<11I", handle, 0, 0, 0, 0, _GEOMETRIC_FLAT_MITRE, thickness, 0, _colour(ink), 0, 0)
    )


def brush(handle: int, ink: Ink) -> bytes:
    """A solid brush."""
    return record(_BRUSH, struct.pack("<4I", handle, 0, _colour(ink), 0))


def font(handle: int, size: int, *, bold: bool) -> bytes:
    """The one face in a size (height of an em) and weight."""
    plain = struct.pack("<5i8B", -size, 0, 0, 0, 700 if bold else 400, 0, 0, 0, 0, 0, 0, 0, _SWISS)
    names = FACE.encode("utf-16-le").ljust(64, b"\0") + bytes(64 * 2 + 32 * 2)
    return record(_FONT, struct.pack("<I", handle) + plain + names + bytes(36))


def select(handle: int) -> bytes:
    """Draw with this object from now on."""
    return record(_SELECT, struct.pack("<I", handle))


def colour(ink: Ink) -> bytes:
    """The ink of texts from now on."""
    return record(_TEXT_COLOUR, struct.pack("<I", _colour(ink)))


def polyline(points: Sequence[Point]) -> bytes:
    """An open line through points."""
    return record(_POLYLINE, _points(points))


def polygon(points: Sequence[Point]) -> bytes:
    """A closed and filled line through points."""
    return record(_POLYGON, _points(points))


def ellipse(left: int, top: int, right: int, bottom: int) -> bytes:
    """An ellipse in its box."""
    return record(_ELLIPSE, struct.pack("<4i", left, top, right, bottom))


def text(at: Point, letters: str, advances: Sequence[int]) -> bytes:
    """A text from its left end on its base line, with the advance of every UTF-16 unit."""
    encoded = letters.encode("utf-16-le")
    count, filled = len(encoded) // 2, encoded + bytes(-len(encoded) % 4)
    head = struct.pack("<4iIff", 0, 0, -1, -1, _GRAPHICS_ADVANCED, 1.0, 1.0)
    place = struct.pack("<2i3I4iI", *at, count, _TEXT_START, _BY_POINTS, 0, 0, -1, -1, _TEXT_START + len(filled))
    return record(_TEXT, head + place + filled + struct.pack(f"<{count}I", *advances))


def metafile(width: int, height: int, handles: int, drawing: Sequence[bytes]) -> bytes:
    """A whole file around drawing records that use so many objects."""
    setting = (
        record(_MAP_MODE, struct.pack("<I", _ANISOTROPIC)),
        record(_WINDOW_ORIGIN, struct.pack("<2i", 0, 0)),
        record(_WINDOW_EXTENT, struct.pack("<2i", width, height)),
        record(_VIEWPORT_ORIGIN, struct.pack("<2i", 0, 0)),
        record(_VIEWPORT_EXTENT, struct.pack("<2i", width, height)),
        record(_BACKGROUND_MODE, struct.pack("<I", _TRANSPARENT)),
        record(_TEXT_ALIGN, struct.pack("<I", _BASELINE)),
    )
    end = record(_END, struct.pack("<3I", 0, 16, 20))
    body = b"".join((*setting, *drawing, end))
    return _header(width, height, (_HEADER_SIZE + len(body), len(setting) + len(drawing) + 2, handles + 1)) + body


def _header(width: int, height: int, counts: tuple[int, int, int]) -> bytes:
    """The first record: the frame, counts of bytes, records and objects, and a device of 100 dots a millimetre."""
    frame = struct.pack("<8i", 0, 0, width, height, 0, 0, width, height)
    sizes = struct.pack("<4s3I2H3I", b" EMF", 0x10000, counts[0], counts[1], counts[2], 0, 0, 0, 0)
    device = struct.pack("<4i3I2i", 32000, 32000, 320, 320, 0, 0, 0, 320000, 320000)
    return record(_HEADER, frame + sizes + device)


def _points(points: Sequence[Point]) -> bytes:
    """Bounding box, count and points of a polygonal record."""
    across, down = zip(*points, strict=True)
    box = struct.pack("<4iI", min(across), min(down), max(across), max(down), len(points))
    return box + b"".join(struct.pack("<2h", *each) for each in points)


def _colour(ink: Ink) -> int:
    """A colour as the file holds it: red in the lowest byte."""
    red, green, blue = ink
    return red | green << 8 | blue << 16
