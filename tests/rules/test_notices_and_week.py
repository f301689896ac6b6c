"""Who else must be told, and what only shows when the jobs of a week lie side by side."""

from datetime import date

import pytest
from rules.honest import FIRM, bays, build, but, change, found, job_row, judge, planned, put, verdicts

from pipeline.facts.findings import Scope, Verdict
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.rules import check_week
from pipeline.rules.notifications import ASK_FIRST, demand_after, reasons_to_ask_first

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
OPERATOR = "network_operators_are_told_or_asked"
BUILDING = "building_control_is_told"


def test_an_ordinary_house_tells_the_operator_within_28_days():
    finding = found(OPERATOR, build())[0]
    assert finding.verdict is NOTE
    assert finding.expected == "told by 08 Oct 2026"
    late = found(OPERATOR, build(), as_of=date(2026, 10, 9))[0]
    assert late.verdict is NOTE
    assert "passed" in late.message


@pytest.mark.parametrize(
    ("part", "cells"),
    [
        ("supply", {"looped": "yes"}),
        ("supply", {"looped": "unknown"}),
        ("supply", {"cutout_status": "unknown"}),
        # 28.1 A + 32 A is above 60 A
        ("supply", {"demand_l1": 28.1}),
        ("supply", {"cutout_rating": 50}),
        ("row", {"defects_danger": "yes", "defects": "Cut-out scorched and warm"}),
        ("row", {"premises": "commercial"}),
        ("models", {"returns_power": "yes"}),
    ],
)
def test_the_operator_is_asked_first_where_a_line_of_the_table_applies(part, cells):
    job = but(build(), part, **cells)
    assert reasons_to_ask_first(job)
    assert judge(OPERATOR, job) == [("Network operator", QUERY)]
    assert judge(OPERATOR, planned(job)) == [("Network operator", QUERY)]
    assert judge(OPERATOR, but(job, "supply", operator_consent="applied for")) == [("Network operator", QUERY)]
    assert judge(OPERATOR, but(job, "supply", operator_consent="given", consent_reference="A1")) == [
        ("Network operator", PASS)
    ]


def test_only_a_danger_at_the_intake_is_the_operator_s_concern():
    assert judge(OPERATOR, but(build(), "inspection", intake="not satisfactory")) == [("Network operator", QUERY)]
    elsewhere = but(build(), "row", defects_danger="yes", defects="Bare wires at the garden lamp")
    assert judge(OPERATOR, elsewhere) == [("Network operator", NOTE)]
    assert judge(OPERATOR, but(build(), "row", existing_adequate="inadequate")) == [("Network operator", NOTE)]
    harmless = but(build(), "row", defects_danger="no", defects="Meter box has no lock")
    assert judge(OPERATOR, harmless) == [("Network operator", NOTE)]


def test_a_limit_at_the_intake_keeps_the_demand_below_what_must_be_asked_for():
    # 45 A + 32 A is above 60 A, unless a scheme that sees the whole house holds it to 60 A
    tried = {"sensor_checked": "yes", "tested_points": 1, "limit_held": "yes", "fallback_held": "yes"}
    scheme = put(LoadManagement, scheme="LM1", group_limit=60, fallback=6, sensor_place="Tails", **tried)
    house = but(build(), "supply", demand_l1=45)
    assert judge(OPERATOR, house) == [("Network operator", QUERY)]
    managed = but(house.model_copy(update={"schemes": (scheme,)}), "points", scheme="LM1")
    assert judge(OPERATOR, managed) == [("Network operator", NOTE)]
    assert demand_after(but(house, "supply", demand_l1=None)) is None


def test_60_a_need_not_be_asked_for():
    assert reasons_to_ask_first(but(build(), "supply", demand_l1=28)) == ()


def test_every_line_of_the_table_gives_its_reason():
    assert len({each.reason for each in ASK_FIRST}) == len(ASK_FIRST)


def test_other_families_have_no_such_duty():
    assert judge(OPERATOR, but(build(), "row", family="iec"), by="iec") == [("Network operator", NOTE)]


def test_a_registered_firm_tells_building_control_within_30_days():
    finding = found(BUILDING, build())[0]
    assert finding.verdict is NOTE
    assert finding.expected == "told by 10 Oct 2026"


