import struct

import segno

from pipeline.documents.pictures import record_code
from pipeline.documents.pictures.code import QUIET
from tests.documents.pictures.plant import records_of

TEXT = f"Certificate EX-0042-1\nrecord sha256 {'ab' * 32}"
SIZE = 29


def dark_modules(data: bytes, count: int) -> list[list[int]]:
    """The squares that are drawn, as a matrix of the code with its quiet zone."""
    pitch = SIZE * 100 / count
    found = [[0] * count for _ in range(count)]
    for kind, body in records_of(data):
        if kind == 86:  # EMR_POLYGON16
            xs_ys = struct.unpack_from("<8h", body, 20)
            left, right, top = min(xs_ys[::2]), max(xs_ys[::2]), min(xs_ys[1::2])
            for column in range(round(left / pitch), round(right / pitch)):
                found[round(top / pitch)][column] = 1
    return found


def test_the_code_is_drawn_module_by_module_with_its_quiet_zone() -> None:
    wanted = segno.make_qr(TEXT, error="m", boost_error=False).matrix
    count = len(wanted) + 2 * QUIET
    drawn = dark_modules(record_code(TEXT, SIZE).data, count)
    assert [row[QUIET:-QUIET] for row in drawn[QUIET:-QUIET]] == [list(row) for row in wanted]
    assert sum(map(sum, drawn)) == sum(map(sum, wanted))


def test_a_module_is_wide_enough_for_a_telephone_at_arms_length() -> None:
    modules = len(segno.make_qr(TEXT, error="m", boost_error=False).matrix) + 2 * QUIET
    assert SIZE / modules > 0.5


def test_the_words_of_the_code_are_what_it_holds() -> None:
    assert TEXT in record_code(TEXT, SIZE).alt
