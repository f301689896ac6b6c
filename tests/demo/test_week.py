"""The demo week: what its jobs between them show, and that it is the same on every machine."""

import re
from collections import Counter
from datetime import date
from pathlib import Path

import openpyxl
import pytest

from pipeline.demo.__main__ import PHOTOS, WORKBOOK, main, write_demo
from pipeline.demo.spoil import find_row, keep_jobs, set_cell
from pipeline.demo.week import EXPECTED, TODAY
from pipeline.demo.week import demo_rows as make_rows
from pipeline.facts.sheets import BY_TITLE

INPUTS = Path(__file__).parent.parent.parent / "inputs"
CHANGE = date(2026, 10, 15)


def jobs_with(rows, sheet, **cells):
    return {row["job"] for row in rows[sheet] if all(row.get(name) == value for name, value in cells.items())}


def issued():
    return {job for job, expected in EXPECTED.items() if expected.outcome == "awaiting signature"}


def held():
    return {job for job, expected in EXPECTED.items() if expected.outcome == "held"}


def test_every_job_has_its_expected_outcome_and_every_held_one_a_reason(demo_rows):
    assert {row["job"] for row in demo_rows["Jobs"]} == set(EXPECTED)
    assert len(EXPECTED) >= 16
    assert {each.outcome for each in EXPECTED.values()} == {"awaiting signature", "held", "planned"}
    assert all(bool(each.reasons) is (each.outcome == "held") for each in EXPECTED.values())


def test_reasons_name_columns_that_exist():
    for expected in EXPECTED.values():
        for reason in expected.reasons:
            assert reason.attribute in BY_TITLE[reason.sheet].row.fields()


@pytest.mark.parametrize("system", ["TN-C-S", "TN-S", "TT"])
def test_each_earthing_system_has_an_honest_job(demo_rows, system):
    assert jobs_with(demo_rows, "Supplies", earthing_system=system) & issued()


def test_a_tn_c_s_house_has_a_separate_open_pen_device(demo_rows):
    assert jobs_with(demo_rows, "Charge points", open_pen="separate device", open_pen_phases=1) & issued()


def test_a_tt_island_stands_on_a_tn_c_s_supply(demo_rows):
    islands = jobs_with(demo_rows, "Circuits", earthing_system="TT")
    assert islands & jobs_with(demo_rows, "Supplies", earthing_system="TN-C-S") & issued()
    assert islands & jobs_with(demo_rows, "Earth electrodes", armour_isolated="yes")


def test_a_tt_house_has_its_electrode_measured(demo_rows):
    assert jobs_with(demo_rows, "Supplies", earthing_system="TT") <= jobs_with(demo_rows, "Earth electrodes")


def test_single_and_three_phase_tethered_and_socket_points_occur(demo_rows):
    models = {row["model"]: row for row in demo_rows["Models"]}
    used = {
        (models[row["model"]]["phases"], models[row["model"]]["connection"], row["current_limit"])
        for row in demo_rows["Charge points"]
        if row["job"] in issued()
    }
    assert {(1, "tethered cable", 32), (1, "socket-outlet", 32), (3, "socket-outlet", 32)} <= used


def test_a_garage_hangs_on_a_long_armoured_distribution_circuit(demo_rows):
    feeders = [row for row in demo_rows["Circuits"] if row.get("feeds") == "distribution circuit"]
    garage = find_row(demo_rows, "Boards", board="GARAGE")
    (feeder,) = [row for row in feeders if row["job"] == garage["job"]]
    assert (feeder["board"], feeder["circuit"]) == (garage["fed_board"], garage["fed_circuit"])
    assert feeder["cable"] == "armoured"
    assert feeder["length"] >= 30


def test_car_parks_have_two_and_twelve_bays_under_load_management(demo_rows):
    managed = jobs_with(demo_rows, "Load management")
    bays = Counter(row["job"] for row in demo_rows["Charge points"] if row["job"] in managed)
    assert sorted(bays.values()) == [2, 12]
    assert managed <= jobs_with(demo_rows, "Circuits", feeds="distribution circuit") & issued()


def test_solar_minor_works_and_the_other_rule_family_occur(demo_rows):
    assert jobs_with(demo_rows, "Other sources", source="solar") & issued()
    assert jobs_with(demo_rows, "Jobs", work="addition or alteration without a new circuit") & issued()
    assert len(jobs_with(demo_rows, "Jobs", family="iec") & issued()) == 1


