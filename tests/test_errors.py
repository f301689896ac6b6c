"""Exit codes are data, told alike in the help, the README and the code."""

import re
from pathlib import Path

from pipeline import cli, errors
from pipeline.errors import ExitCode, PipelineError

ROOT = Path(__file__).parent.parent


def test_exit_codes_are_never_renumbered():
    assert {each.name: int(each) for each in ExitCode} == {
        "OK": 0, "HELD": 1, "UNREADABLE": 2, "MACHINE": 3, "OUR_FAULT": 70, "INTERRUPTED": 130,
    }  # fmt: skip


def test_help_and_readme_tell_every_exit_code():
    readme = set(re.findall(r"^\| (\d+) \|", (ROOT / "README.md").read_text("utf-8"), re.MULTILINE))
    told = set(re.findall(r"^  (\d+) ", cli.EXIT_CODES, re.MULTILINE))
    assert readme == told == {str(int(each)) for each in ExitCode}


def test_every_kind_of_trouble_has_its_exit_code():
    kinds = [each for each in vars(errors).values() if isinstance(each, type) and issubclass(each, PipelineError)]
    assert len(kinds) >= 6
    for kind in kinds:
        trouble = kind("what is wrong", "what to do")
        assert isinstance(trouble.exit_code, ExitCode)
        assert (trouble.message, trouble.remedy) == ("what is wrong", "what to do")
