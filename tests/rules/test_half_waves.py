"""Two break times of one RCD: typed with a point moved, one of them cannot be true."""

import pytest
from rules.honest import build, but, found, verdicts

from pipeline.facts.findings import Verdict

HALVES, SOONER = "both_half_waves_trip_an_rcd_alike", "more_current_trips_an_rcd_sooner"


@pytest.mark.parametrize(
    ("first", "second", "verdict"),
    [
        (24, 21, Verdict.PASS),
        (24, 210, Verdict.QUERY),
        (240, 21, Verdict.QUERY),
        # three times, and no more than 60 ms apart, is still one device
        (30, 90, Verdict.PASS),
        (30, 90.1, Verdict.QUERY),
        (29, 89, Verdict.PASS),
        (29, 89.1, Verdict.QUERY),
        (100, 300, Verdict.PASS),
        (24, "LIM: no access", Verdict.NOT_APPLICABLE),
        (None, 21, Verdict.NOT_APPLICABLE),
    ],
)
def test_the_half_waves_of_one_rcd_lie_close_together(first, second, verdict):
    assert verdicts(HALVES, but(build(), "readings", rcd_time=first, rcd_time_180=second)) == {verdict}


def test_times_that_are_not_of_one_rcd_are_both_told():
    (finding,) = found(HALVES, but(build(), "readings", rcd_time=240, rcd_time_180=21))
    assert "240 ms" in finding.found
    assert "21 ms" in finding.found
    assert "a point moved by one place" in finding.remedy
    assert len(finding.places) == 2


@pytest.mark.parametrize(
    ("usual", "sooner", "verdict"),
    [(24, 9, Verdict.PASS), (90, 9, Verdict.PASS), (90.1, 9, Verdict.QUERY), (9, 9.1, Verdict.QUERY)],
)
def test_five_times_the_current_trips_sooner_but_not_beyond_belief(usual, sooner, verdict):
    assert verdicts(SOONER, but(build(), "readings", rcd_time=usual, rcd_time_5=sooner)) == {verdict}


def test_a_delayed_rcd_may_be_ten_times_slower_at_its_rated_current():
    job = but(but(build(), "circuits", rcd_delay="S"), "readings", rcd_time=480, rcd_time_5=45, rcd_time_180=None)
    assert verdicts(SOONER, job) == {Verdict.PASS}
