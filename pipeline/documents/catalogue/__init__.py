"""Every fixed text of the documents, once, by key: `document.name` in the language's file beside this one."""

import tomllib
from functools import cache
from pathlib import Path

LANGUAGE = "en"


@cache
def texts(language: str = LANGUAGE) -> dict[str, str]:
    """All texts of a language by key."""
    content = Path(__file__).with_name(f"{language}.toml").read_text(encoding="utf-8")
    sections = tomllib.loads(content)
    return {f"{section}.{name}": text for section, entries in sections.items() for name, text in entries.items()}


def text(key: str, language: str = LANGUAGE) -> str:
    """One text; raises KeyError for a key that the catalogue has not."""
    return texts(language)[key]
