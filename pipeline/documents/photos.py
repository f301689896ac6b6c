"""Photos made ready for print: upright, small, without what a camera writes about the place and the owner."""

import io
from functools import lru_cache
from typing import TYPE_CHECKING

from pipeline.documents.pour import Image
from pipeline.errors import MachineError

if TYPE_CHECKING:
    from PIL import Image as Pictures

LOGO_WIDEST, LOGO_TALLEST = 50.0, 20.0  # mm
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
    scale = min(WIDEST / upright.width, TALLEST / upright.height)
    return Image(_jpeg(upright), "jpg", upright.width * scale, upright.height * scale, words)


@lru_cache(maxsize=4)
def printable_logo(name: str, content: bytes, words: str) -> Image:
    """A logo as a JPEG on white, for a cover; raises MachineError for a file that is no picture."""
    from PIL import Image as Pictures  # noqa: PLC0415 - heavy, only where there is a logo
    from PIL import UnidentifiedImageError  # noqa: PLC0415

    try:
        with Pictures.open(io.BytesIO(content)) as drawn:
            seen = drawn.convert("RGBA")
    except (UnidentifiedImageError, OSError, Pictures.DecompressionBombError) as trouble:
        raise MachineError(
            f"The logo {name} cannot be read as a picture.", "Save it again as .jpg or .png, or leave it out."
        ) from trouble
    seen.thumbnail((LONGEST, LONGEST))
    flat = Pictures.new("RGB", seen.size, "white")
    flat.paste(seen, mask=seen.getchannel("A"))
    scale = min(LOGO_WIDEST / flat.width, LOGO_TALLEST / flat.height)
    return Image(_jpeg(flat), "jpg", flat.width * scale, flat.height * scale, words)


def _jpeg(picture: "Pictures.Image") -> bytes:
    """A picture as a JPEG."""
    stream = io.BytesIO()
    picture.save(stream, "JPEG", quality=QUALITY)
    return stream.getvalue()
