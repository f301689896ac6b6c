"""A small real archive, built once: two runs, three packs, one of them a revision; each test spoils a copy of it."""

import shutil
import stat
from concurrent.futures import Future
from pathlib import Path

import pytest

from pipeline.audit import verify as verifying
from pipeline.audit.examine import Task, examine
from pipeline.audit.verify import Options, verify
from pipeline.demo.__main__ import write_demo
from pipeline.demo.spoil import keep_jobs, set_cell
from pipeline.demo.week import TODAY
from pipeline.demo.week import demo_rows as make_rows
from pipeline.progress import silent
from pipeline.run import Options as Order
from pipeline.run import build
from pipeline.workbook.write import write_workbook

FIRST, SECOND = "LN-101", "LN-102"


@pytest.fixture(scope="session")
def built(tmp_path_factory):
    """The outputs after the first run, and after the second, which revised the first job."""
    root = tmp_path_factory.mktemp("audited")
    write_demo(root / "inputs")
    book, rows = root / "inputs" / "week.xlsx", keep_jobs(make_rows(), FIRST, SECOND)
    write_workbook(book, rows)
    first = build(Order(book, root / "outputs", as_of=TODAY), silent)
    assert not [each.trouble for each in first.decisions if each.trouble]
    shutil.copytree(root / "outputs", root / "earlier")
    write_workbook(book, set_cell(rows, "Jobs", FIRST, "occupier", "Robin Sample"))
    second = build(Order(book, root / "outputs", as_of=TODAY, revisions={FIRST: "occupier added"}), silent)
    assert sorted(each.number for each in second.decisions) == ["0001-2", "0002-1"]
    return root / "earlier", root / "outputs"


def writable(source: Path, target: Path) -> Path:
    """A copy that may be spoilt."""
    shutil.copytree(source, target)
    for path in target.rglob("*"):
        path.chmod(path.stat().st_mode | stat.S_IWUSR)
    return target


@pytest.fixture
def outputs(built, tmp_path):
    """The outputs after both runs, to be spoilt."""
    return writable(built[1], tmp_path / "outputs")


@pytest.fixture
def earlier(built, tmp_path):
    """The outputs as they were after the first run."""
    return writable(built[0], tmp_path / "earlier")


@pytest.fixture
def quick():
    """Verifies paths by bytes and register alone."""
    return lambda *paths, **asked: verify(Options(paths, full=False, **asked))


class Here:
    """A pool that does the work at once, in this process: starting others is what takes long."""

    def __enter__(self):
        return self

    def __exit__(self, *_):
        return None

    def submit(self, work, task):
        done = Future()
        done.set_result(work(task))
        return done


@pytest.fixture
def here(monkeypatch):
    """Packs are examined in this process."""
    monkeypatch.setattr(verifying, "_readers", lambda _: Here())


@pytest.fixture
def full(here):
    """Verifies paths to the bottom."""
    return lambda *paths, **asked: verify(Options(paths, **asked))


@pytest.fixture
def alone():
    """Examines one pack by itself, in this process."""
    return lambda path, **known: examine(Task(path, path.name, **known))


@pytest.fixture
def pack(built):
    """The path of a pack in the archive as it was made."""
    return lambda name: built[1] / "archive" / name / "data" / f"{name}-handover-pack.pdf"
