"""A job rebuilt from its record is the job that was recorded, cell by cell."""

import json

import pytest

from pipeline.demo.__main__ import write_demo
from pipeline.demo.week import TODAY
from pipeline.facts.recall import completed, job_of
from pipeline.facts.record import canonical, record_of
from pipeline.stages.read import read
from pipeline.stages.validate import type_week


@pytest.fixture(scope="module")
def records(tmp_path_factory):
    """Each job of the demo week with its record as it is written and read back."""
    workbook = write_demo(tmp_path_factory.mktemp("recall"))
    week = type_week(read(workbook), TODAY, workbook.parent / "photos")
    return [(job, json.loads(canonical(record_of(job, [], {}, TODAY)))) for job in week.jobs]


def test_every_job_of_the_demo_week_comes_back_as_it_was(records):
    assert len(records) > 15
    for job, record in records:
        assert job_of(record) == job, job.reference


def test_the_record_of_a_rebuilt_job_has_the_same_bytes(records):
    for _, record in records:
        assert canonical(record_of(job_of(record), [], {}, TODAY)) == canonical(record)


def test_a_number_is_taken_from_its_unit_and_not_from_what_is_shown(records):
    record = json.loads(json.dumps(records[0][1]))
    cell = next(each["zs"] for each in record["job"]["readings"] if "Ω" in each["zs"])
    cell["shown"] = "0.01"
    assert canonical(record_of(job_of(record), [], {}, TODAY)) == canonical(records[0][1])


def test_a_record_that_lacks_a_later_field_is_filled_with_a_blank(records):
    job, record = records[0]
    older = json.loads(json.dumps(record))
    for row in older["job"]["circuits"]:
        del row["length_by"]
    del older["job"]["schemes"]
    assert [each.length_by for each in job_of(older).circuits] == [None] * len(job.circuits)
    assert completed(older)["job"]["circuits"][0]["length_by"] == {"shown": ""}
    assert completed(older)["job"]["schemes"] == []


@pytest.mark.parametrize(
    "spoil",
    [
        lambda record: record.update(record=99),
        lambda record: record.update(job={"row": {"nonsense": {"shown": "x"}}}),
        lambda record: record["job"].update(strangers=[]),
        lambda record: record["job"]["row"]["designed"].update(shown="31 Foo 2026"),
        lambda record: record["job"]["row"]["work"].update(shown="no kind of work"),
        lambda record: record["job"].update(circuits=7),
        lambda record: record.pop("job"),
    ],
)
def test_what_is_no_record_of_ours_is_refused_and_never_breaks(records, spoil):
    record = json.loads(json.dumps(records[0][1]))
    spoil(record)
    with pytest.raises(ValueError, match=r"."):
        job_of(record)
