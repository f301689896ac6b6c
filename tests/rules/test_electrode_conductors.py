"""The conductor to an electrode is as large as how it lies asks for."""

import pytest
from rules.honest import build, but, electrode_row, found, judge, planned, three_phase_tt

from pipeline.facts.findings import Verdict

NOTE, PASS, QUERY, NOT_ASSESSED = Verdict.NOTE, Verdict.PASS, Verdict.QUERY, Verdict.NOT_ASSESSED
RULE = "conductors_of_electrodes_have_their_size"
ROD = "Earth electrode of the installation"


@pytest.mark.parametrize(
    ("size", "run", "verdict"),
    [
        (16, "buried, protected against corrosion only", NOTE),
        (15, "buried, protected against corrosion only", QUERY),
        (25, "buried, bare", NOTE),
        (24, "buried, bare", QUERY),
        (4, "not buried", PASS),
        (3.9, "not buried", QUERY),
        (2.5, "buried, protected against corrosion and damage", PASS),
        (2.4, "buried, protected against corrosion and damage", QUERY),
        (16, None, NOT_ASSESSED),
    ],
)
def test_the_minimum_follows_from_how_the_conductor_lies(size, run, verdict):
    job = but(three_phase_tt(), "electrodes", conductor_size=size, conductor_run=run)
    assert judge(RULE, job) == [(ROD, verdict)]


def test_the_conductor_of_an_island_is_missed_and_that_of_the_installation_is_the_supply_s():
    island = build(electrodes=(electrode_row(board="MAIN", circuit="9", conductor_size=None),))
    assert judge(RULE, island) == [("Earth electrode of board MAIN", NOT_ASSESSED)]
    whole = but(three_phase_tt(), "electrodes", conductor_size=None)
    assert judge(RULE, whole) == [(ROD, NOTE)]
    assert judge(RULE, but(whole, "supply", earthing_conductor=10)) == [(ROD, QUERY)]


def test_the_working_names_the_table_and_the_margin():
    calculation = found(RULE, but(three_phase_tt(), "electrodes", conductor_size=20))[0].calculation
    assert calculation.limit == "at least 16 mm² (BS 7671:2018+A2:2022, Table 54.1)"
    assert calculation.margin == pytest.approx(25)


def test_before_the_visit_it_is_not_asked_for():
    assert judge(RULE, planned(three_phase_tt())) == []
