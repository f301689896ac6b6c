"""Thousands of damaged workbooks: each is refused in one sentence or read with findings, and none does harm."""

import io
import time
import zipfile
from collections import Counter
from functools import cache
from pathlib import Path
from random import Random

import pytest

from pipeline.demo.spoil import keep_jobs
from pipeline.demo.week import TODAY, demo_rows
from pipeline.errors import WorkbookRefusedError
from pipeline.stages.check import check
from pipeline.stages.decide import decide_all
from pipeline.stages.read import read
from pipeline.stages.validate import type_week
from pipeline.workbook.cells import from_plain
from pipeline.workbook.child import open_workbook
from pipeline.workbook.write import write_workbook
from tests.fuzz.mutations import mutate_bytes, mutate_parts

BATCH, BYTES, PARTS = 50, 18, 26
LONGEST_SECONDS = 20.0
THROUGH_THE_PROCESS = 25
"""Every so many files also go the whole way through the reading process."""


@cache
def sound():
    """A small sound workbook, once as bytes and once as parts."""
    path = Path(__file__).with_name("sound.xlsx")
    try:
        write_workbook(path, {**keep_jobs(demo_rows(), "LN-101", "LN-106"), "Photos": []})
        content = path.read_bytes()
    finally:
        path.unlink(missing_ok=True)
    with zipfile.ZipFile(io.BytesIO(content)) as book:
        return content, {name: book.read(name) for name in book.namelist()}


def chance(seed, number):
    """The same accidents on every run."""
    return Random(f"{seed}-{number}")  # noqa: S311 - accidents, not secrets


def judged(content):
    """What becomes of a file: refused, or read and judged with so many findings at typed cells."""
    try:
        cells = from_plain(open_workbook(content), "week.xlsx", "0" * 64)
        week = type_week(cells, TODAY, None)
    except WorkbookRefusedError as refusal:
        told = refusal.message and refusal.remedy
        return "refused" if told and "Traceback" not in refusal.message else "refused without a word"
    decide_all(check(week), None, {})
    return "read with findings" if week.findings else "read"


def run(make, seed):
    """A batch of files; what became of them."""
    counts = Counter()
    for number in range(BATCH):
        content, start = make(chance(seed, number)), time.monotonic()
        counts[judged(content)] += 1
        assert time.monotonic() - start < LONGEST_SECONDS
    return counts


@pytest.mark.long
@pytest.mark.parametrize("batch", range(BYTES))
def test_damaged_bytes_are_refused_or_read(batch, record_property):
    content, _ = sound()
    counts = run(lambda random: mutate_bytes(content, random), f"bytes {batch}")
    record_property("counts", dict(counts))
    assert counts["refused without a word"] == 0


@pytest.mark.long
@pytest.mark.parametrize("batch", range(PARTS))
def test_damaged_parts_are_refused_or_read(batch, record_property):
    _, parts = sound()
    counts = run(lambda random: mutate_parts(parts, random), f"parts {batch}")
    record_property("counts", dict(counts))
    # a mutation within the XML has to reach typed cells, else this tests the zip alone
    assert counts["refused without a word"] == 0
    assert counts["read with findings"] > BATCH / 5


@pytest.mark.long
@pytest.mark.parametrize("number", range(0, BATCH, THROUGH_THE_PROCESS // 5))
def test_the_reading_process_says_the_same(number, tmp_path):
    _, parts = sound()
    content = mutate_parts(parts, chance("process", number))
    path = tmp_path / "week.xlsx"
    path.write_bytes(content)
    try:
        type_week(read(path), TODAY, None)
        outcome = "read"
    except WorkbookRefusedError:
        outcome = "refused"
    assert judged(content).startswith(outcome)
