"""What no rule may complain about, and what the list of rules promises."""

from datetime import date

import pytest
from rules.honest import TODAY, bays, build, but, job_row, planned, three_phase_tt, troubles

from pipeline.editions import edition
from pipeline.facts.findings import Scope, Verdict
from pipeline.rules import RING, RULES, check_job, check_week
from pipeline.rules.base import Area, margin, meets

NOVEMBER = dict.fromkeys(("worked", "dead_tested", "energised", "live_tested"), date(2026, 11, 10))


@pytest.mark.parametrize(
    ("job", "by", "as_of"),
    [
        (build(), "uk_2018_a2", TODAY),
        (planned(build()), "uk_2018_a2", TODAY),
        (three_phase_tt(), "uk_2018_a2", TODAY),
        (planned(but(three_phase_tt(), "electrodes", resistance=None, expected=60)), "uk_2018_a2", TODAY),
        (build(row=job_row(family="iec")), "iec", TODAY),
        (
            build(row=job_row(designed=date(2026, 11, 2), surveyed=None, **NOVEMBER)),
            "uk_2018_a4",
            date(2026, 11, 14),
        ),
    ],
    ids=["domestic", "planned", "three-phase TT", "planned TT", "IEC", "amendment 4"],
)
def test_an_honest_job_is_not_held(job, by, as_of):
    assert [(each.rule, each.subject, each.verdict) for each in troubles(job, by, as_of)] == []


def test_an_honest_job_at_the_same_reserve_with_a_32_a_device_is_not_held():
    assert troubles(but(build(), "circuits", device_rating=32)) == []


def test_twelve_bays_are_asked_about_at_most_twice():
    asked = [each for each in troubles(bays(12)) if each.verdict is Verdict.QUERY]
    assert len(asked) <= 2
    # the nearest bays have so large a fault current that reduced protective conductors need the maker's data
    assert {each.rule for each in troubles(bays(12))} <= {"protective_conductors_bear_a_fault"}


def test_every_finding_can_be_read_by_the_office():
    for job in (build(), three_phase_tt(), but(build(), "readings", zs=2, r1_r2=None, rcd_time=0)):
        for each in check_job(job, edition("uk_2018_a2"), TODAY):
            assert not each.message[0].islower(), each.message
            assert each.message.endswith("."), each.message
            assert each.subject
            if each.verdict in (Verdict.FAIL, Verdict.QUERY, Verdict.NOT_ASSESSED):
                assert all((each.found, each.expected, each.remedy)), each.rule


def test_rules_stand_in_the_order_of_the_work():
    order = [list(Area).index(rule.area) for rule in RULES.values()]
    assert order == sorted(order)


def test_every_rule_names_a_reference_and_a_title():
    assert all(rule.reference and rule.title and rule.judge.__doc__ for rule in RULES.values())


def test_findings_of_a_job_are_never_of_week_scope():
    assert all(each.scope is Scope.JOB for each in check_job(build(), edition("uk_2018_a2"), TODAY))


def test_a_failure_of_safety_on_a_live_point_begins_with_what_to_do():
    fails = [each for each in troubles(but(build(), "readings", polarity="wrong")) if each.verdict is Verdict.FAIL]
    assert [each.rule for each in fails] == ["polarity_is_confirmed"]
    assert fails[0].message.startswith(RING)


def test_a_failure_of_paper_work_does_not_ring_anybody():
    fails = troubles(but(build(), "row", circuits_total=2))
    assert [each.rule for each in fails] == ["circuits_equal_their_control_total"]
    assert not fails[0].message.startswith(RING)


def test_a_failure_before_the_visit_does_not_ring_anybody():
    fails = troubles(planned(but(build(), "circuits", live_size=1.5)))
    assert fails
    assert not any(each.message.startswith(RING) for each in fails)


@pytest.mark.parametrize(("value", "limit", "holds"), [(1.0, 1.0, True), (1.0000001, 1.0, False), (0.9, 1.0, True)])
def test_the_comparison_holds_on_the_limit(value, limit, holds):
    assert meets(value, limit) is holds


def test_the_comparison_takes_out_what_binary_fractions_add():
    assert meets(0.1 + 0.2, 0.3)
    assert margin(0.75, 1.0) == 25


def test_a_week_of_honest_jobs_has_nothing_copied():
    other = build(row=job_row(job="J2", site="9 Other Road", live_tested=date(2026, 9, 11)))
    assert check_week([build(), but(other, "readings", r1_r2=0.18, zs=0.42, rcd_time=19, rcd_time_180=18)]) == []
