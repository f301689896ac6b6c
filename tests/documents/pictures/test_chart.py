import struct

import pytest

from pipeline.documents.pictures import margin_chart
from pipeline.documents.pictures.chart import AXIS, AXIS_END, CHECK, LIMIT_LINE
from pipeline.documents.pictures.notes import HEIGHT, WIDTH
from tests.documents.pictures.plant import Json, Letters, car_park, letters_of, reading, record, records_of, texts_of


def finding(rule: str, subject: str = "Supply", margin: float | None = 40.0, **more: object) -> Json:
    """A finding of the record with a calculation, where it has a margin."""
    calculation = {"result": "0.39 Ω", "limit": "0.87 Ω", "margin": margin, "inputs": [], **more.pop("sums", {})}  # type: ignore[dict-item]
    return {
        "rule": rule,
        "subject": subject,
        "verdict": "pass",
        "message": "",
        "places": [],
        "calculation": None if margin is None else calculation,
        **more,
    }


def bars_of(data: bytes) -> list[float]:
    """Right ends of the bars in millimetres: the rectangles that begin at the axis."""
    ends = []
    for kind, body in records_of(data):
        if kind == 86 and struct.unpack_from("<I", body, 16)[0] == 4:
            left, _, right, _ = struct.unpack_from("<4i", body)
            ends += [right / 100] if left == AXIS * 100 else []
    return ends


def line_of(texts: list[Letters], begins: str) -> list[str]:
    """The texts on the line of the one that begins so, from left to right."""
    (hit,) = (each for each in texts if each.text.startswith(begins))
    return [each.text for each in sorted(texts, key=lambda each: each.x) if each.y == hit.y]


def test_without_a_margin_there_is_no_chart() -> None:
    assert margin_chart(record()) == []
    assert margin_chart(record((finding("polarity_is_confirmed", margin=None),))) == []


@pytest.mark.parametrize(("margin", "share"), [(100, 0), (60, 40), (0, 100), (-20, 120)])
def test_a_bar_is_as_long_as_the_share_of_its_limit(margin: float, share: float) -> None:
    sums = {"result": f"{100 - margin} A", "limit": "100 A"}
    (picture,) = margin_chart(record((finding("loop", margin=margin, sums=sums),)))
    (end,) = bars_of(picture.data)
    assert end == pytest.approx(AXIS + share / 100 * (LIMIT_LINE - AXIS), abs=0.02)
    assert f"{share} %" in line_of(letters_of(picture), "Loop")


@pytest.mark.parametrize(
    ("result", "limit", "margin", "share"),
    [
        ("750 A", "at least 200 A (Example 1)", 275, "27 %"),
        ("100 A", "at least 200 A", -50, "200 %"),
        (">999 MΩ", "1 MΩ (Example 1, table 6)", 99800, "< 1 %"),
        ("0.8 MΩ", "1 MΩ", -20, "125 %"),
        ("16 mm²", "at least 16 mm²", 0, "100 %"),
        ("0 A", "at least 200 A", -100, "> 999 %"),
        ("1.12 kA", "6 kA", 81.3, "19 %"),
        ("750 A", "at least 0.15 kA", 400, "20 %"),
    ],
)
def test_of_a_least_value_the_share_is_limit_through_result(result: str, limit: str, margin: float, share: str) -> None:
    (picture,) = margin_chart(record((finding("loop", margin=margin, sums={"result": result, "limit": limit}),)))
    assert line_of(letters_of(picture), "Loop")[1] == share


def test_a_label_is_not_cut_at_the_stops_of_an_abbreviation() -> None:
    said = "The d.c. detection opens at its current. Figure carried over."
    (picture,) = margin_chart(record((finding("dc_detection_opens_at_its_current", message=said),)))
    assert "The d.c. detection opens at its current" in texts_of([picture])
    allowed = margin_chart(record((finding("pilot", message="The pilot allows 32.1 A. Figure carried over."),)))
    assert "Figure" not in texts_of(allowed)


def test_a_bar_off_the_scale_ends_there_and_its_share_is_printed() -> None:
    (picture,) = margin_chart(
        record(
            (
                finding("loop", margin=-140, sums={"result": "2.09 Ω"}),
                finding("drop", margin=-1e9, sums={"result": "8e6 Ω"}),
                finding("odd", margin=250, sums={"result": "-1 Ω"}),
            )
        )
    )
    assert bars_of(picture.data) == [AXIS_END, AXIS_END, AXIS]
    texts = letters_of(picture)
    assert [line_of(texts, name)[-4] for name in ("Loop", "Drop", "Odd")] == ["240 %", "> 999 %", "0 %"]


def test_a_line_says_check_share_result_limit_and_verdict() -> None:
    sums = {"result": "420 ms", "limit": "300 ms"}
    chart = margin_chart(
        record((finding("rcd_trips_in_time", "Board MAIN, circuit 9", -40, verdict="fail", sums=sums),))
    )
    texts = letters_of(chart[0])
    assert line_of(texts, "RCD trips") == ["RCD trips in time", "140 %", "420 ms", "300 ms", "FAIL"]
    assert line_of(texts, "Board MAIN, circuit 9") == ["Board MAIN, circuit 9"]
    assert "rcd trips in time, 140 % of its limit, fail" in chart[0].alt.lower()


