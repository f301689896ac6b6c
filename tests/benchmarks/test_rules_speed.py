"""How fast the rules are: printed, never asserted, since a clock depends on the machine."""

from time import process_time

import pytest
from proof.generator import draw
from proof.typing_in import typed_job

from pipeline.rules import check_job

CIRCUITS = 5000


@pytest.mark.long
def test_five_thousand_circuits_with_full_readings_are_checked(record_property):
    jobs, circuits, number = [], 0, 0
    while circuits < CIRCUITS:
        drawn = draw(number, "bays" if number % 2 else "domestic")
        job, _ = typed_job(drawn.sheets, drawn.as_of)
        jobs.append((job, drawn))
        circuits += len(job.circuits)
        number += 1
    start = process_time()
    findings = sum(len(check_job(job, drawn.edition, drawn.as_of)) for job, drawn in jobs)
    seconds = process_time() - start
    assert findings > 40 * len(jobs)
    record_property("told", f"{circuits} circuits of {len(jobs)} jobs checked in {seconds:.1f} s: {findings} findings")
