"""Photos for the demo: small drawings that nobody can take for a photograph, no two of them alike."""

from io import BytesIO
from typing import TYPE_CHECKING

from pipeline.demo.physics import whole
from pipeline.facts.choices import PhotoShows

if TYPE_CHECKING:
    from PIL import ImageDraw

SIZE = (800, 600)
INK, PAPER, SHADE, ACCENT = (31, 78, 95), (247, 249, 250), (191, 214, 221), (214, 132, 60)


def drawing(job: str, shows: str, caption: str) -> bytes:
    """A labelled sketch of one thing as a JPEG; the same words always give the same bytes."""
    from PIL import Image, ImageDraw, ImageFont  # noqa: PLC0415 - heavy

    image = Image.new("RGB", SIZE, PAPER)
    draw = ImageDraw.Draw(image)
    draw.rectangle((12, 12, SIZE[0] - 13, SIZE[1] - 13), outline=INK, width=3)
    _SKETCHES.get(PhotoShows(shows), _other)(draw, whole(-40, 40, job, shows))
    font, small = ImageFont.load_default(30), ImageFont.load_default(20)
    draw.text((40, 30), f"{job}: {shows}", fill=INK, font=font)
    draw.text((40, 540), f"{caption} · drawing for the demo, not a photograph", fill=INK, font=small)
    held = BytesIO()
    image.save(held, "JPEG", quality=45, optimize=True)
    return held.getvalue()


def _cut_out(draw: "ImageDraw.ImageDraw", shift: int) -> None:
    """A supply cut-out above a meter."""
    x = 300 + shift
    draw.rectangle((x, 120, x + 180, 260), fill=SHADE, outline=INK, width=4)
    draw.rectangle((x + 60, 150, x + 120, 230), fill=PAPER, outline=ACCENT, width=4)
    draw.rectangle((x - 20, 320, x + 200, 480), outline=INK, width=4)
    for column in (40, 90, 140):
        draw.line((x + column, 260, x + column, 320), fill=INK, width=5)


def _board(draw: "ImageDraw.ImageDraw", shift: int) -> None:
    """A board with its devices, one of them new."""
    draw.rectangle((140, 180, 660, 430), outline=INK, width=5)
    new = 3 + (shift + 40) // 16
    for way in range(10):
        x = 165 + 48 * way
        draw.rectangle((x, 230, x + 38, 370), fill=ACCENT if way == new else SHADE, outline=INK, width=2)
        draw.rectangle((x + 12, 270, x + 26, 310), fill=INK)


def _point(draw: "ImageDraw.ImageDraw", shift: int) -> None:
    """A charge point on a wall with its cable."""
    x = 330 + shift
    draw.line((60, 500, 740, 500), fill=INK, width=4)
    draw.rounded_rectangle((x, 180, x + 130, 380), radius=26, fill=SHADE, outline=INK, width=4)
    draw.ellipse((x + 45, 220, x + 85, 260), outline=ACCENT, width=6)
    draw.arc((x + 20, 300, x + 220, 480), 0, 180, fill=INK, width=7)


def _earth(draw: "ImageDraw.ImageDraw", shift: int) -> None:
    """A terminal bar with its conductors."""
    draw.rectangle((180, 270, 620, 320), fill=SHADE, outline=INK, width=4)
    for way in range(6):
        x = 215 + 70 * way + shift // 4
        draw.ellipse((x - 12, 283, x + 12, 307), outline=INK, width=3)
        draw.line((x, 320, x + shift, 470), fill=ACCENT if way % 2 else INK, width=6)


def _electrode(draw: "ImageDraw.ImageDraw", shift: int) -> None:
    """A rod in the ground with its inspection pit."""
    x = 400 + shift
    draw.line((80, 260, 720, 260), fill=INK, width=4)
    draw.rectangle((x - 60, 220, x + 60, 290), outline=INK, width=4)
    draw.line((x, 240, x, 500), fill=ACCENT, width=10)
    draw.line((x, 250, 120, 180), fill=INK, width=5)


def _trench(draw: "ImageDraw.ImageDraw", shift: int) -> None:
    """A cable in an open trench."""
    draw.polygon(((90, 240), (710, 240), (600, 490), (200, 490)), fill=SHADE, outline=INK)
    draw.line((210, 455, 590, 455 + shift // 4), fill=INK, width=14)
    draw.line((230, 390, 570, 390), fill=ACCENT, width=5)


def _plate(draw: "ImageDraw.ImageDraw", shift: int) -> None:
    """A data plate with its lines."""
    draw.rounded_rectangle((180, 160, 620, 470), radius=18, outline=INK, width=4)
    for line in range(6):
        draw.rectangle((220, 200 + 42 * line, 400 + shift + 25 * (line % 3), 218 + 42 * line), fill=SHADE)


def _other(draw: "ImageDraw.ImageDraw", shift: int) -> None:
    """A detail under a lens."""
    draw.ellipse((260 + shift, 160, 520 + shift, 420), outline=INK, width=8)
    draw.line((490 + shift, 390, 620 + shift, 500), fill=INK, width=14)
    draw.line((340 + shift, 230, 430 + shift, 340), fill=ACCENT, width=6)


_SKETCHES = {
    PhotoShows.CUT_OUT: _cut_out,
    PhotoShows.EARTH_TERMINAL: _earth,
    PhotoShows.BOARD: _board,
    PhotoShows.TRENCH: _trench,
    PhotoShows.ELECTRODE: _electrode,
    PhotoShows.DATA_PLATE: _plate,
    PhotoShows.FINISHED: _point,
}
