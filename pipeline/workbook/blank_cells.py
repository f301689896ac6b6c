"""Takes formatted but empty cells and rows out of a sheet's XML before it is parsed.

People format whole columns: a million empty rows would otherwise take longer to read than the week itself.
"""

import re
from collections.abc import Iterable, Iterator

EMPTY_CELL = re.compile(rb"<c(?=[ />])[^<>]*(?:/>|>\s*</c>)")
EMPTY_ROW = re.compile(rb"<row(?=[ />])[^<>]*(?:/>|>\s*</row>)")
ROW = b"<row"
# where what looks like a cell may be a text
DOUBTFUL = (b"<![CDATA[", b"<!--")
WIDE_CHARACTERS = (b"\xff\xfe", b"\xfe\xff", b"<\0", b"\0<")


def without_blanks(pieces: Iterable[bytes]) -> Iterator[bytes]:
    """The same XML without empty cells and rows; where there is any doubt, the XML as it is."""
    waiting, doubtful, first = b"", False, True
    for piece in pieces:
        waiting += piece
        doubtful = (
            doubtful or (first and piece.startswith(WIDE_CHARACTERS)) or any(each in waiting for each in DOUBTFUL)
        )
        first = False
        cut = len(waiting) if doubtful else max(waiting.rfind(ROW), 0)
        whole, waiting = waiting[:cut], waiting[cut:]
        yield whole if doubtful else EMPTY_ROW.sub(b"", EMPTY_CELL.sub(b"", whole))
    yield waiting
