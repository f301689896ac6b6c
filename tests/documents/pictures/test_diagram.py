import struct
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.documents.pictures import Picture, single_line_diagram
from pipeline.documents.pictures.intake import LABEL, TRUNK
from pipeline.documents.pictures.notes import HEIGHT, WIDTH
from pipeline.documents.pictures.symbols import BESIDE
from pipeline.documents.pictures.ways import (
    ABOVE,
    CABLE,
    DEVICE_TEXT,
    END,
    END_LIMIT,
    END_TEXT,
    FRAME_END,
    STOP,
)
from tests.documents.pictures.plant import (
    Json,
    Letters,
    board,
    car_park,
    circuit,
    electrode,
    feeder,
    garage,
    letters_of,
    lines_of,
    point,
    record,
    records_of,
    scheme,
    source,
    supply,
    texts_of,
)

SMALLEST_PT = 6.5


def found(pictures: list[Picture], text: str) -> tuple[int, Letters]:
    """The only text that begins so, and the number of its picture."""
    hits = [
        (number, each)
        for number, picture in enumerate(pictures, 1)
        for each in letters_of(picture)
        if each.text.startswith(text)
    ]
    assert len(hits) == 1, (text, hits)
    return hits[0]


def near(picture: Picture, y: float, left: float, right: float, reach: float = 11) -> str:
    """The texts of one column around a height."""
    inside = [each for each in letters_of(picture) if left <= each.x < right and abs(each.y - y) <= reach]
    return " ".join(each.text for each in sorted(inside, key=lambda each: each.y))


def overlaps(picture: Picture) -> list[tuple[str, str]]:
    """Texts that would print over each other."""
    boxes = [(each, each.size_pt * 0.3528) for each in letters_of(picture)]
    return [
        (one.text, other.text)
        for (one, tall), (other, high) in combinations(boxes, 2)
        if one.x < other.right - 0.05
        and other.x < one.right - 0.05
        and one.y - 0.7 * tall < other.y
        and other.y - 0.7 * high < one.y
    ]


def legible(pictures: list[Picture]) -> None:
    for picture in pictures:
        assert picture.height_mm <= HEIGHT
        assert overlaps(picture) == []
        for each in letters_of(picture):
            assert each.size_pt >= SMALLEST_PT - 0.02
            assert 0 <= each.x <= each.right <= WIDTH + 0.05
            assert 0 < each.y < picture.height_mm


def test_the_intake_shows_supply_cut_out_meter_and_earthing() -> None:
    shown = texts_of(single_line_diagram(record()))
    for text in (
        "1-phase, 230 V, 50 Hz",
        "TN-C-S",
        "Ze 0.24 Ω",
        "measured",
        "Cut-out BS 88-3, 100 A",
        "Meter 100 A",
        "tails 25 mm²",
        "Isolator",
        "Main earthing terminal",
        "16 mm²",
        "Surge protection: fitted",
    ):
        assert text in shown


def test_the_intake_stands_in_the_order_of_the_wires_with_the_earth_at_the_bottom() -> None:
    pictures = single_line_diagram(record())
    heights = [
        found(pictures, text)[1].y for text in ("Isolator", "Meter", "Cut-out", "Public supply", "Main earthing")
    ]
    assert heights == sorted(heights)


@pytest.mark.parametrize(
    ("name", "device", "cable", "end"),
    [
        (
            "CP1",
            ["BS EN 61009 type B", "40 A, 2-pole", "RCD BS EN 61009", "A 30 mA"],
            ["6 + 2.5 mm², 6 m"],
            ["TT island", "EX-7", "120 Ω"],
        ),
        (
            "CP2",
            ["BS 88-2 type gG", "RCD BS EN 62423 type", "B 30 mA"],
            ["6 + 2.5 mm², 14 m"],
            ["separate device", "Sample Point 7"],
        ),
        ("CP3", ["BS EN 61009"], ["existing", "14 m"], ["load", "management LM1", "inside"]),
        ("to board GARAGE", ["40 A"], ["Feeder 4", "armoured", "35 m"], []),
        ("Other source: solar", [], [], ["3.6 kW", "without the grid: no"]),
        ("Other source: battery", [], [], ["3.6 kW"]),
    ],
)
def test_device_cable_and_point_of_a_way_stand_in_their_columns_on_one_line(
    name: str, device: list[str], cable: list[str], end: list[str]
) -> None:
    pictures = single_line_diagram(garage())
    number, place = found(pictures, name)
    picture = pictures[number - 1]
    assert place.x == pytest.approx(END_TEXT)
    for texts, left, right in (
        (device, DEVICE_TEXT, FRAME_END),
        (cable, CABLE, END_TEXT - 10),
        (end, END_TEXT, END_LIMIT),
    ):
        column = near(picture, place.y, left, right, 15)
        assert [text for text in texts if text not in column] == []


