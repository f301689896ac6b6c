"""Who signed, when, with which instrument."""

from datetime import date

import pytest
from rules.honest import (
    PERSON,
    TESTER,
    TODAY,
    TORQUE_TOOL,
    build,
    but,
    change,
    found,
    judge,
    planned,
    put,
    readings_row,
    verdicts,
)

from pipeline.facts.choices import Function, Role
from pipeline.facts.findings import Verdict
from pipeline.facts.quantities import quantity
from pipeline.facts.rows.firm import Accuracy
from pipeline.rules.dates import months_after
from pipeline.rules.instruments import band

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED = Verdict.NOT_ASSESSED


def test_who_lacks_a_role_may_not_sign_for_it():
    person = change(PERSON, roles=frozenset(Role) - {Role.TESTING})
    assert verdicts("people_hold_the_role_they_sign", build()) == {PASS}
    outcome = judge("people_hold_the_role_they_sign", build(people=(person,)))
    assert outcome.count(("Person PEX", FAIL)) == 1
    assert outcome.count(("Person PEX", PASS)) == 3


def test_an_authorisation_that_ended_before_the_day_fails():
    rule = "people_are_authorised_on_the_day"
    assert verdicts(rule, build()) == {PASS}
    ended = change(PERSON, valid_to=date(2026, 9, 10))
    # the tests were that day; the release is later
    assert [verdict for _, verdict in judge(rule, build(people=(ended,)))] == [PASS, PASS, PASS, FAIL]
    assert verdicts(rule, build(people=(change(PERSON, valid_to=None),))) == {NOT_ASSESSED}
    assert len(judge(rule, planned(build()))) == 1


def test_a_signature_without_a_person_is_not_assessed():
    rule = "signatures_have_a_person"
    assert verdicts(rule, build()) == {PASS}
    assert ("Tester", NOT_ASSESSED) in judge(rule, but(build(), "row", tester=None))
    assert ("Tester", NOT_ASSESSED) in judge(rule, but(build(), "row", tester="NOBODY"))


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({}, PASS),
        ({"dead_tested": date(2026, 9, 11)}, FAIL),
        ({"energised": date(2026, 9, 11)}, FAIL),
        ({"designed": date(2026, 9, 12), "surveyed": None}, FAIL),
        ({"surveyed": date(2026, 9, 3)}, QUERY),
        ({"surveyed": None}, PASS),
    ],
)
def test_dates_keep_the_order_of_the_work(cells, verdict):
    assert verdicts("dates_follow_the_order_of_the_work", but(build(), "row", **cells)) == {verdict}


def test_a_day_to_come_fails_and_today_does_not():
    rule = "days_are_not_to_come"
    assert judge(rule, but(build(), "row", live_tested=TODAY)) == [("Job", PASS)]
    assert judge(rule, but(build(), "row", live_tested=date(2026, 9, 15))) == [("Job", FAIL)]
    assert judge(rule, but(build(), "supply", ze_date=date(2030, 9, 15))) == [("Supply", FAIL)]


@pytest.mark.parametrize(("as_of", "verdict"), [(TODAY, PASS), (date(2026, 12, 10), PASS), (date(2026, 12, 11), QUERY)])
def test_a_pack_later_than_three_months_is_asked_about(as_of, verdict):
    assert judge("packs_are_issued_soon_after_the_tests", build(), as_of=as_of) == [("Job", verdict)]


@pytest.mark.parametrize(
    ("day", "reason", "verdict"),
    [
        (date(2036, 9, 10), None, PASS),
        (date(2036, 9, 11), None, QUERY),
        (date(2026, 9, 10), None, QUERY),
        (date(2036, 9, 11), "because", QUERY),
        (date(2027, 9, 10), None, PASS),
        (None, None, NOT_ASSESSED),
    ],
)
def test_the_next_inspection_of_a_dwelling_is_within_ten_years(day, reason, verdict):
    job = but(build(), "row", next_inspection=day, next_reason=reason)
    assert judge("next_inspection_is_within_custom", job) == [("Job", verdict)]


def test_a_reason_makes_an_unusual_interval_a_note():
    job = but(build(), "row", premises="commercial", next_reason="new installation")
    assert judge("next_inspection_is_within_custom", job) == [("Job", NOTE)]


