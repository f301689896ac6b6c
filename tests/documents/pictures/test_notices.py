import math
import struct

import pytest

from pipeline.documents.pictures import NOTICE_SYMBOLS, notice_symbol
from pipeline.documents.pictures.notices import BLUE, RED, YELLOW
from tests.documents.pictures.plant import letters_of, records_of

Shape = tuple[tuple[int, int, int], list[tuple[int, int]]]
BLACK = (0, 0, 0)
PLATES = {"electricity": YELLOW, "warning": YELLOW, "disconnect": BLUE, "read instructions": BLUE, "do not use": RED}
PLATES["protective earth"] = BLACK


def shapes_of(name: str) -> list[Shape]:
    """Filled polygons and boxes of ellipses with their colour, in the order of drawing."""
    inks: dict[int, tuple[int, int, int]] = {}
    ink = (0, 0, 0)
    found = []
    for kind, body in records_of(notice_symbol(name, 100).data):
        head = struct.unpack_from("<4I", body.ljust(16, b"\0"))
        if kind == 39:
            inks[head[0]] = (head[2] & 255, head[2] >> 8 & 255, head[2] >> 16 & 255)
        elif kind == 37:
            ink = inks.get(head[0], ink)
        elif kind == 42:
            left, top, right, bottom = struct.unpack_from("<4i", body)
            found.append((ink, [(left, top), (right, bottom)]))
        elif kind == 86:
            flat = struct.unpack_from(f"<{2 * struct.unpack_from('<I', body, 16)[0]}h", body, 20)
            found.append((ink, list(zip(flat[::2], flat[1::2], strict=True))))
    return found


def area(corners: list[tuple[int, int]]) -> float:
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2


def test_every_sign_shows_its_safety_colour_and_no_letters() -> None:
    assert set(PLATES) == set(NOTICE_SYMBOLS)
    for name, ink in PLATES.items():
        assert ink in {each for each, _ in shapes_of(name)}
        assert letters_of(notice_symbol(name)) == []


@pytest.mark.parametrize("name", ["electricity", "warning"])
def test_a_warning_is_a_triangle_of_equal_sides_half_yellow_or_more(name: str) -> None:
    (edge, outer), (inside, inner), *signs = shapes_of(name)
    across, down = ([each[axis] for each in outer] for axis in (0, 1))
    assert (edge, inside) == ((0, 0, 0), YELLOW)
    assert (max(across) - min(across)) / (max(down) - min(down)) == pytest.approx(2 / math.sqrt(3), rel=0.03)
    black = sum(area(corners) for _, corners in signs if len(corners) > 2)
    assert (area(inner) - black) / area(outer) >= 0.5


@pytest.mark.parametrize("name", ["electricity", "warning"])
def test_the_sign_of_a_warning_stays_on_the_yellow(name: str) -> None:
    _, (_, inner), *signs = shapes_of(name)
    top = min(y for _, y in inner)
    for _, corners in signs:
        for x, y in corners:
            assert abs(x - 5000) <= (y - top) / math.sqrt(3)
            assert y < max(down for _, down in inner)


@pytest.mark.parametrize("name", ["disconnect", "read instructions"])
def test_a_duty_is_a_blue_disc_with_a_white_sign(name: str) -> None:
    (ink, ((left, top), (right, bottom))), *signs = shapes_of(name)
    assert (ink, right - left) == (BLUE, bottom - top)
    assert {each for each, _ in signs} <= {(255, 255, 255), BLUE}


def test_a_prohibition_is_a_red_ring_on_white() -> None:
    (outer, ((left, _), (right, _))), (inner, ((inner_left, _), _)), *_ = shapes_of("do not use")
    assert (outer, inner) == (RED, (255, 255, 255))
    assert (inner_left - left) / (right - left) == pytest.approx(0.1, abs=0.005)


def test_a_sign_is_as_large_as_asked_and_says_what_it_means() -> None:
    picture = notice_symbol("do not use", 26)
    assert (picture.width_mm, picture.height_mm, picture.alt) == (26, 26, "Prohibition sign: do not use.")


def test_a_sign_that_is_not_there_is_refused() -> None:
    with pytest.raises(KeyError):
        notice_symbol("smile")
