"""The installed wheel carries all it needs: it builds a job far from the checkout."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from pipeline.demo.__main__ import write_demo
from pipeline.demo.spoil import keep_jobs
from pipeline.demo.week import demo_rows as make_rows
from pipeline.workbook.write import write_workbook

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture
def installed(tmp_path):
    """The wheel, built and installed into a folder of its own."""
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "-q"]
    source = tmp_path / "source"
    shutil.copytree(ROOT, source, ignore=shutil.ignore_patterns(".*", "outputs", "inputs", "tests", "__pycache__"))
    subprocess.run([*pip, "wheel", "--no-deps", "--no-build-isolation", "-w", tmp_path, source], check=True)
    [wheel] = tmp_path.glob("*.whl")
    subprocess.run([*pip, "install", "--no-deps", "--target", tmp_path / "site", wheel], check=True)
    return tmp_path / "site"


def test_the_wheel_builds_a_job_elsewhere_with_its_own_templates(installed, tmp_path):
    desk = tmp_path / "desk"
    write_demo(desk)
    write_workbook(desk / "week.xlsx", keep_jobs(make_rows(), "LN-101"))
    program = "import pipeline, sys, pipeline.cli as c; print(pipeline.__file__); sys.exit(c.main(sys.argv[1:]))"
    done = subprocess.run(
        [sys.executable, "-c", program, "build", "week.xlsx"],
        cwd=desk,
        env={**os.environ, "PYTHONPATH": str(installed)},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert str(installed) in done.stdout.splitlines()[0]
    assert (desk / "outputs" / "packs" / "0001-1" / "0001-1-handover-pack.pdf").stat().st_size > 100_000
    assert (installed / "pipeline" / "templates" / "en" / "cover.docx").exists()
