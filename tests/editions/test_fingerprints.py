"""An edition in use is never edited: each of its files is as it was, or a correction names it and says why."""

import hashlib
import tomllib
from pathlib import Path

import pytest

from pipeline.editions import IDENTITIES, edition
from pipeline.editions.book import FOLDER as EDITIONS
from pipeline.editions.book import open_book
from pipeline.facts.findings import Confidence
from pipeline.standards.table import FOLDER, figures, load

PINNED = Path(__file__).with_name("fingerprints.toml")


def files_of(identity):
    """Each file that an edition's figures come from, by the name that a correction would give it."""
    for path in open_book(identity)._files():
        yield f"{path.parent.name}/{path.stem}" if path.suffix == ".csv" else path.stem, path


def digest(path):
    """The fingerprint of one file; of an edition's own file without the corrections that were added at its end."""
    text = path.read_text("utf-8").partition("[[corrections]]")[0].rstrip()
    return hashlib.sha256(text.encode()).hexdigest()


def now():
    """The fingerprints of today's files."""
    return {name: digest(path) for each in IDENTITIES for name, path in files_of(each)}


def test_every_file_of_an_edition_is_pinned():
    assert now().keys() == tomllib.loads(PINNED.read_text("utf-8"))["files"].keys()


@pytest.mark.parametrize("identity", IDENTITIES)
def test_no_file_of_an_edition_has_changed_without_a_correction(identity):
    pinned = tomllib.loads(PINNED.read_text("utf-8"))["files"]
    corrected = {name.removesuffix(".csv") for each in edition(identity).corrections for name in each.files}
    changed = {name for name, path in files_of(identity) if digest(path) != pinned[name]}
    assert changed <= corrected, "add a correction with its reason; see 'Corrections' in DEVELOPERS.md"


def test_a_single_figure_changed_would_be_noticed(tmp_path):
    path = tmp_path / "table_41_1.csv"
    text = (FOLDER / "bs_7671_2018_a2/table_41_1.csv").read_text("utf-8")
    path.write_text(text.replace("230,0.4,0.2", "230,0.4,0.3"), encoding="utf-8")
    assert digest(path) != now()["bs_7671_2018_a2/table_41_1"]


TABLES = sorted(str(path.relative_to(FOLDER).with_suffix("")) for path in FOLDER.glob("*/table_*.csv"))
LISTS = sorted(path.parent.name for path in FOLDER.glob("*/figures.csv"))
GRADES = {Confidence.CONFIRMED, Confidence.CARRIED_OVER, Confidence.MEMORY}


@pytest.mark.parametrize("name", TABLES)
def test_every_table_is_cited_and_every_value_has_its_confidence(name):
    table = load(name)
    assert table.reference.source.document
    assert table.reference.source.edition
    assert table.reference.place.startswith("Table ")
    assert table.title
    assert table.head["transcribed"]
    assert table.cells
    assert {each.confidence for each in table.cells.values()} <= GRADES
    assert {each.reference for each in table.cells.values()} == {table.reference}


@pytest.mark.parametrize("name", LISTS)
def test_every_figure_of_a_text_is_cited_and_has_its_confidence(name):
    for role, each in figures(name).items():
        assert each.confidence in GRADES, role
        assert each.reference.source.document, role
        assert each.reference.place, role


@pytest.mark.parametrize("identity", IDENTITIES)
def test_every_role_is_filled_once_by_something_that_opens(identity):
    roles = tomllib.loads((EDITIONS / "roles.toml").read_text("utf-8"))
    book = open_book(identity)
    assert len(roles["figures"]) == len(set(roles["figures"]))
    assert len(roles["tables"]) == len(set(roles["tables"]))
    for role in roles["figures"]:
        assert book.figure(role).reference.source.document, role
    for role in roles["tables"]:
        assert book.table(role).cells, role
    for role in roles["maps"]:
        assert role in book.content, role
