import re

import pytest

from pipeline.documents.blocks import EACH, Column, Each, Grid, Notice, Pairs, Signatures, Text, When
from pipeline.documents.layouts import LAYOUTS, with_contents
from pipeline.documents.layouts.layout import Layout
from pipeline.documents.view import View, view
from pipeline.pack import expecting
from pipeline.pack.expecting import Table, expected
from tests.documents import sample

BOARDS = ({"board": "MAIN", "heading": "Board MAIN"}, {"board": "SUB", "heading": "Board SUB"})
CIRCUITS = ({"board": "MAIN", "circuit": "1"}, {"board": "SUB", "circuit": "1"}, {"board": "SUB", "circuit": "2"})
VIEW = View({"job": {"site": "1 Sample Yard"}}, {"boards": BOARDS, "circuits": CIRCUITS, "defects": (), "signing": ()})


@pytest.fixture
def made(monkeypatch):
    monkeypatch.setattr(expecting, "label", lambda row, field, _: f"{row}/{field}")
    texts = {"a.text": "At {job.site}.", "a.mark": "{each.board} at {job.site}", "cover.title": "Cover"}
    monkeypatch.setattr(expecting, "text", lambda key, _: texts.get(key))
    monkeypatch.setattr(Layout, "title", "Cover")
    return lambda *blocks: expected(Layout("cover", blocks), VIEW)


def test_a_pair_has_its_label_and_its_value(made):
    assert made(Pairs("job", ("site",))).pairs == [("job/site", "1 Sample Yard")]


def test_each_board_has_its_heading_its_pairs_and_its_own_circuits(made):
    grid = Grid("circuits", (Column("circuit", 20),), within=("board",))
    found = made(Each("boards", "heading", (Pairs(EACH, ("board",)), grid)))
    assert found.headings == ["Cover", "Board MAIN", "Board SUB"]
    assert found.pairs == [("boards/board", "MAIN"), ("boards/board", "SUB")]
    assert found.tables == [Table(("circuits/circuit",), (("1",),)), Table(("circuits/circuit",), (("1",), ("2",)))]


def test_a_table_without_lines_is_not_expected(made):
    columns = (Column("role", 20),)
    assert made(Grid("defects", columns), Signatures("signing", columns)).tables == []


def test_blocks_under_a_condition_count_only_where_it_holds(made):
    inner = (Pairs("job", ("site",)),)
    assert made(When("defects", inner)).pairs == []
    assert len(made(When("boards", inner)).pairs) == 1


def test_sentences_and_notices_give_the_values_that_they_print(made):
    found = made(Text("a.text"), Each("boards", "heading", (Notice(("a.mark",), "warning", 100, 50, "a.text"),)))
    assert found.words == ["1 Sample Yard", "MAIN", "1 Sample Yard", "SUB", "1 Sample Yard"]
    assert list(found.texts()).count("1 Sample Yard") == 3


@pytest.mark.parametrize("document", LAYOUTS)
def test_every_document_of_a_sample_job_can_be_expected(document):
    job = sample.order(sample.job(), {})
    recorded = with_contents(view(sample.record(sample.job()), job.envelope), {})
    found = expected(LAYOUTS[document], recorded)
    assert found.headings[0] == LAYOUTS[document].title
    assert not [value for value in found.texts() if re.search(r"\{\w+\.\w+\}", value)]