def test_a_vehicle_that_feeds_back_stands_at_its_charge_point_and_is_to_be_unplugged() -> None:
    rows = record()
    rows["job"]["sources"] = [source("MAIN", "vehicle", rating=11, isolator_place="Board MAIN, way 9")]
    pictures = single_line_diagram(rows)
    legible(pictures)
    _, vehicle = found(pictures, "Other source: vehicle")
    _, host = found(pictures, "CP1")
    assert host.y < vehicle.y < host.y + 45
    assert "unplug it and keep it unplugged" in near(pictures[0], vehicle.y, END_TEXT, END_LIMIT, 20)
    joined = [
        line for line in lines_of(pictures[0]) if all(END < x < END_TEXT and host.y < y < vehicle.y for x, y in line)
    ]
    assert joined
    assert "device not stated" not in texts_of(pictures)
    assert "circuit 9 to CP1, through which a vehicle feeds back: unplug it" in pictures[0].alt


def test_a_board_has_its_heading_main_switch_upstream_device_and_feeder() -> None:
    pictures = single_line_diagram(garage())
    for text in (
        "Board MAIN",
        "Board GARAGE",
        "Fed from the intake",
        "Fed from board MAIN, circuit 4",
        "RCD type A 100 mA",
    ):
        found(pictures, text)
    assert "delay S" in texts_of(pictures)
    assert texts_of(pictures).count("Main switch 100 A, 2-pole") == 2


def test_electrodes_and_load_management_stand_where_they_belong() -> None:
    rows = garage()
    rows["job"]["electrodes"].append(electrode(resistance=21))
    rows["job"]["schemes"][1]["sensor_place"] = {"shown": "Feeder, first end"}
    pictures = single_line_diagram(rows)
    _, main = found(pictures, "Board MAIN")
    _, shed = found(pictures, "Board GARAGE")
    _, first = found(pictures, "Load management LM1")
    assert first.x < main.x
    assert "rod 21 Ω" in near(pictures[0], HEIGHT / 2, 0, main.x, HEIGHT)
    inside = near(pictures[0], shed.y + 30, shed.x, FRAME_END, 29)
    assert "LM2, 80 A" in inside
    assert "sensor: Feeder" in inside
    assert "68.5 Ω" in inside


def test_only_a_supply_that_brings_an_earth_is_joined_to_the_earthing_terminal() -> None:
    joined = []
    for system in ("TN-S", "TN-C-S", "TT"):
        picture = single_line_diagram(record(supply=supply(earthing_system=system)))[0]
        _, terminal = found([picture], "Main earthing terminal")
        ends = [line[-1] for line in lines_of(picture) if line[0][0] == line[-1][0] == TRUNK]
        joined.append(any(0 < terminal.y - y <= LABEL for _, y in ends))
    assert joined == [True, True, False]


def house(**rows: list[Json]) -> Json:
    """One board, one circuit, one point, save for the rows given."""
    plain = {
        "boards": [board("MAIN")],
        "circuits": [circuit("MAIN", "9")],
        "points": [point("CP1", "MAIN", "9")],
    }
    return record(**(plain | rows))


def dashes_beside(picture: Picture, y: float) -> list[float]:
    """Left ends of the dashes of protective conductors that run just below a line of the diagram."""
    lines = (line for line in lines_of(picture) if len(line) == 2)
    return [x for (x, height), (_, other) in lines if height == other and abs(height - y - BESIDE) < 0.02]


def line_of_end(picture: Picture, name: str) -> float:
    """The height of the line at whose end a name stands."""
    return found([picture], name)[1].y + ABOVE


def test_a_protective_conductor_runs_from_the_terminal_through_the_board_to_the_point() -> None:
    (picture,) = single_line_diagram(record())
    reached = dashes_beside(picture, line_of_end(picture, "CP1"))
    assert min(reached) < CABLE
    assert max(reached) > END - 3