def test_design_dates_lie_on_both_sides_of_the_change_of_edition(demo_rows):
    dates = [row["designed"] for row in demo_rows["Jobs"] if row["job"] in issued() and row.get("family") != "iec"]
    assert min(dates) < CHANGE < max(dates)


def test_a_limitation_in_the_existing_installation_is_among_the_issued(demo_rows):
    assert jobs_with(demo_rows, "Inspections", bonding="LIM") & jobs_with(demo_rows, "Inspection remarks") & issued()


def test_a_first_failed_test_is_kept_beside_its_second(demo_rows):
    attempts = Counter((row["job"], row["board"], row["circuit"]) for row in demo_rows["Readings"])
    assert {job for (job, _, _), count in attempts.items() if count == 2} & issued()


def test_an_upstream_rcd_of_the_wrong_type_is_held(demo_rows):
    assert jobs_with(demo_rows, "Boards", rcd_type="AC") <= held()


def test_the_job_to_be_visited_knows_nothing_of_tests(demo_rows):
    (planned,) = jobs_with(demo_rows, "Jobs", state="to visit")
    assert EXPECTED[planned].outcome == "planned"
    for sheet in ("Readings", "Inspections", "Photos"):
        assert planned not in jobs_with(demo_rows, sheet)


def test_names_of_honest_jobs_try_signs_accents_and_length(demo_rows):
    names = "\n".join(row["client"] for row in demo_rows["Jobs"] if row["job"] in issued())
    for sign in "&<>'\"ŵŁłż":
        assert sign in names or sign.upper() in names, sign
    assert max(map(len, names.split("\n"))) > 60


def test_the_week_lies_before_the_day_of_the_check(demo_rows):
    dates = {row["worked"] for row in demo_rows["Jobs"] if "worked" in row}
    assert (min(dates), max(dates), TODAY) == (date(2026, 11, 16), date(2026, 11, 20), date(2026, 11, 24))


def test_nobody_is_at_three_sites_on_one_day(demo_rows):
    assert max(Counter((row["worked"], row["tester"]) for row in demo_rows["Jobs"] if "worked" in row).values()) <= 2


def test_everything_is_plainly_invented(demo_rows):
    texts = [value for rows in demo_rows.values() for row in rows for value in row.values() if isinstance(value, str)]
    assert all(text.endswith("@example.com") for text in texts if "@" in text)
    assert all(text.startswith("01632 960") for text in texts if re.match(r"0\d{4} ", text))
    assert "(invented)" in demo_rows["Firm"][0]["name"]
    assert all("(invented)" in row["maker"] for row in demo_rows["Models"])


def test_each_job_of_the_week_has_two_to_four_photos_no_two_alike(demo_rows, tmp_path):
    write_demo(tmp_path)
    counts = Counter(row["job"] for row in demo_rows["Photos"])
    assert set(counts) == {job for job, expected in EXPECTED.items() if expected.outcome != "planned"}
    assert all(2 <= count <= 4 for count in counts.values())
    files = [(tmp_path / PHOTOS / row["file"]).read_bytes() for row in demo_rows["Photos"]]
    assert len(set(files)) == len(files)
    assert all(content.startswith(b"\xff\xd8") and content.endswith(b"\xff\xd9") for content in files)


def test_the_sample_in_inputs_is_this_demo(tmp_path):
    made, kept = openpyxl.load_workbook(write_demo(tmp_path)), openpyxl.load_workbook(INPUTS / WORKBOOK)
    assert kept.sheetnames == made.sheetnames
    for page in made:
        assert [[cell.value for cell in row] for row in kept[page.title]] == [[c.value for c in row] for row in page]
    assert {path.name for path in (INPUTS / PHOTOS).iterdir()} == {path.name for path in (tmp_path / PHOTOS).iterdir()}


def test_the_command_asks_for_one_folder(capsys, tmp_path):
    assert main([]) == 2
    assert "FOLDER" in capsys.readouterr().err
    assert main([str(tmp_path)]) == 0
    assert (tmp_path / WORKBOOK).is_file()


def test_rows_are_fresh_and_can_be_spoilt_one_by_one(demo_rows):
    set_cell(demo_rows, "Readings", "LN-101", "zs", None)
    assert find_row(demo_rows, "Readings", "LN-101")["zs"] is None
    assert find_row(make_rows(), "Readings", "LN-101")["zs"] > 0
    assert {row["job"] for row in keep_jobs(demo_rows, "LN-101")["Circuits"]} == {"LN-101"}
