"""Every fixed text of the documents, once, by key: `document.name` in the language's file beside this one.

English is complete. Another language has what the client reads, its labels, and the words that values are made of.
"""

import tomllib
from functools import cache
from pathlib import Path

LANGUAGE = "en"
LOCALES = {"en": "en-GB", "de": "de-DE"}
"""Each language with its tag of BCP 47."""

VALUES = ("words", "phrases")


@cache
def texts(language: str = LANGUAGE) -> dict[str, str]:
    """All texts of a language by key."""
    content = Path(__file__).with_name(f"{language}.toml").read_text(encoding="utf-8")
    sections = tomllib.loads(content)
    return {
        f"{section}.{name}": text
        for section, entries in sections.items()
        if section not in VALUES
        for name, text in entries.items()
    }


@cache
def value_words(language: str, section: str) -> dict[str, str]:
    """The words of which values are made, English to a language: one of the sections `VALUES`; empty for English."""
    if language == LANGUAGE:
        return {}
    content = Path(__file__).with_name(f"{language}.toml").read_text(encoding="utf-8")
    return dict(tomllib.loads(content)[section])


def text(key: str, language: str = LANGUAGE) -> str:
    """One text; raises KeyError for a key that the catalogue has not."""
    return texts(language)[key]
