"""Texts as documents print them."""

import pytest

from pipeline.documents.texts import BLANK, counted, day, joined, plain


@pytest.mark.parametrize("nothing", ["", "  ", "\n\t", "\x00"])
def test_nothing_recorded_prints_a_dash(nothing: str):
    assert plain(nothing) == BLANK


def test_line_breaks_and_control_characters_become_single_spaces():
    assert plain("Drive,\r\nleft\x07 of\u2028the\tgate\ud800") == "Drive, left of the gate"


def test_a_text_of_the_trade_stays_as_it_is():
    assert plain('Smith & Sons <Ltd>, {{ 0.8 Ω }} "A"') == 'Smith & Sons <Ltd>, {{ 0.8 Ω }} "A"'


def test_only_recorded_texts_are_joined_and_each_once():
    assert joined(["MAIN", BLANK, "9", "MAIN"]) == "MAIN, 9"
    assert joined([BLANK, BLANK]) == BLANK


def test_numbers_carry_their_noun():
    assert (counted(1, "query", "queries"), counted(2, "query", "queries")) == ("1 query", "2 queries")


def test_days_are_printed_like_every_date():
    assert (day("2026-11-12"), day("")) == ("12 Nov 2026", BLANK)