@pytest.mark.parametrize(("verdict", "hard"), [("pass", False), ("note", False), ("query", True), ("fail", True)])
def test_what_holds_a_job_is_hatched_and_in_capitals_without_any_colour(verdict: str, hard: bool) -> None:  # noqa: FBT001
    (picture,) = margin_chart(record((finding("loop", verdict=verdict),)))
    (plain,) = margin_chart(record((finding("loop"),)))
    lines = [[kind for kind, _ in records_of(each.data)].count(87) for each in (picture, plain)]
    assert (lines[0] > lines[1] + 20) is hard
    assert line_of(letters_of(picture), "Loop")[-1] == (verdict.upper() if hard else verdict)
    for kind, body in records_of(picture.data):
        if kind == 39:
            ink = struct.unpack_from("<4B", body, 8)
            assert ink[0] == ink[1] == ink[2]


def test_bars_follow_the_work_from_the_intake_to_the_tests_whatever_the_order_of_findings() -> None:
    rows = record()
    rows["job"]["readings"] = [reading("MAIN", "9")]
    job = rows["job"]
    nine, supplied = "Board MAIN, circuit 9", "Supply"
    rows["findings"] = [
        finding("trip", nine, places=[job["readings"][0]["rcd_time"]["cell"]]),
        finding("loop", nine, places=[job["circuits"][0]["length"]["cell"], job["readings"][0]["zs"]["cell"]]),
        finding("commission", "Charge point CP1", places=[job["points"][0]["torque"]["cell"]]),
        finding("cable", nine, places=[job["circuits"][0]["live_size"]["cell"], job["supply"]["ze"]["cell"]]),
        finding("demand", supplied, places=[job["supply"]["demand_l1"]["cell"]]),
    ]
    left = [each.text for each in letters_of(margin_chart(rows)[0]) if each.x < 10]
    assert left[1:-1] == [supplied, "Demand", nine, "Cable", "Loop", "Trip", "Charge point CP1", "Commission"]


def test_all_checks_of_a_large_job_are_shown_about_forty_a_picture() -> None:
    rows = car_park()
    rows["findings"] = [
        finding(f"check_{n}", f"Board DB{b}, circuit {c}") for b in range(4) for c in range(15) for n in range(4)
    ]
    pictures = margin_chart(rows)
    assert sum(len(bars_of(each.data)) for each in pictures) == 240
    assert 7 <= len(pictures) <= 8
    for picture in pictures:
        texts = letters_of(picture)
        assert picture.height_mm <= HEIGHT
        assert len(bars_of(picture.data)) <= 41
        assert all(each.size_pt > 6.5 and each.right <= WIDTH + 0.05 for each in texts)
        headings = [each.text for each in texts if each.bold]
        assert headings[0].startswith("Board DB")


def test_a_subject_that_is_split_repeats_its_heading_and_none_stands_alone_at_the_end() -> None:
    rows = record(tuple(finding(f"check_{n}", subject) for subject in "ABCDEFGHIJ" for n in range(8)))
    for picture in margin_chart(rows):
        left = sorted(
            (each for each in letters_of(picture) if each.x < 10 and 10 < each.y < picture.height_mm - 3),
            key=lambda each: each.y,
        )
        assert left[0].bold
        assert not left[-1].bold
    assert "E (continued)" in texts_of(margin_chart(rows)[1:])


def test_a_check_is_named_by_its_sentence_where_that_fits_so_that_two_readings_differ() -> None:
    said = [f"RCD time at {angle}°: the RCD trips in time. A figure is not confirmed." for angle in (0, 180)]
    long = "The protective conductor is smaller than the table asks, but bears a fault by a bound."
    rows = record((*(finding("rcds_trip", message=each) for each in said), finding("conductors_bear", message=long)))
    left = [each.text for each in letters_of(margin_chart(rows)[0]) if each.x == CHECK]
    assert left[1:] == [
        "RCD time at 0°: the RCD trips in time",
        "RCD time at 180°: the RCD trips in time",
        "Conductors bear",
    ]


def test_a_limit_keeps_its_source_where_there_is_room_and_its_figure_always() -> None:
    short, long = "0.87 Ω (Example 1, table 2)", "0.55 Ω (" + "Example 1, table 2; " * 6 + ")"
    chart = margin_chart(record((finding("one", sums={"limit": short}), finding("two", sums={"limit": long}))))
    assert len(chart) == 1
    assert line_of(letters_of(chart[0]), "One")[3] == short
    assert line_of(letters_of(chart[0]), "Two")[3] == "0.55 Ω (Example 1, table 2; …)"
    longest = "0.44 Ω (" + "a source with a very long name " * 6 + ")"
    alone = margin_chart(record((finding("three", sums={"limit": longest}),)))
    assert line_of(letters_of(alone[0]), "Three")[3] == "0.44 Ω"


def test_long_texts_are_shortened_in_their_column_and_stand_whole_at_the_end() -> None:
    long = "Board <Nord & Süd>, behind the second door on the left " * 4
    sums = {"result": "0.39 Ω at 20 °C by the second of three meters", "limit": "0.87 Ω"}
    pictures = margin_chart(record((finding("loop", long, sums=sums),)))
    texts = letters_of(pictures[0])
    assert max(each.right for each in texts if each.text.startswith("Board")) < AXIS
    assert f"[1] {long.strip()}" in texts_of(pictures[1:])
    assert sums["result"] in texts_of(pictures[1:])


def test_the_same_findings_give_the_same_bytes() -> None:
    rows = record((finding("loop"), finding("drop", margin=3)))
    assert margin_chart(rows) == margin_chart(rows)
