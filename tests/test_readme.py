"""Every command that README and DEVELOPERS show is one that the program knows; the README's are also run."""

import os
import re
import shlex
import shutil
import subprocess
from datetime import UTC, datetime
from pathlib import Path

import pytest

from pipeline import cli
from pipeline.demo.__main__ import write_demo
from pipeline.demo.spoil import keep_jobs
from pipeline.demo.week import demo_rows
from pipeline.errors import ExitCode
from pipeline.facts.findings import MEANING
from pipeline.workbook.write import write_workbook

ROOT = Path(__file__).parent.parent
OK, HELD, UNREADABLE = ExitCode.OK, ExitCode.HELD, ExitCode.UNREADABLE
TODAY = datetime.now(UTC).astimezone().date().isoformat()
# the README's commands in the order of a first week: what stands for its placeholders here, and the exit code
STORY: dict[str, tuple[dict[str, str], ExitCode]] = {
    "handover blank week-48.xlsx": ({"week-48": "blank"}, OK),
    "handover check week-48.xlsx": ({}, OK),
    "handover check outputs/corrections/week-48-corrections.xlsx": ({}, OK),
    "handover sitesheet week-48.xlsx": ({}, OK),
    "handover build week-48.xlsx --draft": ({}, OK),
    "handover build week-48.xlsx": ({}, OK),
    "handover build": ({}, OK),
    'handover build week-48.xlsx --revise JOB --reason "why"': ({"JOB": "LN-101"}, OK),
    "handover keys": ({}, OK),
    "handover sign 0042-1 0043-1 --key pex.p12": ({"0042-1 0043-1": "0001-1", "pex": "test-keys/test-key"}, OK),
    "handover release 0042-1 --by PEX --on 2026-11-24 --scan signed.pdf": (
        {"0042": "0002", "PEX": "CJN", "2026-11-24": TODAY},
        OK,
    ),
    "handover build week-48.xlsx --sign pex.p12": ({"pex": "test-keys/test-key"}, OK),
    "handover register --state issued --due --export register.xlsx": ({}, OK),
    "handover mail": ({}, OK),
    "handover send": ({}, OK),
    "handover send --go": ({}, UNREADABLE),  # no mail server is named here: it is said what to set
    'handover send --decide 0042-1 --to client --arrived yes --reason "the client rang"': (
        {"0042": "0002"},
        UNREADABLE,  # nothing was begun, so there is nothing to decide
    ),
    "handover watch inputs": ({"inputs": "inputs --once --every 0.1"}, OK),
    'handover withdraw 0042-1 --reason "why"': ({"0042": "0002"}, OK),
    'handover void 0042 --reason "why"': ({"0042": "0002"}, UNREADABLE),  # only a number without a pack
    "handover verify PATH…": ({"PATH…": "outputs --quick"}, OK),
}
# run by tests of their own: a whole week signed at once, and a firm's own templates
ELSEWHERE = {
    "handover build inputs/demo-week.xlsx --out trial --sign test-keys/test-key.p12",
    "handover templates DIR",
    "handover build inputs/demo-week.xlsx",
}
# named in a sentence, without what they need
MENTIONED = {"handover sign"}


def commands(name: str) -> set[str]:
    """The commands of a page: in code within a line, and the first part of each line of a block."""
    text = (ROOT / name).read_text("utf-8")
    blocks = re.findall(r"^```(?:sh)?\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)
    lines = [line for block in blocks for line in block.splitlines()]
    found = {line for line in re.findall(r"`(handover [^`]+)`", text) if "WORKBOOK" not in line}
    for line in lines:
        if inside := re.match(r"(?:.* -- |\.venv/bin/)?(handover .*?)(?: {3,}|$)", line):
            found.add(inside[1])
    return found - MENTIONED


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_every_command_shown_is_one_that_the_program_understands(name: str):
    shown = commands(name)
    assert shown
    for line in shown:
        cli.parser().parse_args(shlex.split(line.replace("…", ""))[1:])


def test_the_words_for_what_was_found_mean_the_same_on_the_page_and_in_the_program():
    page = (ROOT / "README.md").read_text("utf-8")
    assert all(f"| {verdict} | {meaning} |" in page for verdict, meaning in MEANING.items())


def test_the_lines_that_make_a_service_of_the_watcher_are_understood():
    lines = re.findall(r"handover(?:\.exe)? (watch \S+ --out [^\s\"]+)", (ROOT / "DEVELOPERS.md").read_text("utf-8"))
    assert len(lines) == 2
    for line in lines:
        assert cli.parser().parse_args(line.split()).command == "watch"


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="a system without systemd")
def test_the_service_of_the_watcher_is_one_that_systemd_takes(tmp_path):
    page = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    service = re.search(r"```\n(\[Unit\].*?)```", page, re.DOTALL)[1]
    there = service.replace("/srv/handover/.venv/bin/handover", shutil.which("true"))  # the program has to exist
    assert there != service
    (tmp_path / "handover-watch.service").write_text(there)
    proved = subprocess.run(
        ["systemd-analyze", "verify", str(tmp_path / "handover-watch.service")],
        check=False,
        capture_output=True,
        text=True,
    )
    assert (proved.returncode, proved.stdout + proved.stderr) == (0, "")


def test_the_story_holds_every_command_of_the_readme():
    assert commands("README.md") == STORY.keys() | ELSEWHERE


@pytest.mark.long
def test_the_readmes_commands_do_what_they_say_one_after_the_other(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    for name in [name for name in os.environ if name.startswith("HANDOVER_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("HANDOVER_KEY_PASSWORD", "four words nobody knows")
    write_demo(tmp_path / "demo")
    shutil.move(tmp_path / "demo" / "photos", tmp_path / "photos")
    write_workbook(tmp_path / "week-48.xlsx", keep_jobs(demo_rows(), "LN-101", "LN-102", "LN-117"))
    (tmp_path / "inputs").mkdir()
    for line, (instead, code) in STORY.items():
        typed = line
        for placeholder, text in instead.items():
            typed = typed.replace(placeholder, text)
        if "--scan" in line:
            shutil.copy(next((tmp_path / "outputs" / "packs" / "0002-1").glob("*-pack.pdf")), tmp_path / "signed.pdf")
        assert cli.main(shlex.split(typed)[1:]) == code, (typed, capsys.readouterr())
    assert (tmp_path / "outputs" / "mail" / "0001-1").is_dir()
