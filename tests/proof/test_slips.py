"""Slips put into honest jobs are found: by a fail or query that touches the spoilt cell, or one of a pair."""

from random import Random

import pytest
from proof.generator import draw
from proof.judging import complaints
from proof.slips import SLIPS

from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.readings import CircuitReadings

KINDS = ("domestic", "domestic", "workplace", "bays")


def tried(slip, jobs):
    """How many of these jobs can hold a slip, and in how many it is found."""
    able = found = 0
    for drawn, before in jobs:
        sheets = drawn.sheets.copied()
        cells = set(slip.spoil(Random(drawn.number), sheets))  # noqa: S311
        if not cells:
            continue
        able += 1
        new = (each for each in complaints(drawn, sheets) if (each.rule, each.places, each.found) not in before)
        found += any(cells & set(each.places) for each in new)
    return able, found


def drawn_jobs(count):
    """Honest jobs of every kind, each with what was said of it anyway."""
    jobs = [draw(number, KINDS[number % len(KINDS)]) for number in range(count)]
    return [(each, {(one.rule, one.places, one.found) for one in complaints(each, each.sheets)}) for each in jobs]


def table(jobs):
    """The rate of each slip and the slips that are found too seldom."""
    lines, seldom = [], []
    for slip in SLIPS:
        able, found = tried(slip, jobs)
        share = found / able if able else 1.0
        lines.append(f"{slip.name:36} {found:4} of {able:4}  {share:5.0%}  (at least {slip.floor:.0%})")
        if share < slip.floor or not able:
            seldom.append(lines[-1])
    return lines, seldom


def test_slips_in_a_few_jobs_are_found(record_property):
    lines, seldom = table(drawn_jobs(16))
    record_property("told", "\n".join(lines))
    assert seldom == []


@pytest.mark.long
def test_slips_in_two_hundred_jobs_are_found(record_property):
    lines, seldom = table(drawn_jobs(200))
    record_property("told", "\n".join(lines))
    assert seldom == []


@pytest.mark.parametrize(("kind", "verdict"), [("domestic", "query"), ("bays", "fail")])
def test_a_block_of_readings_copied_from_another_job_is_found(kind, verdict):
    one, other = draw(3, kind), draw(6, kind)
    sheets = other.sheets.copied()
    job = sheets[JobRow][0]["job"]
    sheets[CircuitReadings] = [{**each, "job": job} for each in one.sheets.copied()[CircuitReadings]]
    found = [each for each in complaints(other, sheets, one.sheets) if each.rule.startswith("blocks_are_not_copied")]
    assert {str(each.verdict) for each in found} == {verdict}


def test_a_dropped_sign_of_an_insulation_reading_is_harmless():
    """`>999` typed as 999 stays a value that such a circuit has: nothing may be said of it."""
    drawn = draw(0)
    sheets = drawn.sheets.copied()
    sheets[CircuitReadings][0]["insulation_le"] = 999
    assert complaints(drawn, sheets) == []


def test_a_dropped_decimal_point_is_found():
    drawn = draw(0)
    sheets = drawn.sheets.copied()
    sheets[CircuitReadings][0]["zs"] *= 100
    assert {each.rule for each in complaints(drawn, sheets)} & {
        "measured_zs_is_within_its_limit",
        "zs_agrees_with_its_parts",
        "number_is_usual",
    }
