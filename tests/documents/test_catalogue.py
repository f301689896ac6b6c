"""Every fixed text of the documents is there once, is used, and names fields that exist."""

import re
from collections import Counter
from pathlib import Path

from pipeline.documents.blocks import EACH, Grid, Heading, Notice, Steps, Text, walk
from pipeline.documents.catalogue import texts
from pipeline.documents.fields import FIELDS
from pipeline.documents.layouts import LAYOUTS
from pipeline.documents.pictures import NOTICE_SYMBOLS

# headings of a few words may be alike in two documents
LONGEST_NAME = 3


SOURCES = Path(__file__).parents[2] / "pipeline"
# sections of texts that are drawn or spoken, not laid out
DRAWN = ("spoken", "chart", "diagram")


def drawn() -> set[str]:
    """Keys of the texts in drawings, and of those that are spoken in their place."""
    sources = [*(SOURCES / "documents" / "pictures").glob("*.py"), SOURCES / "stages" / "render.py"]
    found = re.findall(rf"[\"']((?:{'|'.join(DRAWN)})\.\w+)[\"']", "".join(each.read_text("utf-8") for each in sources))
    return {*found, *(f"spoken.{name}" for name in NOTICE_SYMBOLS)}


def used(language: str = "en") -> list[tuple[str, str]]:
    """Key and surrounding list of every text that a layout of a language uses."""
    layouts = [each for each in LAYOUTS.values() if each.language == language]
    found = [(f"{each.original or each.document}.title", "") for each in layouts]
    for layout in layouts:
        for block, around in walk(layout.blocks):
            match block:
                case Heading(key) | Text(key):
                    found.append((key, around))
                case Grid():
                    found.append((block.empty, around))
                case Steps(keys):
                    found += [(key, around) for key in keys]
                case Notice(keys):
                    found += [(key, around) for key in (*keys, block.where)]
    return found


def test_every_text_used_is_in_the_catalogue():
    assert {key for key, _ in used()} | drawn() <= texts().keys()


def test_every_text_of_the_catalogue_is_used():
    assert texts().keys() <= {key for key, _ in used()} | drawn()


def test_every_place_in_a_text_is_a_field_of_its_row():
    for key, around in used():
        for row, field in re.findall(r"\{(\w+)\.(\w+)\}", texts()[key]):
            assert field in FIELDS[around if row == EACH else row], key


def test_no_text_is_written_down_twice():
    repeated = {text for text, times in Counter(texts().values()).items() if times > 1}
    assert not {text for text in repeated if len(text.split()) > LONGEST_NAME}


def test_braces_in_texts_are_places_and_nothing_else():
    for key, text in texts().items():
        assert not re.search(r"[{}]", re.sub(r"\{\w+\.\w+\}", "", text)), key