def test_a_firm_that_is_not_registered_notifies_beforehand():
    job = build(firm=change(FIRM, self_certifies="no"))
    assert judge(BUILDING, job) == [("Building control", NOTE)]
    assert "before the work starts" in found(BUILDING, job)[0].message


@pytest.mark.parametrize(
    ("part", "cells", "verdict"),
    [
        ("row", {"premises": "commercial"}, NOT_APPLICABLE),
        ("circuits", {"new": "existing"}, NOT_APPLICABLE),
        ("row", {"nation": "Scotland"}, NOTE),
        ("row", {"nation": None}, NOT_ASSESSED),
        ("firm", {"self_certifies": None}, NOT_ASSESSED),
    ],
)
def test_building_control_by_premises_work_and_nation(part, cells, verdict):
    assert judge(BUILDING, but(build(), part, **cells)) == [("Building control", verdict)]


def test_a_month_is_not_28_days():
    assert verdicts(OPERATOR, but(build(), "row", energised=date(2026, 8, 1))) == {NOTE}


# the week -------------------------------------------------------------------------------------------------------------


def week(*jobs):
    """Rule, job and verdict of what the week shows."""
    return [(each.rule, each.job, each.verdict) for each in check_week(list(jobs))]


def copied_down(count, lengths):
    """A job whose first rows share all readings."""
    job = bays(6)
    rows = tuple(
        change(row, r1_r2=0.15, zs=0.25, rcd_time=24) if index < count else row
        for index, row in enumerate(job.readings)
    )
    circuits = tuple(change(row, length=length) for row, length in zip(job.circuits, lengths, strict=True))
    return job.model_copy(update={"readings": rows, "circuits": circuits})


def test_three_rows_of_different_lengths_with_one_set_of_readings_are_asked_about():
    rule = ("readings_are_not_copied_down", "J1", QUERY)
    assert week(copied_down(3, [10, 11, 20, 30, 40, 50])) == [rule]
    assert week(copied_down(2, [10, 20, 30, 40, 50, 60])) == []
    # within 15 per cent of each other three equal readings are no wonder
    assert week(copied_down(3, [17, 18, 20, 30, 40, 50])) == []


def test_rows_that_are_alike_in_everything_are_asked_about_once():
    """Not again because one of their columns is alike as well."""
    assert week(copied_down(6, [10, 20, 30, 40, 50, 60])) == [("readings_are_not_copied_down", "J1", QUERY)]


def test_a_column_with_five_equal_figures_is_asked_about():
    job = bays(6)
    rows = tuple(change(row, zs=0.25) if index < 5 else row for index, row in enumerate(job.readings))
    assert week(job.model_copy(update={"readings": rows})) == [("readings_are_not_copied_down", "J1", QUERY)]
    assert week(job.model_copy(update={"readings": (job.readings[4], *rows[1:])})) == []


def elsewhere(job, name, **cells):
    """The job under another name at another place on another day."""
    usual = {"job": name, "site": f"{name} Road", "live_tested": date(2026, 9, 11), "tester": name}
    return but(job, "row", **(usual | cells))


def test_a_block_of_readings_of_another_job_is_asked_about_and_a_long_one_fails():
    rule = "blocks_are_not_copied_between_jobs"
    assert week(build(), elsewhere(build(), "J2")) == [(rule, "J1", QUERY), (rule, "J2", QUERY)]
    assert week(bays(6), elsewhere(bays(6), "J2")) == [(rule, "J1", FAIL), (rule, "J2", FAIL)]


def test_some_rows_of_another_job_are_a_copied_block_as_well():
    rule, own = "blocks_are_not_copied_between_jobs", {"zs": 0.41, "r1_r2": 0.17, "rcd_time": 31, "rcd_time_180": 19}
    other = elsewhere(bays(6), "J2")
    # one row of its own among six: twenty equal figures are left
    mixed = other.model_copy(update={"readings": (change(other.readings[0], **own), *other.readings[1:])})
    found = [each for each in check_week([bays(6), mixed]) if each.rule == rule]
    assert {each.found for each in found} == {"20 equal figures"}
    assert {each.verdict for each in found} == {FAIL}
    # one copied row among others is asked about
    alone = other.model_copy(
        update={"readings": (other.readings[0], *(change(each, **own) for each in other.readings[1:]))}
    )
    assert [(each.found, each.verdict) for each in check_week([bays(6), alone]) if each.rule == rule] == 2 * [
        ("4 equal figures", QUERY)
    ]


