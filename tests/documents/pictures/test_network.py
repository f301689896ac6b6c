from collections.abc import Iterator

from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.documents.pictures.network import Block, Way, blocks_of, shown, told
from pipeline.facts.rows.models import Model
from tests.documents.pictures.plant import (
    Json,
    board,
    circuit,
    electrode,
    feeder,
    garage,
    point,
    record,
    row,
    scheme,
    source,
    supply,
)


def ways_of(found: list[Block]) -> Iterator[Way]:
    for block in found:
        yield from block.ways


def test_a_figure_is_told_with_its_unit_and_a_remark_without() -> None:
    row = supply(ze="0.24")
    row["voltage_l1"] = {"shown": "LIM: no access"}
    assert (told(row, "ze"), told(row, "voltage_l1"), shown(row, "supply_number")) == (
        "0.24\u00a0Ω",
        "LIM: no access",
        "00 0000 0000 000",
    )


def test_each_board_follows_the_one_that_feeds_it() -> None:
    found = blocks_of(
        record(
            boards=[
                board("C", fed_board="B", fed_circuit="2"),
                board("A"),
                board("B", fed_board="A", fed_circuit="1"),
                board("D"),
            ],
            circuits=[feeder("A", "1"), feeder("B", "2")],
        )
    )
    assert [each.name for each in found] == ["A", "B", "C", "D"]
    assert [each.at_origin for each in found] == [True, False, False, True]


def test_a_way_knows_its_point_its_electrode_and_the_board_it_feeds() -> None:
    main, shed = blocks_of(garage())
    assert [way.feeds for way in main.ways] == [["GARAGE"], [], []]
    assert [shown(point, "point") for way in shed.ways for point in way.points] == ["CP1", "CP2"]
    assert [len(way.electrodes) for way in shed.ways] == [1, 0, 0]
    assert (len(shed.electrodes), [shown(each, "scheme") for each in shed.schemes]) == (1, ["LM2"])
    assert [shown(way.source, "source") for way in ways_of([main, shed]) if way.source] == ["solar", "battery"]


def test_a_vehicle_that_feeds_back_hangs_on_its_charge_point_and_is_no_feeder() -> None:
    circuits, points = [circuit("A", "1"), circuit("A", "2")], [point("CP1", "A", "1"), point("CP2", "A", "2")]
    points[1]["model"] = {"shown": "BOTH"}
    both = row(Model, model="BOTH", returns_power="yes")
    rows = {"boards": [board("A")], "circuits": circuits, "points": points, "sources": [source("A", "vehicle")]}
    (told_by_model,) = blocks_of(record(**rows, models=[both]))
    assert [len(way.vehicles) for way in told_by_model.ways] == [0, 1]
    (no_model_says,) = blocks_of(record(**rows, models=[]))
    assert [len(way.vehicles) for way in no_model_says.ways] == [1, 1]
    (without_point,) = blocks_of(record(**rows | {"points": []}))
    assert [way.source is not None for way in without_point.ways] == [False, False, True]


def test_boards_that_feed_each_other_in_a_ring_are_each_shown_once() -> None:
    rows = [board("A", fed_board="B", fed_circuit="1"), board("B", fed_board="A", fed_circuit="1")]
    found = blocks_of(record(boards=rows, circuits=[feeder("A", "1"), feeder("B", "1")]))
    assert [(each.name, each.at_origin) for each in found] == [("A", False), ("B", False)]


def test_what_names_an_unknown_board_or_circuit_still_has_a_place() -> None:
    found = blocks_of(
        record(
            boards=[board("MAIN", fed_board="GONE", fed_circuit="1")],
            circuits=[circuit("GHOST", "7")],
            points=[point("CP1", "MAIN", "99"), point("CP2", "", "")],
            sources=[source("NOPE", "solar")],
            electrodes=[electrode("YARD", "3")],
            schemes=[scheme("LM1", "ROOF")],
        )
    )
    by_name = {each.name: each for each in found}
    assert set(by_name) == {"MAIN", "GHOST", "", "NOPE", "YARD", "ROOF"}
    assert by_name["MAIN"].ways[0].remark == "its circuit is not on the record"
    assert len(by_name["YARD"].electrodes) == len(by_name["ROOF"].schemes) == 1


def test_a_second_row_of_the_same_board_is_not_dropped_and_shows_no_circuit_twice() -> None:
    first, second = blocks_of(
        record(boards=[board("MAIN"), board("MAIN", place="Loft")], circuits=[circuit("MAIN", "9")])
    )
    assert (len(first.ways), len(second.ways), shown(second.row, "place")) == (1, 0, "Loft")


NAMES = st.sampled_from(["", "A", "B", "C"])


@st.composite
def tangled(draw: st.DrawFn) -> Json:
    """A record whose rows name each other at random."""

    def some(make: object) -> list[Json]:
        return draw(st.lists(st.builds(make, NAMES, NAMES), max_size=4))  # type: ignore[arg-type]

    return record(
        boards=some(lambda name, other: board(name, fed_board=other, fed_circuit="1")),
        circuits=some(circuit),
        points=some(lambda name, number: point("P", name, number)),
        sources=some(lambda name, number: source(name, "vehicle" if number == "A" else "solar")),
        electrodes=some(electrode),
    )


@given(tangled())
@settings(max_examples=60, deadline=None)
def test_every_row_is_shown_exactly_once_however_rows_refer_to_each_other(tangle: Json) -> None:
    job, found = tangle["job"], blocks_of(tangle)
    ways = list(ways_of(found))
    assert sum(bool(each.row) for each in found) == len(job["boards"])
    assert sum(way.circuit is not None for way in ways) == len(job["circuits"])
    assert sum(len(way.points) for way in ways) == len(job["points"])
    own = sum(way.source is not None for way in ways)
    through_points = [[each for way in block.ways for each in way.vehicles] for block in found]
    assert own + sum(len({id(each) for each in vehicles}) for vehicles in through_points) == len(job["sources"])
    grounds = sum(len(each.electrodes) for each in (*found, *ways))
    assert grounds == sum(bool(shown(each, "board")) for each in job["electrodes"])
