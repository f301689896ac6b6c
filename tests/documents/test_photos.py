"""Photos made ready for print."""

import io

import pytest
from documents.sample import photo
from PIL import Image as Pictures

from pipeline.documents.photos import LONGEST, TALLEST, WIDEST, printable
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