def test_two_equal_figures_of_a_feeder_are_no_copied_block():
    bare = {"rcd_time": None, "rcd_time_180": None}
    one, other = but(build(), "readings", **bare), but(elsewhere(build(), "J2"), "readings", **bare)
    assert [each for each in check_week([one, other]) if each.rule == "blocks_are_not_copied_between_jobs"] == []


def test_one_site_twice_on_one_day_is_asked_about():
    other = but(elsewhere(build(), "J2", site="2 sample  road, ANYTOWN", tester="PEX"), "readings", zs=0.41)
    assert week(build(), other) == []
    same_day = but(other, "row", live_tested=date(2026, 9, 10))
    rule = "jobs_are_entered_once"
    assert week(build(), same_day) == [(rule, "J1", QUERY), (rule, "J2", QUERY)]


def test_one_instrument_with_two_testers_on_one_day_is_told():
    other = but(elsewhere(build(), "J2", live_tested=date(2026, 9, 10)), "readings", zs=0.41)
    rule = "instruments_are_in_one_place"
    assert week(build(), other) == [(rule, "J1", NOTE), (rule, "J2", NOTE)]


def test_three_sites_a_day_are_told_and_two_are_not():
    day = {"live_tested": date(2026, 9, 10), "tester": "PEX"}
    second = but(elsewhere(build(), "J2", **day), "readings", zs=0.41)
    third = but(elsewhere(build(), "J3", **day), "readings", zs=0.42)
    assert week(build(), second) == []
    assert [each[2] for each in week(build(), second, third)] == [NOTE, NOTE, NOTE]


def test_what_the_week_shows_never_enters_a_pack():
    findings = check_week([build(), elsewhere(build(), "J2")])
    assert {each.scope for each in findings} == {Scope.WEEK}
    assert all(each.places and each.remedy for each in findings)


def test_jobs_to_visit_have_nothing_to_copy():
    assert week(planned(build()), planned(elsewhere(build(row=job_row()), "J2"))) == []


def ending_in(digits):
    """Twelve bays whose loop readings and times end in these digits by turns."""
    job = bays(12)
    rows = tuple(
        change(
            row,
            r1_r2=f"0.1{digits[index % len(digits)]}",
            zs=f"0.2{digits[index % len(digits)]}",
            rcd_time=f"2{digits[index % len(digits)]}",
            rcd_time_180=f"2{digits[index % len(digits)]}",
        )
        for index, row in enumerate(job.readings)
    )
    return job.model_copy(update={"readings": rows})


@pytest.mark.parametrize(
    ("digits", "told"), [("05", True), ("0516", True), ("051", True), ("051234", False), ("0123456789", False)]
)
def test_readings_that_mostly_end_in_0_or_5_are_told_for_each_tester(digits, told):
    hints = [each for each in week(ending_in(digits)) if each[0] == "last_digits_fall_evenly"]
    assert hints == ([("last_digits_fall_evenly", "J1", NOTE)] if told else [])


def test_few_readings_say_nothing_of_digits():
    job = ending_in("05")
    few = job.model_copy(update={"readings": job.readings[:7]})
    assert [each for each in week(few) if each[0] == "last_digits_fall_evenly"] == []


def test_a_mail_address_that_two_clients_share_is_asked_about_and_one_client_s_two_jobs_are_not():
    one = but(build(), "row", job="J-1", client="Sam Sample", client_email="sam@example.com", site="1 Sample Road")
    again = but(build(), "row", job="J-2", client="SAM  Sample", client_email="Sam@example.com", site="2 Sample Road")
    other = but(build(), "row", job="J-3", client="Robin Unreal", client_email="sam@example.com", site="3 Sample Road")
    blank = but(build(), "row", job="J-4", client="Jo Nobody", client_email=None, site="4 Sample Road")
    own = "mail_goes_to_its_own_client"
    assert not [each for each in check_week([one, again, blank]) if each.rule == own]
    asked = {each.job: each.found for each in check_week([one, again, other, blank]) if each.rule == own}
    assert asked == {
        "J-1": "sam@example.com, also of J-3",
        "J-2": "Sam@example.com, also of J-3",
        "J-3": "sam@example.com, also of J-1, J-2",
    }
