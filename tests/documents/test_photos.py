"""Photos made ready for print."""

import io

import pytest
from documents.sample import photo
from PIL import Image as Pictures

from pipeline.documents.photos import LOGO_TALLEST, LOGO_WIDEST, LONGEST, TALLEST, WIDEST, printable, printable_logo
from pipeline.errors import MachineError

TURNED = 6  # EXIF orientation: the camera was held upright
PLACE = 0x8825  # EXIF: where the photo was taken


def test_a_large_photo_is_made_small():
    made = printable("a.jpg", photo(4000, 3000), "words")
    with Pictures.open(io.BytesIO(made.content)) as read:
        assert max(read.size) == LONGEST
    assert made.width <= WIDEST
    assert made.height <= TALLEST


def test_a_small_photo_stays_small_in_pixels():
    with Pictures.open(io.BytesIO(printable("a.png", photo(300, 200, "PNG"), "words").content)) as read:
        assert read.size == (300, 200)
        assert read.format == "JPEG"


def test_a_turned_photo_stands_upright_and_loses_what_the_camera_wrote():
    stream = io.BytesIO()
    exif = Pictures.Exif()
    exif[0x0112] = TURNED
    exif[PLACE] = {1: "N"}
    Pictures.open(io.BytesIO(photo(600, 400))).save(stream, "JPEG", exif=exif)
    made = printable("a.jpg", stream.getvalue(), "words")
    assert made.height > made.width
    with Pictures.open(io.BytesIO(made.content)) as read:
        assert not read.getexif()


def test_equal_photos_give_equal_bytes():
    printable.cache_clear()
    first = printable("a.jpg", photo(), "words")
    printable.cache_clear()
    assert printable("a.jpg", photo(), "words") == first


@pytest.mark.parametrize("content", [b"", b"no picture", photo()[:200]])
def test_a_file_that_is_no_picture_is_refused_by_name(content: bytes):
    with pytest.raises(MachineError, match=r"board\.jpg"):
        printable("board.jpg", content, "words")


def test_a_transparent_logo_stands_on_white_within_its_room():
    stream = io.BytesIO()
    Pictures.new("RGBA", (3000, 300), (200, 0, 0, 0)).save(stream, "PNG")
    made = printable_logo("logo.png", stream.getvalue(), "Logo of Firm")
    with Pictures.open(io.BytesIO(made.content)) as read:
        assert read.getpixel((5, 5)) == (255, 255, 255)
    assert made.width <= LOGO_WIDEST
    assert made.height <= LOGO_TALLEST
    assert made.words == "Logo of Firm"


def test_a_logo_that_is_no_picture_is_told():
    with pytest.raises(MachineError, match=r"The logo logo\.png"):
        printable_logo("logo.png", b"text", "words")
