from itertools import pairwise

import pytest
from PIL import ImageFont

from pipeline.documents.pictures.lettering import BOLD, PLAIN, Lettering, advance, cut, fits, width, wrap

SENTENCE = "Maximum Zs of way 9 is 0.87 Ω, 2.5 mm² – “fine” ≤ 5 %"


@pytest.mark.parametrize(("file", "style"), [("Regular", Lettering(72)), ("Bold", Lettering(72, bold=True))])
def test_widths_are_those_of_the_installed_face(file: str, style: Lettering) -> None:
    try:
        face = ImageFont.truetype(f"LiberationSans-{file}.ttf", 2048, layout_engine=ImageFont.Layout.BASIC)
    except OSError:
        pytest.skip("Liberation Sans is not installed")
    for letter in set(SENTENCE):
        assert advance(letter, style) == pytest.approx(face.getlength(letter) * 25.4 / 2048, abs=0.02)


def test_twice_the_size_is_twice_as_wide_and_bold_is_wider() -> None:
    assert width(SENTENCE, Lettering(14)) == pytest.approx(2 * width(SENTENCE, Lettering(7)))
    assert width(SENTENCE, BOLD) > width(SENTENCE, PLAIN)


def test_a_character_that_the_face_lacks_counts_as_a_full_em() -> None:
    assert advance("電", Lettering(72)) == pytest.approx(25.4)


def test_a_text_that_does_not_fit_is_cut_with_an_ellipsis_and_fits_then() -> None:
    short = cut(SENTENCE, 30, PLAIN, "[7]")
    assert short.endswith("…[7]")
    assert SENTENCE.startswith(short.removesuffix("…[7]"))
    assert fits(short, 30)
    assert not fits(SENTENCE, 30)


def test_without_any_room_only_the_number_is_left() -> None:
    assert cut(SENTENCE, 1, PLAIN, "[7]") == "[7]"


def test_lines_hold_all_words_in_order_and_none_is_too_wide() -> None:
    lines = wrap(SENTENCE, 20)
    assert len(lines) > 2
    assert " ".join(lines) == SENTENCE
    assert all(fits(each, 20) for each in lines)
    assert not any(fits(f"{line} {after.split()[0]}", 20) for line, after in pairwise(lines))


def test_a_figure_stays_with_its_unit() -> None:
    apart, together = wrap("size 2.5 mm²", 11.5), wrap("size 2.5\u00a0mm²", 11.5)
    assert (apart, together) == (["size 2.5", "mm²"], ["size", "2.5 mm²"])


def test_a_word_longer_than_a_line_is_broken_without_loss() -> None:
    lines = wrap("X" * 100, 20)
    assert "".join(lines) == "X" * 100
    assert all(fits(each, 20) for each in lines)


def test_nothing_gives_no_lines() -> None:
    assert wrap("", 20) == []