def test_the_protective_conductor_of_a_tt_island_stops_on_the_way_to_its_point() -> None:
    (picture,) = single_line_diagram(house(electrodes=[electrode("MAIN", "9")]))
    reached = dashes_beside(picture, line_of_end(picture, "CP1"))
    assert min(reached) < CABLE
    assert max(reached) < STOP


def test_only_new_work_is_thick() -> None:
    for new, wanted in (("new", True), ("existing", False)):
        drawn = single_line_diagram(house(circuits=[circuit("MAIN", "9", new=new)]))[0]
        y = line_of_end(drawn, "CP1")
        assert (50 in pens_at(drawn, y)) is wanted


def pens_at(picture: Picture, y: float) -> set[int]:
    """Thicknesses, in hundredths of a millimetre, of the lines that run along a height right of the busbar."""
    pens: dict[int, int] = {}
    chosen, thick = 0, set()
    for kind, body in records_of(picture.data):
        if kind == 38:  # EMR_CREATEPEN
            handle, _, size = struct.unpack_from("<IIi", body)
            pens[handle] = size
        elif kind == 95:  # EMR_EXTCREATEPEN
            handle, size = struct.unpack_from("<I", body)[0], struct.unpack_from("<I", body, 24)[0]
            pens[handle] = size
        elif kind == 37:  # EMR_SELECTOBJECT
            chosen = pens.get(struct.unpack_from("<I", body)[0], chosen)
        elif kind == 87:  # EMR_POLYLINE16
            flat = struct.unpack_from(f"<{2 * struct.unpack_from('<I', body, 16)[0]}h", body, 20)
            if all(abs(each / 100 - y) < 0.02 for each in flat[1::2]) and FRAME_END < flat[0] / 100 < END:
                thick.add(chosen)
    return thick


def test_adding_a_board_adds_it_with_all_that_leaves_it() -> None:
    before, rows = texts_of(single_line_diagram(record())), record()
    rows["job"]["boards"].append(board("SHED", fed_board="MAIN", fed_circuit="3", place="Shed"))
    rows["job"]["circuits"] += [feeder("MAIN", "3"), circuit("SHED", "1", description="Bay at the shed")]
    rows["job"]["points"].append(point("CP9", "SHED", "1"))
    after = texts_of(single_line_diagram(rows))
    for text in ("Board SHED", "to board SHED", "Fed from board MAIN, circuit 3", "Bay at the shed", "CP9"):
        assert text not in before
        assert text in after


def test_the_same_record_gives_the_same_bytes_and_another_one_does_not() -> None:
    assert single_line_diagram(garage()) == single_line_diagram(garage())
    assert single_line_diagram(garage()) != single_line_diagram(record())


def test_the_addresses_of_cells_do_not_matter() -> None:
    moved = record()
    for cell in moved["job"]["supply"].values():
        cell["cell"] = "Supplies Z99"
    assert single_line_diagram(moved) == single_line_diagram(record())


def test_a_house_fits_on_one_picture() -> None:
    assert len(single_line_diagram(record())) == 1
    assert len(single_line_diagram(garage())) == 1
    legible(single_line_diagram(garage()))


def test_sixty_circuits_are_all_named_once_and_legible() -> None:
    pictures = single_line_diagram(car_park())
    legible(pictures)
    assert len(pictures) <= 11
    for b in range(1, 5):
        for c in range(1, 16):
            assert found(pictures, f"CP{b}{c:02}")[0] == found(pictures, f"Bay of CP{b}{c:02}")[0]


def test_a_board_longer_than_a_picture_goes_on_under_its_name() -> None:
    pictures = single_line_diagram(car_park(boards=1, circuits=20))
    assert "Board DB1 (continued)" in texts_of(pictures[1:])
    assert all("(continued)" not in each.text for each in letters_of(pictures[0]))


def test_a_flag_names_the_picture_on_which_the_board_begins() -> None:
    pictures = single_line_diagram(car_park())
    number, flag = found(pictures, "to board DB3")
    begins = next(n for n, each in enumerate(pictures, 1) if any(text.text == "Board DB3" for text in letters_of(each)))
    assert f"picture {begins}" in near(pictures[number - 1], flag.y, END_TEXT, END_LIMIT, 5)
    assert f"Fed from board MSB, circuit 3 (picture {number})" in texts_of([pictures[begins - 1]])


