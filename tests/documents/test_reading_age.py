"""The user instructions are plain: a twelve-year-old can read them, by a published formula.

Flesch-Kincaid grade level (Kincaid and others, 1975, "Derivation of new readability formulas"):
0.39 × words / sentences + 11.8 × syllables / words − 15.59; a grade of the United States plus five is an age.
"""

import re
from collections.abc import Callable

import pytest

from pipeline.documents.catalogue import texts

AGE = 12


def sentences_of(keys: str = "use.") -> list[str]:
    """Every sentence of the user instructions; a place for a value counts as one short word."""
    found: list[str] = []
    for key, text in texts().items():
        if key.startswith(keys) and len(text.split()) > 4:
            found += re.split(r"(?<=[.])\s+", re.sub(r"\{[\w.]+\}", "it", text))
    return found


def syllables(word: str) -> int:
    """Syllables by groups of vowels, a silent e at the end left out (common practice); at least one."""
    bare = re.sub(r"[^a-z]", "", word.lower())
    groups = len(re.findall(r"[aeiouy]+", bare))
    silent = bare.endswith("e") and not bare.endswith("le") and groups > 1
    silent |= bool(re.search(r"[^td]ed$", bare)) and groups > 1
    return max(1, groups - silent)


def grade(sentences: list[str]) -> float:
    """The Flesch-Kincaid grade level."""
    words = [word for sentence in sentences for word in re.findall(r"[\w'-]+", sentence)]
    count = sum(map(syllables, words))
    return 0.39 * len(words) / len(sentences) + 11.8 * count / len(words) - 15.59


@pytest.mark.parametrize(
    ("word", "count"), [("charge", 1), ("vehicle", 3), ("electrician", 4), ("cable", 2), ("plugged", 1), ("started", 2)]
)
def test_syllables_are_counted_as_they_are_spoken(word: str, count: int):
    assert syllables(word) == count


def test_the_user_instructions_can_be_read_at_the_age_of_twelve(record_property: Callable[[str, object], None]):
    score = grade(sentences_of())
    record_property("told", f"User instructions: Flesch-Kincaid grade {score:.1f}, reading age {score + 5:.1f}")
    assert score + 5 <= AGE + 0.5


def test_officialese_would_not_pass():
    assert grade(["Notwithstanding the aforementioned provisions, utilisation necessitates authorisation."]) > AGE
