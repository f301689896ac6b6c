"""A job holds every row that it refers to, and every row of the workbook is accounted for."""

from pipeline.facts.record import input_key
from pipeline.stages.validate import type_week
from tests.workbook.spoilt import JOB, TODAY, TWO_JOBS, cells_of, sound_rows, typed


def test_a_job_is_closed_over_the_rows_that_it_names():
    job = typed(sound_rows()).jobs[0]
    assert {each.person for each in job.people} == {
        job.row.designer,
        job.row.installer,
        job.row.tester,
        job.row.supervisor,
    }
    assert {each.instrument for each in job.instruments} >= {job.readings[0].instrument, job.points[0].torque_tool}
    assert {each.instrument for each in job.accuracies} <= {each.instrument for each in job.instruments}
    assert {each.model for each in job.models} == {job.points[0].model}
    assert {each.model for each in (*job.fixings, *job.indicators)} == {job.points[0].model}
    assert job.firm.name
    assert job.supply.job == job.inspection.job == JOB


def test_a_job_holds_no_row_of_another():
    first, second = typed(sound_rows(*TWO_JOBS)).jobs
    for job in (first, second):
        rows = (job.supply, job.inspection, *job.boards, *job.circuits, *job.readings, *job.points)
        assert {each.job for each in rows} == {job.reference}


def test_every_filled_row_is_used_or_counted_as_not_used():
    rows = sound_rows(*TWO_JOBS)
    rows["Readings"].append({**rows["Readings"][0], "job": "LN-999"})
    rows["Jobs"].append(dict(rows["Jobs"][0]))
    balance = {each.sheet: each for each in typed(rows).balance}
    assert all(each.filled == each.used + each.not_used for each in balance.values())
    assert all(balance[title].filled == len(given) for title, given in rows.items())
    assert (balance["Readings"].of_jobs, balance["Readings"].not_used) == (dict.fromkeys(TWO_JOBS, 1), 1)
    assert (balance["Jobs"].used, balance["Jobs"].not_used) == (2, 1)
    assert balance["Defaults"].used == len(rows["Defaults"])


def test_another_order_of_the_rows_is_the_same_job():
    rows = sound_rows(*TWO_JOBS)
    turned = {title: list(reversed(given)) for title, given in rows.items()}
    keys = {job.reference: input_key(job, "x") for job in typed(rows).jobs}
    assert {job.reference: input_key(job, "x") for job in typed(turned).jobs} == keys


def test_another_reading_is_another_job():
    rows = sound_rows()
    before = input_key(typed(rows).jobs[0], "x")
    rows["Readings"][0]["zs"] = 0.33
    assert input_key(typed(rows).jobs[0], "x") != before


def test_the_week_keeps_where_it_came_from():
    week = type_week(cells_of(sound_rows()), TODAY, None)
    assert (week.source, week.sha256, week.as_of) == ("week.xlsx", "0" * 64, TODAY)
