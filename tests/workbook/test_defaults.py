"""The Defaults sheet fills blank cells, and nothing that has to be seen or measured."""

import pytest

from pipeline.facts.field import Place
from pipeline.facts.quantities import magnitude
from tests.workbook.spoilt import JOB, sound_rows, told, typed

FREQUENCY = {"sheet": "Supplies", "column": "Frequency", "value": 50}


def with_defaults(*given, **supply):
    rows = sound_rows()
    taken = {(each["sheet"], each["column"]) for each in given}
    kept = [each for each in rows["Defaults"] if (each["sheet"], str(each["column"])) not in taken]
    rows["Defaults"] = [*given, *kept]
    rows["Supplies"][0].update(supply)
    return typed(rows)


@pytest.mark.parametrize("column", ["Frequency", "Frequency (Hz)", "frequency"])
def test_a_default_fills_a_blank_cell_and_keeps_its_own_place(column):
    supply = with_defaults({**FREQUENCY, "column": column}, frequency=None).jobs[0].supply
    assert magnitude(supply.frequency, "Hz") == 50
    assert (supply.typed["frequency"], supply.at["frequency"]) == ("50", Place("Defaults", "C3"))


def test_a_typed_cell_is_stronger_than_its_default():
    supply = with_defaults(FREQUENCY, frequency=60).jobs[0].supply
    assert magnitude(supply.frequency, "Hz") == 60
    assert supply.at["frequency"].sheet == "Supplies"


def test_a_bad_default_is_told_once_at_its_own_cell():
    week = with_defaults({**FREQUENCY, "value": "fifty"}, frequency=None)
    assert told(week) == {("cell_is_a_number", "fail", "")}
    assert week.findings[0].places == (Place("Defaults", "C3"),)
    assert week.jobs[0].supply.at["frequency"] == Place("Defaults", "C3")


@pytest.mark.parametrize(
    ("given", "cell"),
    [
        ({**FREQUENCY, "sheet": "Suplies"}, "A3"),
        ({**FREQUENCY, "sheet": "People"}, "A3"),
        ({**FREQUENCY, "column": "Freqency"}, "B3"),
        ({"sheet": "Readings", "column": "Zs", "value": 0.3}, "B3"),
        ({"sheet": "Inspections", "column": "State of the intake", "value": "pass"}, "B3"),
    ],
)
def test_a_default_that_fits_no_column_fails(given, cell):
    week = with_defaults(given)
    assert told(week) == {("default_fits_a_column", "fail", "")}
    assert week.findings[0].places == (Place("Defaults", cell),)


def test_two_defaults_for_one_column_fail():
    week = with_defaults(FREQUENCY, FREQUENCY)
    assert ("default_fits_a_column", "fail", "") in told(week)


def test_a_default_without_a_value_fails_as_a_blank_cell():
    week = with_defaults({**FREQUENCY, "value": None})
    assert {rule for rule, _, job in told(week) if not job} == {"cell_is_filled"}
    assert told(week, job=JOB) == {("cell_is_filled", "fail", JOB)}
