"""A workbook of a thousand jobs and five thousand circuits is read and typed within its time and memory."""

import json
import subprocess
import sys
from copy import deepcopy

import pytest

from pipeline.demo.spoil import keep_jobs
from pipeline.demo.week import demo_rows
from pipeline.workbook.write import write_workbook

JOBS, CIRCUITS = 1_000, 5
MOST_SECONDS, MOST_MEGABYTES = 15.0, 1_000.0
PER_CIRCUIT = ("Circuits", "Readings")
MEASURED = """
import json, resource, sys, time
from datetime import date
from pathlib import Path
from pipeline.stages.read import read
from pipeline.stages.validate import type_week
start = time.perf_counter()
week = type_week(read(Path(sys.argv[1])), date(2026, 11, 24), None)
elapsed = time.perf_counter() - start
used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
seconds = sum(each.ru_utime + each.ru_stime for each in used)
peak = sum(each.ru_maxrss for each in used) / 1024
circuits = sum(len(job.circuits) for job in week.jobs)
print(json.dumps([len(week.jobs), circuits, len(week.findings), seconds, elapsed, peak]))
"""


def many_jobs():
    """A sound job again and again under other names, each with further circuits."""
    one = {**keep_jobs(demo_rows(), "LN-101"), "Photos": []}
    rows = {sheet: [row for row in given if "job" not in row] for sheet, given in one.items()}
    for number in range(JOBS):
        for sheet, given in one.items():
            for row in (each for each in given if "job" in each):
                for circuit in range(CIRCUITS if sheet in PER_CIRCUIT else 1):
                    new = {**deepcopy(row), "job": f"J-{number:04}"}
                    if sheet in PER_CIRCUIT:
                        new["circuit"] = str(9 + circuit)
                    rows[sheet].append(new)
    return rows


@pytest.mark.long
@pytest.mark.xdist_group("alone")
def test_a_thousand_jobs_are_read_within_their_time_and_memory(tmp_path, capsys):
    path = tmp_path / "week.xlsx"
    write_workbook(path, many_jobs())
    done = subprocess.run([sys.executable, "-c", MEASURED, str(path)], capture_output=True, text=True, check=True)
    jobs, circuits, findings, seconds, elapsed, peak = json.loads(done.stdout)
    with capsys.disabled():
        size = path.stat().st_size / 1e6
        print(f"\n{jobs} jobs, {circuits} circuits, file of {size:.1f} MB, {findings} findings:")  # noqa: T201
        print(f"{seconds:.1f} s on one core ({elapsed:.1f} s went by), at most {peak:.0f} MB")  # noqa: T201
    assert (jobs, circuits) == (JOBS, JOBS * CIRCUITS)
    # the seconds of computing on one core: what goes by on a busy machine says nothing
    assert seconds < MOST_SECONDS
    assert peak < MOST_MEGABYTES