def test_the_29_of_february_becomes_the_28():
    assert months_after(date(2028, 2, 29), 12) == date(2029, 2, 28)


def test_the_design_date_must_fit_the_edition():
    rule = "design_date_fits_the_edition"
    assert judge(rule, build()) == [("Job", PASS)]
    assert judge(rule, build(), by="uk_2018_a4") == [("Job", QUERY)]
    assert judge(rule, build(), by="iec") == [("Job", QUERY)]


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({}, PASS),
        ({"due": date(2026, 9, 9)}, QUERY),
        ({"due": date(2026, 9, 10)}, NOTE),
        ({"due": date(2026, 10, 10)}, NOTE),
        ({"due": date(2026, 10, 11)}, PASS),
        ({"calibrated": date(2026, 9, 11)}, QUERY),
        ({"calibrated": None}, FAIL),
        ({"due": None}, NOT_ASSESSED),
    ],
)
def test_an_instrument_is_calibrated_on_the_day(cells, verdict):
    job = build(instruments=(change(TESTER, **cells), TORQUE_TOOL))
    assert judge("instruments_are_calibrated_on_the_day_of_the_tests", job)[0] == ("Instrument T1", verdict)


def test_a_torque_tool_is_an_instrument_too():
    job = build(instruments=(TESTER, change(TORQUE_TOOL, due=date(2026, 9, 1))))
    outcome = judge("instruments_are_calibrated_on_the_day_of_the_tests", job)
    assert ("Instrument TQ1", QUERY) in outcome


def test_a_reading_without_a_fitting_instrument_is_asked_about():
    rule = "readings_have_an_instrument_for_them"
    deaf = change(TESTER, functions=frozenset({Function.CONTINUITY}))
    assert verdicts(rule, build()) == {PASS}
    assert verdicts(rule, build(instruments=(deaf,))) == {QUERY}
    assert verdicts(rule, but(build(), "readings", instrument=None)) == {FAIL}


def test_a_silent_maker_is_told_and_a_stated_accuracy_is_not():
    rule = "instruments_state_their_accuracy"
    functions = (Function.CONTINUITY, Function.INSULATION, Function.LOOP, Function.RCD)
    stated = tuple(
        put(Accuracy, instrument="T1", function=each, percent=3, digits=2, last_place="0.01 Ω") for each in functions
    )
    assert judge(rule, build()) == [("Instrument T1", NOTE)]
    assert judge(rule, build(accuracies=stated)) == [("Instrument T1", PASS)]


def test_a_stated_accuracy_makes_a_reading_on_its_limit_a_query():
    stated = (put(Accuracy, instrument="T1", function=Function.LOOP, percent=3, digits=2, last_place="0.01 Ω"),)
    # 0.8 × 0.95 × 230 / (5 × 40) = 0.874, BS 7671 Appendix 3
    on_the_limit = but(build(), "readings", zs=0.874)
    assert verdicts("measured_zs_is_within_its_limit", on_the_limit) == {NOTE}
    on_the_limit = on_the_limit.model_copy(update={"accuracies": stated})
    assert verdicts("measured_zs_is_within_its_limit", on_the_limit) == {QUERY}


def test_digits_are_counted_in_the_last_place_of_the_display():
    stated = (put(Accuracy, instrument="T1", function=Function.LOOP, percent=10, digits=5, last_place="0.01 Ω"),)
    job = build(accuracies=stated)
    reading = readings_row(zs=0.5).zs
    assert band(job, job.readings[0], Function.LOOP, reading, "Ω") == pytest.approx(0.1)
    assert band(build(), job.readings[0], Function.LOOP, reading, "Ω") == 0
    assert quantity(1, "Ω") == reading.quantity * 2


def test_a_finding_on_an_instrument_names_its_cells():
    job = build(instruments=(change(TESTER, due=date(2026, 9, 9)), TORQUE_TOOL))
    cells = found("instruments_are_calibrated_on_the_day_of_the_tests", job)[0].places
    assert [str(each) for each in cells] == ["Instruments G3", "Instruments H3"]
