"""Freeze what this version makes: `python -m tests.audit.freeze` builds one small job into `tests/frozen/VERSION`.

Each release of the program is frozen once, as its last act; every later one must still verify it. Until a version is
released it is frozen anew whenever what it makes has changed.
"""

import shutil
import sys
import tempfile
from pathlib import Path

from pipeline import __version__
from pipeline.demo.__main__ import write_demo
from pipeline.demo.spoil import keep_jobs
from pipeline.demo.week import TODAY, demo_rows
from pipeline.progress import silent
from pipeline.run import Options, build
from pipeline.workbook.write import write_workbook

FROZEN = Path(__file__).parent.parent / "frozen"
JOB = "LN-111"
KEPT = ("archive", "register.sqlite")


def freeze(target: Path) -> None:
    """Build the job and keep archive and register."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        write_demo(home)
        write_workbook(home / "week.xlsx", keep_jobs(demo_rows(), JOB))
        report = build(Options(home / "week.xlsx", home / "outputs", as_of=TODAY), silent)
        if troubles := [each.trouble for each in report.decisions if each.trouble or not each.number]:
            sys.exit(f"Nothing is frozen: {troubles}")
        shutil.rmtree(target, ignore_errors=True)
        target.mkdir(parents=True)
        for name in KEPT:
            source = home / "outputs" / name
            (shutil.copytree if source.is_dir() else shutil.copy)(source, target / name)


if __name__ == "__main__":
    freeze(FROZEN / __version__)
