"""Spoilt weeks through the whole program: the spoilt job is held or noted, the one beside it becomes a pack."""

import shutil

import pytest

from pipeline.demo.week import TODAY
from pipeline.errors import WorkbookRefusedError
from pipeline.run import Options, build
from pipeline.stages.decide import Status
from tests.catalogue.entry import ACCEPTED, NOTED
from tests.catalogue.files import ENTRIES as FILES
from tests.catalogue.test_entries import BY_NAME
from tests.catalogue.week import JOBS, base_content, folder, opened, row_numbers

QUICK = "letters-for-digits-1"
THROUGH = (
    "decimal-comma",
    "placeholder-7",
    "open-circuit-1",
    "year-of-two-digits-1",
    "honest-names-1",
    "letters-the-typeface-lacks-1",
    "path-in-a-reference-1",
    "merged-jobs",
    "blank-rows",
    "block-copied",
)


@pytest.fixture
def built(tmp_path):
    """Builds some jobs of a workbook in one outputs folder; what became of each."""
    shutil.copytree(folder() / "photos", tmp_path / "photos")

    def run(content, *jobs):
        path = tmp_path / "week.xlsx"
        path.write_bytes(content)
        report = build(Options(path, tmp_path / "out", only=jobs, as_of=TODAY), lambda *_: None)
        return {each.reference: each.status for each in report.decisions}

    run.out = tmp_path / "out"
    return run


def spoilt_content(entry):
    """The week of an entry and the job that it spoils."""
    book, spot = opened(), entry.spots(1)[0]
    entry.change(book, spot)
    return book.content(), spot.job


def packs(built):
    """The packs that lie in the outputs."""
    return sorted(built.out.glob("packs/**/*.pdf"))


def test_a_spoilt_job_is_held_and_nothing_of_it_is_made(built):
    content, job = spoilt_content(BY_NAME[QUICK])
    assert built(content, job) == {job: Status.HELD}
    assert not packs(built)


@pytest.mark.parametrize("name", ["rows-upside-down"])
def test_a_refused_file_makes_nothing(built, name):
    content = next(each for each in FILES if each.name == name).make()
    with pytest.raises(WorkbookRefusedError):
        built(content)
    assert not built.out.exists()


@pytest.mark.long
@pytest.mark.parametrize("name", THROUGH)
def test_the_job_beside_a_spoilt_one_becomes_a_pack(built, name):
    entry = BY_NAME[name]
    content, job = spoilt_content(entry)
    beside = next(each for each in JOBS if each not in (entry.holds or (job,)))
    goes_on = entry.verdict in {ACCEPTED, NOTED}
    asked = (beside,) if name.startswith("path-in") else (beside, job)
    status = built(content, *asked)
    assert status[beside] is Status.AWAITING
    assert (status.get(job, Status.HELD) is Status.AWAITING) == goes_on


@pytest.mark.long
def test_the_same_week_again_in_other_bytes_makes_nothing_new_and_a_changed_one_is_held(built):
    job = JOBS[0]
    assert built(base_content(), job) == {job: Status.AWAITING}
    assert built(base_content(), job) == {job: Status.UNCHANGED}
    assert built(opened().content(), job) == {job: Status.UNCHANGED}
    book = opened()
    book.put("Readings", f"AA{row_numbers('Readings', job)[0]}", "Corrected afterwards")
    assert built(book.content(), job) == {job: Status.HELD}