def test_a_board_names_the_picture_on_which_the_circuit_that_feeds_it_leaves() -> None:
    rows = car_park(boards=1, circuits=20)
    rows["job"]["boards"].append(board("FAR", fed_board="DB1", fed_circuit="99"))
    rows["job"]["circuits"] += [feeder("DB1", "99"), *(circuit("FAR", str(number)) for number in range(7))]
    pictures = single_line_diagram(rows)
    number, _ = found(pictures, "Feeder 99")
    assert number > 2
    assert f"Fed from board DB1, circuit 99 (picture {number})" in texts_of(pictures[number:])


def test_pictures_are_numbered_and_the_last_explains_the_symbols_that_were_used() -> None:
    pictures = single_line_diagram(car_park())
    for number, picture in enumerate(pictures, 1):
        assert f"picture {number} / {len(pictures)}" in texts_of([picture])
    key = texts_of(pictures[-1:])
    assert "goes on elsewhere" in key
    assert "current sensor" not in key
    assert "current sensor" in texts_of(single_line_diagram(garage()))


def test_a_device_of_which_nothing_is_known_is_shown_as_such() -> None:
    shown = texts_of(single_line_diagram(record(boards=[board("MAIN")], circuits=[circuit("MAIN", "9", device="")])))
    assert "device not stated" in shown
    assert "nothing at its end on the record" in shown


def test_rows_that_lead_nowhere_are_drawn_and_say_so() -> None:
    shown = texts_of(
        single_line_diagram(
            record(
                boards=[board("MAIN", fed_board="GONE", fed_circuit="1")],
                circuits=[circuit("GHOST", "7")],
                points=[point("CP1", "MAIN", "99")],
            )
        )
    )
    assert "Fed from board GONE, circuit 1 (not on the record)" in shown
    assert "Board GHOST" in shown
    assert "not described on the sheet of boards" in shown
    assert "its circuit is not on the record" in shown


def test_many_points_on_one_circuit_are_all_drawn() -> None:
    many = record(
        boards=[board("MAIN")],
        circuits=[circuit("MAIN", "9")],
        points=[point(f"CP{n:02}", "MAIN", "9") for n in range(30)],
    )
    pictures = single_line_diagram(many)
    legible(pictures)
    for number in range(30):
        found(pictures, f"CP{number:02}")


def test_a_record_without_boards_or_anything_typed_still_gives_a_picture() -> None:
    bare: Json = record(boards=[], circuits=[], points=[], models=[])
    bare["job"] |= {"supply": {}, "row": {}}
    (picture,) = single_line_diagram(bare)
    assert "Public supply: not stated" in texts_of([picture])


LONG = "Cupboard <left> & behind the 'coats' " * 12


@pytest.mark.parametrize(
    "rows",
    [
        {"boards": [board(LONG, place=LONG)], "circuits": [circuit(LONG, LONG, description=LONG, cable="W" * 300)]},
        {"boards": [board("MAIN")], "points": [point(LONG, "MAIN", "1", place="W" * 500, scheme=LONG)]},
        {"supply": supply(operator=LONG, intake_place=LONG, bonding_to=LONG)},
        {"boards": [board("MAIN")], "sources": [source("MAIN", "solar", isolator_place=LONG)] * 3},
        {"boards": [board("MAIN")], "electrodes": [electrode("MAIN", place=LONG)] * 9, "schemes": [scheme(LONG)] * 9},
    ],
)
def test_hostile_names_are_shortened_in_their_place_and_stand_whole_at_the_end(rows: Json) -> None:
    pictures = single_line_diagram(record(**rows))
    legible(pictures)
    assert "…[1]" in texts_of(pictures)
    whole = texts_of(pictures).replace(" ", "")
    for text in (LONG, "W" * 300):
        if text[:20] in str(rows):
            assert text.replace(" ", "") in whole


TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=("C",)), max_size=120)


@given(TEXTS, TEXTS, TEXTS)
@settings(max_examples=40, deadline=None)
def test_any_text_is_drawn_without_running_over_anything(name: str, place: str, model: str) -> None:
    rows = record(
        boards=[board(name, place=place), board("B2", fed_board=name, fed_circuit="1")],
        circuits=[circuit(name, "1", description=place), circuit("B2", place)],
        points=[point(model, "B2", place, model=model)],
    )
    legible(single_line_diagram(rows))


def test_the_words_of_a_picture_name_boards_circuits_and_points() -> None:
    (picture,) = single_line_diagram(garage())
    for text in ("picture 1 / 1", "Board MAIN: circuit 4 to board GARAGE", "circuit 1 to CP1", "solar source"):
        assert text in picture.alt
