"""Photos made ready for print: upright, small, without what a camera writes about the place and the owner."""

import io
from functools import lru_cache

from pipeline.documents.pour import Image
from pipeline.errors import MachineError

LONGEST = 1200  # pixels
WIDEST, TALLEST = 110.0, 74.0  # mm; three to a page
QUALITY = 80


@lru_cache(maxsize=256)
def printable(name: str, content: bytes, words: str) -> Image:
    """A photo as a JPEG of at most 1200 pixels a side; raises MachineError for a file that is no picture."""
    from PIL import Image as Pictures  # noqa: PLC0415 - heavy, only where there are photos
    from PIL import ImageOps, UnidentifiedImageError  # noqa: PLC0415

    try:
        with Pictures.open(io.BytesIO(content)) as photo:
            photo.draft("RGB", (LONGEST, LONGEST))
            upright = ImageOps.exif_transpose(photo).convert("RGB")
    except (UnidentifiedImageError, OSError, Pictures.DecompressionBombError) as trouble:
        raise MachineError(
            f"The photo {name} cannot be read as a picture.", "Save it again as .jpg or .png, or leave it out."
        ) from trouble
    upright.thumbnail((LONGEST, LONGEST))
    stream = io.BytesIO()
    upright.save(stream, "JPEG", quality=QUALITY)
    scale = min(WIDEST / upright.width, TALLEST / upright.height)
    return Image(stream.getvalue(), "jpg", upright.width * scale, upright.height * scale, words)
