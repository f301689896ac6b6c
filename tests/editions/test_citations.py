"""What a job's record cites: the nation's own clauses where the edition knows them, and no other nation's."""

import pytest
from rules.honest import TODAY, build, but, three_phase_tt, verdicts

from pipeline.editions import Device, edition
from pipeline.facts.quantities import quantity as q
from pipeline.rules import RULES, check_job
from pipeline.standards.table import FOLDER

NATIONAL = ("BS ", "SI 20", "Building Regulations", "Electricity Safety", "Network operators'")


def cited(job, by):
    """Every text of the findings that names a source."""
    for each in check_job(job, edition(by), TODAY):
        yield each.reference
        if each.calculation:
            yield each.calculation.limit
            yield from (part.shown for part in each.calculation.inputs)


def test_rules_themselves_name_no_national_document():
    assert [each.name for each in RULES.values() if each.reference.startswith(NATIONAL)] == []


def test_every_clause_on_tests_has_its_national_one_beside_it():
    clauses = edition("uk_2018_a4").book.content["clauses"]
    parts = {part for rule in RULES.values() for part in rule.reference.split("; ")}
    tests = {each for each in parts if each.startswith("IEC 60364-6")}
    assert tests <= clauses.keys()
    for each in tests:
        assert clauses[each].startswith("BS 7671, 64") or clauses[each].startswith("BS 7671, 652")
        assert each in clauses[each]


def test_an_edition_maps_no_clause_that_no_rule_cites():
    texts = "\n".join(path.read_text("utf-8") for path in FOLDER.parent.glob("rules/*.py"))
    named = edition("uk_2018_a2").book.content["clauses"]
    assert [each for each in named if each not in texts] == []


@pytest.mark.parametrize("job", [build(), three_phase_tt(), but(build(), "models", returns_power="yes")])
def test_an_international_record_cites_no_british_document(job):
    job = but(job, "row", family="iec", nation="elsewhere")
    devices = ("BS EN 6", "BS 88")
    wrong = [
        each for each in cited(job, "iec") if any(name in each for name in NATIONAL) and not each.startswith(devices)
    ]
    assert wrong == []


def test_an_international_job_is_told_of_no_british_duty():
    job = but(build(), "row", family="iec", nation="elsewhere")
    duties = ("network_operators_are_told_or_asked", "building_control_is_told")
    told = [each for each in check_job(job, edition("iec"), TODAY) if each.rule in duties]
    assert [(each.reference, each.remedy) for each in told] == 2 * [
        ("the law of the country", "Look up what the country asks for.")
    ]
    assert not any("days" in each.message for each in told)
    assert verdicts("private_points_have_their_schedule", job, by="iec") == {"not applicable"}


def test_loop_limits_with_a_voltage_factor_are_cited_where_the_factor_stands():
    breaker = Device("BS EN 61009", "B", q(40, "A"))
    for by, clause in (
        ("uk_2018_a2", "BS 7671:2018+A2:2022, 411.4.4 and Table 41.3"),
        # carried over: the page that the figure was printed on
        ("uk_2018_a4", "BS 7671:2018+A2:2022, 411.4.4 and Table 41.3"),
        ("iec", "IEC 60364-4-41:2005+A1:2017, 411.4.4"),
    ):
        limit = edition(by).protection.loop_limit(breaker, q(0.4, "s"), q(230, "V"))
        assert str(limit.reference) == clause


def test_break_times_are_cited_by_the_standard_of_the_device():
    def limits(standard):
        job = but(build(), "circuits", rcd_standard=standard)
        found = [each for each in check_job(job, edition("uk_2018_a2"), TODAY) if each.rule == "rcds_trip_in_time"]
        return {each.calculation.limit for each in found}

    assert limits("BS EN 61009") == {"300 ms (IEC 61009-1:2010+A1:2012, Table 2)"}
    assert limits("BS EN 61008") == {"300 ms (IEC 61008-1:2010+A1:2012, Table 1)"}


def test_the_k_of_live_conductors_stands_among_the_rules_on_overcurrent():
    def k_of(by):
        found = [each for each in check_job(build(), edition(by), TODAY) if each.rule == "far_end_faults_are_cleared"]
        return [part.shown for each in found for part in each.calculation.inputs if part.symbol == "k"]

    assert k_of("uk_2018_a2") == ["115 A·√s/mm² (BS 7671:2018+A2:2022, Table 43.1)"]
    assert k_of("iec") == ["115 A·√s/mm² (IEC 60364-4-43:2008, Table 43A)"]
