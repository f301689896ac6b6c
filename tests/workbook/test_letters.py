"""The table of letters is that of the typeface itself."""

import pytest
from fontTools.ttLib import TTFont

from pipeline.tools import fonts
from pipeline.workbook.letters import covered, not_covered


@pytest.mark.parametrize("text", ["Siân Ŵyn", "Łukasz", "Ωμέγα", "Иван", "0.35 Ω ≤ 1 · 6 mm² – “x”", "line\nline"])
def test_letters_of_the_typeface_pass(text):
    assert not_covered(text) == ""


@pytest.mark.parametrize("letter", ["\u2713", "\U0001f50c", "張", "＝", "ह", "\ue000"])
def test_other_letters_are_named(letter):
    assert not_covered(f"Sam {letter}") == letter


@pytest.mark.skipif(bool(fonts.missing_fonts()), reason="the typeface is not on this machine")
def test_the_table_is_that_of_the_font_files():
    font = TTFont(fonts.regular())
    # other versions of the typeface have more or fewer letters
    if "2.1.5" in font["name"].getDebugName(5):
        assert covered() <= set(font.getBestCmap())
        assert len(set(font.getBestCmap()) - covered()) < 50
