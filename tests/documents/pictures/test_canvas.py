import math
import struct

import pytest

from pipeline.documents.pictures.canvas import DASHED, THICK, THIN, Box, Canvas, Pen
from pipeline.documents.pictures.lettering import Lettering, width
from tests.documents.pictures.plant import Line, letters_of, lines_of, records_of


def lines_on(canvas: Canvas) -> list[Line]:
    return lines_of(canvas.picture(100, ""))


def test_a_picture_is_as_large_as_asked_and_carries_its_words() -> None:
    picture = Canvas(50).picture(20, "Nothing yet.")
    assert (picture.width_mm, picture.height_mm, picture.alt, picture.suffix) == (50, 20, "Nothing yet.", "emf")


def test_a_line_runs_where_it_was_drawn() -> None:
    canvas = Canvas(50)
    canvas.line((1, 2), (3.25, 4))
    assert lines_on(canvas) == [[(1, 2), (3.25, 4)]]


@pytest.mark.parametrize(("anchor", "share"), [("left", 0), ("middle", 0.5), ("right", 1)])
def test_a_text_stands_with_its_anchor_at_the_spot(anchor: str, share: float) -> None:
    canvas, style = Canvas(50), Lettering(8, anchor=anchor)
    canvas.text((25, 10), "Zs 0.39 Ω", style)
    (found,) = letters_of(canvas.picture(20, ""))
    assert found.x == pytest.approx(25 - share * width("Zs 0.39 Ω", style), abs=0.01)
    assert (found.text, found.y, round(found.size_pt, 1)) == ("Zs 0.39 Ω", 10, 8)


def test_an_empty_text_leaves_no_trace() -> None:
    canvas = Canvas(50)
    canvas.text((25, 10), "")
    assert letters_of(canvas.picture(20, "")) == []


def test_advances_add_up_to_the_width_of_the_text_even_beyond_the_basic_plane() -> None:
    canvas, text = Canvas(50), "Way 9 ⚡ \U0001f50c Ω"
    canvas.text((0, 10), text)
    (body,) = (body for kind, body in records_of(canvas.picture(20, "").data) if kind == 84)
    count = struct.unpack_from("<I", body, 36)[0]
    advances = struct.unpack_from(f"<{count}I", body, struct.unpack_from("<I", body, 64)[0] - 8)
    assert count == len(text.encode("utf-16-le")) // 2
    assert sum(advances) / 100 == pytest.approx(width(text), abs=0.01)


def test_a_dashed_line_begins_and_ends_with_ink_and_has_gaps() -> None:
    canvas = Canvas(50)
    canvas.line((1, 5), (31, 5), DASHED)
    dashes = lines_on(canvas)
    assert (dashes[0][0], dashes[-1][-1]) == ((1, 5), (31, 5))
    assert sum(math.dist(*each) for each in dashes) < 25


def test_a_dashed_pen_survives_a_line_without_length() -> None:
    canvas = Canvas(50)
    canvas.line((1, 5), (1, 5), DASHED)
    assert lines_on(canvas) == [[(1, 5), (1, 5)]]


def test_a_hatch_stays_inside_its_box_and_fills_it() -> None:
    canvas, box = Canvas(50), Box(10, 20, 30, 3)
    canvas.hatch(box, 1)
    lines = lines_on(canvas)
    assert len(lines) == 32
    assert all(box.x <= x <= box.right and box.y <= y <= box.bottom for line in lines for x, y in line)
    assert all(abs(x2 - x1) == pytest.approx(abs(y2 - y1), abs=0.02) for (x1, y1), (x2, y2) in lines)


def test_an_arc_keeps_its_radius_from_start_to_end() -> None:
    canvas = Canvas(50)
    canvas.arc((20, 20), 5, 90, 180)
    (line,) = lines_on(canvas)
    assert (line[0], line[-1]) == ((20, 25), (15, 20))
    assert all(math.dist(each, (20, 20)) == pytest.approx(5, abs=0.02) for each in line)


def test_a_pen_is_stored_once_however_often_it_is_taken_up() -> None:
    canvas = Canvas(50)
    for pen in (THIN, THICK, THIN, THICK, Pen(0.25)):
        canvas.line((1, 1), (2, 2), pen)
    kinds = [kind for kind, _ in records_of(canvas.picture(20, "").data)]
    assert (kinds.count(95), kinds.count(37)) == (2, 5)
