"""Tables as printed: looked up exactly or at the next row, never beyond; every file well shaped and cited."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.facts.findings import Confidence
from pipeline.facts.quantities import quantity
from pipeline.standards import table as module
from pipeline.standards.iec_60364_4_41_2005.clause_411 import fault_current
from pipeline.standards.table import FOLDER, HEAD, Missing, Value, derived, figures, load, together, weakest

NAMES = sorted(str(path.relative_to(FOLDER).with_suffix("")) for path in FOLDER.glob("*/table_*.csv"))
DOCUMENTS = sorted(path.parent.name for path in FOLDER.glob("*/figures.csv"))
GROUPING = load("bs_7671_2018_a2/table_4c1")
AMBIENT = load("bs_7671_2018_a2/table_4b1")
INSULATION = load("bs_7671_2018_a2/table_52_2")


def number(found):
    assert isinstance(found, Value), found
    return found.quantity.magnitude


@pytest.mark.parametrize("name", NAMES)
def test_every_table_names_document_table_and_transcription(name):
    table = load(name)
    assert all(table.head[each] for each in HEAD)
    assert table.reference.place == f"Table {table.head['table']}"


@pytest.mark.parametrize("name", NAMES)
def test_no_table_has_a_head_twice_or_a_row_without_figure(name):
    table = load(name)
    assert len(set(table.rows)) == len(table.rows)
    assert len(set(table.columns)) == len(table.columns)
    assert {row for row, _ in table.cells} == set(table.rows)
    assert {column for _, column in table.cells} == set(table.columns)
    assert all(value.quantity.magnitude > 0 for value in table.cells.values())


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_figure_names_its_place(document):
    found = figures(document)
    assert found
    assert all(each.reference.place and each.reference.source.document for each in found.values())


def test_a_row_between_two_is_read_at_the_next_one():
    assert number(AMBIENT.next_row(36, 70.0)) == 0.87  # that of 40 °C
    assert number(AMBIENT.next_row(35, 70.0)) == 0.94
    assert number(INSULATION.next_row(120, "factor")) == 0.63  # that of 200 mm


def test_below_the_first_row_its_figure_stands():
    assert number(AMBIENT.next_row(10, 70.0)) == 1.03


def test_beyond_the_last_row_there_is_no_figure_but_a_reason():
    found = AMBIENT.next_row(61, 70.0)
    assert isinstance(found, Missing)
    assert "Table 4B1" in found.reason
    assert "61" in found.reason


def test_an_open_last_row_stands_for_all_beyond():
    assert number(INSULATION.next_row(400, "factor")) == 0.51
    assert number(INSULATION.next_row(401, "factor")) == number(INSULATION.next_row(90000, "factor")) == 0.5


def test_past_nine_circuits_single_layers_keep_the_figure_for_nine():
    for row in ("wall or floor", "ceiling", "perforated tray", "ladder"):
        nine = number(GROUPING.cell(row, 9.0))
        assert [number(GROUPING.next_column(row, each)) for each in (10, 20, 35)] == [nine] * 3


def test_past_twenty_bunched_circuits_there_is_no_figure():
    assert number(GROUPING.next_column("bunched", 10)) == 0.45  # that of 12
    assert isinstance(GROUPING.next_column("bunched", 21), Missing)


def test_an_exact_look_up_takes_no_neighbour():
    assert isinstance(AMBIENT.cell(36.0, 70.0), Missing)


def test_a_mark_behind_a_figure_tells_how_sure_it_is():
    assert AMBIENT.cell(30.0, 70.0).confidence is Confidence.CONFIRMED
    assert AMBIENT.cell(35.0, 70.0).confidence is Confidence.CARRIED_OVER
    assert AMBIENT.cell(35.0, 90.0).confidence is Confidence.MEMORY


def test_a_result_is_as_sure_as_its_least_sure_figure():
    sure, unsure = AMBIENT.cell(30.0, 70.0), AMBIENT.cell(35.0, 90.0)
    worked = fault_current(u_0=quantity(230, "V"), z_s=quantity(1.15, "Ω"))
    assert derived(worked, sure, unsure).confidence is Confidence.MEMORY
    assert derived(worked).confidence is Confidence.CONFIRMED
    assert weakest([Confidence.TYPED, Confidence.CARRIED_OVER]) is Confidence.CARRIED_OVER


def test_the_first_missing_figure_counts_for_all():
    sure, gone = AMBIENT.cell(30.0, 70.0), AMBIENT.cell(36.0, 70.0)
    assert together(sure, gone) is gone
    assert together(sure, sure) == (sure, sure)


HEADED = "".join(f"# {each}: confirmed\n" for each in HEAD).replace("unit: confirmed", "unit: A")


def _written(tmp_path, monkeypatch, text):
    (tmp_path / "table_x.csv").write_text(HEADED + text, encoding="utf-8")
    monkeypatch.setattr(module, "FOLDER", tmp_path)
    return load.__wrapped__("table_x")


def test_a_head_open_upwards_does_not_reach_down(tmp_path, monkeypatch):
    """Between the last number and the open head the page says nothing."""
    table = _written(tmp_path, monkeypatch, "mm²,A\n4,30\n25+,99\nbare+,1\n")
    assert isinstance(table.next_row(20, "A"), Missing)
    assert number(table.next_row(25, "A")) == 99
    assert number(table.next_row(4, "A")) == 30


def test_a_repeated_cell_is_that_to_its_left(tmp_path, monkeypatch):
    table = _written(tmp_path, monkeypatch, "mm²,A,B,C\n4,30,20,=\n")
    assert number(table.cell(4.0, "C")) == 20


@pytest.mark.parametrize("row", ["4,30", "4,30,20,10"])
def test_a_row_longer_or_shorter_than_the_head_fails(tmp_path, monkeypatch, row):
    with pytest.raises(ValueError, match="rows are not all"):
        _written(tmp_path, monkeypatch, f"mm²,A,B\n1,2,3\n{row}\n")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("# document: X\nmm²,A\n1,2\n", "the head lacks edition, table"),
        (
            HEADED + "mm²,A\n1,2,3\n",
            "rows are not all",
        ),
    ],
)
def test_a_misshapen_file_fails_at_once(tmp_path, monkeypatch, text, said):
    (tmp_path / "table_x.csv").write_text(text, encoding="utf-8")
    monkeypatch.setattr(module, "FOLDER", tmp_path)
    with pytest.raises(ValueError, match=said):
        load.__wrapped__("table_x")


@settings(max_examples=60)
@given(st.floats(-20, 59.9), st.floats(0, 20))
def test_a_warmer_place_never_raises_the_factor(ambient, more):
    cool, warm = AMBIENT.next_row(ambient, 90.0), AMBIENT.next_row(ambient + more, 90.0)
    assert isinstance(warm, Missing) or number(warm) <= number(cool)


@settings(max_examples=60)
@given(st.sampled_from(GROUPING.rows), st.integers(1, 40), st.integers(0, 10))
def test_another_circuit_never_raises_the_factor(row, circuits, more):
    few, many = GROUPING.next_column(row, circuits), GROUPING.next_column(row, circuits + more)
    assert isinstance(many, Missing) or number(many) <= number(few)
