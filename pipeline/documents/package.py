"""A Word file as its parts: read and written so that equal parts give equal bytes."""

import io
import zipfile
from collections.abc import Mapping

# zip's own beginning of time: a file that carries no clock
_NO_DATE = (1980, 1, 1, 0, 0, 0)


def packed(parts: Mapping[str, bytes]) -> bytes:
    """The file of these parts, in their order."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for name, content in parts.items():
            entry = zipfile.ZipInfo(name, _NO_DATE)
            entry.compress_type = zipfile.ZIP_STORED if name.endswith((".jpg", ".png")) else zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = 0o600 << 16
            archive.writestr(entry, content)
    return stream.getvalue()


def unpacked(content: bytes) -> dict[str, bytes]:
    """The parts of a file by name; raises zipfile.BadZipFile for something else."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}
