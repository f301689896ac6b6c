"""A reading is as exact as its instrument: a band that reaches over the limit is asked about."""

import pytest
from rules.honest import build, but, change, found, judge, put, three_phase_tt, verdicts

from pipeline.facts.choices import Function
from pipeline.facts.findings import Verdict
from pipeline.facts.rows.firm import Accuracy

PASS, QUERY, NOTE, FAIL = Verdict.PASS, Verdict.QUERY, Verdict.NOTE, Verdict.FAIL
WITHIN = "within the instrument's uncertainty"
STEPS = {
    Function.CONTINUITY: "0.01 Ω",
    Function.INSULATION: "0.01 MΩ",
    Function.LOOP: "0.01 Ω",
    Function.RCD: "1 ms",
    Function.ELECTRODE: "0.1 Ω",
}


def stated(job):
    """The job with an instrument that is exact to ± 3 % and two digits in everything."""
    rows = tuple(
        put(Accuracy, instrument="T1", function=function, percent=3, digits=2, last_place=step)
        for function, step in STEPS.items()
    )
    return job.model_copy(update={"accuracies": rows})


def tt(**cells):
    """The TT job behind an RCD of 500 mA, of which the electrode may reach 100 Ω."""
    return but(but(three_phase_tt(), "circuits", rcd_rating=500), "electrodes", **cells)


CASES = [
    # rule, job by reading, last reading that passes, first that is asked about
    # 0.874 Ω: 0.82 + 0.0446 passes, 0.83 + 0.0449 reaches over it
    ("measured_zs_is_within_its_limit", lambda x: but(build(), "readings", zs=x), 0.82, 0.83),
    # 1 MΩ: 1.05 − 0.0515 reaches below it
    ("insulation_resistance_is_high_enough", lambda x: but(build(), "readings", insulation_le=x), 60, 1.05),
    # 300 ms: 289 + 10.67 passes, 290 + 10.7 does not
    ("rcds_trip_in_time", lambda x: but(build(), "readings", rcd_time=x, rcd_time_180=None), 289, 290),
    # 50 V / 500 mA = 100 Ω: 96.8 + 3.104 passes, 96.9 + 3.107 does not
    ("tt_circuits_have_an_rcd_that_suits_the_electrode", lambda x: tt(resistance=x), 96.8, 96.9),
]


@pytest.mark.parametrize(("rule", "job", "sure", "unsure"), CASES, ids=[each[0] for each in CASES])
def test_a_band_that_reaches_over_the_limit_is_asked_about(rule, job, sure, unsure):
    assert QUERY not in verdicts(rule, stated(job(sure)))
    asked = [each for each in found(rule, stated(job(unsure))) if each.verdict is QUERY]
    assert len(asked) == 1
    assert WITHIN in asked[0].message
    assert "±" in [each.symbol for each in asked[0].calculation.inputs]


@pytest.mark.parametrize(("rule", "job", "sure", "unsure"), CASES, ids=[each[0] for each in CASES])
def test_where_no_accuracy_is_stated_none_is_invented(rule, job, sure, unsure):
    assert not any(WITHIN in each.message for each in found(rule, job(unsure)))
    assert all("±" not in [x.symbol for x in each.calculation.inputs] for each in found(rule, job(unsure)))


def test_a_delayed_rcd_close_to_its_least_time_is_asked_about():
    # 130 ms: 136 − 6.08 reaches below it, 137 − 6.11 does not
    job = stated(but(build(), "circuits", rcd_delay="S"))
    for time, verdict in ((137, PASS), (136, QUERY)):
        assert verdicts("rcds_trip_in_time", but(job, "readings", rcd_time=time, rcd_time_180=None)) == {verdict}


def test_ze_makes_a_designed_loop_unsure():
    # 1.0925 Ω less 14 m of 12.588 mΩ/m leaves 0.9163 Ω for Ze: 0.87 ± 0.0461 is sure, 0.88 ± 0.0464 is not
    rule = "predicted_zs_is_within_its_limit"
    assert verdicts(rule, stated(but(build(), "supply", ze=0.87))) == {PASS}
    asked = found(rule, stated(but(build(), "supply", ze=0.88)))[0]
    assert asked.verdict is QUERY
    assert WITHIN in asked.message
    assert verdicts(rule, but(build(), "supply", ze=0.88)) == {PASS}
    assert verdicts(rule, stated(but(build(), "supply", ze=0.88, ze_by="by enquiry"))) == {NOTE}


def test_an_honest_job_with_a_stated_accuracy_is_not_asked_about():
    for rule in ("measured_zs_is_within_its_limit", "rcds_trip_in_time", "insulation_resistance_is_high_enough"):
        assert QUERY not in verdicts(rule, stated(build()))


def test_a_reading_beyond_its_limit_is_not_excused_by_the_instrument():
    assert FAIL in verdicts("rcds_trip_in_time", stated(but(build(), "readings", rcd_time=301, rcd_time_180=None)))


def test_an_electrode_tester_of_its_own_is_the_one_that_counts():
    job = tt(resistance=96.9, instrument="E1")
    tester = change(job.instruments[0], instrument="E1")
    exact = put(Accuracy, instrument="E1", function=Function.ELECTRODE, percent=1, digits=1, last_place="0.1 Ω")
    job = job.model_copy(update={"instruments": (*job.instruments, tester), "accuracies": (exact,)})
    rule = "tt_circuits_have_an_rcd_that_suits_the_electrode"
    assert judge(rule, job) == [("Board MAIN, circuit 9", PASS)]
