"""Symbols with a subscript: lowered on paper, equal to the record when read back, and nothing else touched."""

import pytest

from pipeline.documents.pour import pour
from pipeline.documents.subscripts import lowered, pieces
from pipeline.documents.wordml import SUBSCRIPT, run
from tests.documents.test_pour import ROWS, body, template


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("RCD I_Δn (mA)", ["RCD I", "Δn", " (mA)"]),
        ("Z_s ≤ 0.8 × Z_s,max", ["Z", "s", " ≤ 0.8 × Z", "s,max"]),
        ("f × R_1 + R_2 = (r_1 + r_2)", ["f × R", "1", " + R", "2", " = (r", "1", " + r", "2", ")"]),
    ],
)
def test_symbols_are_split_into_base_and_subscript(text: str, parts: list[str]):
    assert [part for part, _ in pieces(text)] == parts
    assert "".join(parts) == lowered(text)
    assert [lower for _, lower in pieces(text)] == [number % 2 == 1 for number in range(len(parts))]


@pytest.mark.parametrize("text", ["my_photo.jpg", "I_n.jpg", "A_B", "x_I_n", "ZZ_s", "{{ line.r_1 }}", "plain"])
def test_names_and_files_with_an_underscore_stay_as_they_are(text: str):
    assert list(pieces(text)) == [(text, False)]


def test_a_label_and_a_value_are_printed_with_a_lowered_run():
    low = f"{SUBSCRIPT}<w:t"
    assert low in run("RCD I_Δn")
    made = body(pour("cover", template("{{ value }}"), {**ROWS, "value": "I_B <= I_n & more"}))
    assert made.count(SUBSCRIPT) == 2
    assert "&lt;= I</w:t>" in made
    assert "_" not in made.split("<w:body>")[1]
