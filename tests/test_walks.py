"""The walk-throughs for whoever carries the code on, followed block by block on a copy, so that they stay true."""

import os
import re
import shlex
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
BLOCK = re.compile(r"^```([^\n]*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
PROGRAMS = {"handover": [sys.executable, "-m", "pipeline"], "python": [sys.executable]}


@dataclass(frozen=True)
class Block:
    """One block of a walk-through: what is to be done with it, and its lines."""

    order: str
    text: str


def walks() -> dict[str, list[Block]]:
    """Every walk-through with its blocks."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    parts = re.findall(r"^### (To add [^\n]*)\n(.*?)(?=^##)", text, re.MULTILINE | re.DOTALL)
    return {title: [Block(*each) for each in BLOCK.findall(body)] for title, body in parts}


def follow(block: Block, copy: Path) -> None:
    """Do what a block says."""
    kind, _, order = block.order.partition(" ")
    match order.rpartition(" ")[::2]:
        case ("new file", path):
            assert not (copy / path).exists(), path
            (copy / path).parent.mkdir(parents=True, exist_ok=True)
            (copy / path).write_text(block.text, "utf-8")
        case ("at the end of", path):
            (copy / path).write_text((copy / path).read_text("utf-8").rstrip("\n") + "\n" + block.text, "utf-8")
        case ("in", path):
            change(copy / path, block.text)
        case _ if kind == "sh":
            for line in block.text.splitlines():
                words = shlex.split(line)
                run([*PROGRAMS[words[0]], *words[1:]], copy)
        case _:
            assert block.order == "python", block.order
            run([sys.executable, "-c", block.text], copy)


def change(path: Path, text: str) -> None:
    """Replace the lines of a change: those that stay or go, one below the other, by those that stay or come."""
    lines = text.splitlines()
    before = "".join(f"{each[1:]}\n" for each in lines if not each.startswith("+"))
    after = "".join(f"{each[1:]}\n" for each in lines if not each.startswith("-"))
    content = path.read_text("utf-8")
    assert content.count(before) == 1, (path.name, before)
    path.write_text(content.replace(before, after), "utf-8")


def run(command: list[str], copy: Path) -> None:
    """Run a program in the copy; whatever it says goes with a failure."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("COV_", "PYTEST_"))}
    done = subprocess.run(
        command, cwd=copy, capture_output=True, text=True, env=clean | {"PYTHONPATH": str(copy)}, check=False
    )
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"


def test_field_check_document_and_country_each_have_a_walk_through():
    assert list(walks()) == ["To add a field", "To add a check", "To add a document", "To add a country"]


@pytest.mark.parametrize("title", walks())
def test_a_walk_through_leads_where_it_says(title: str, tmp_path: Path):
    for name in ("pipeline", "templates", "inputs"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    blocks = walks()[title]
    assert blocks[-1].order == "python", "a walk-through ends with what must hold"
    for block in blocks:
        follow(block, tmp_path)


@pytest.mark.parametrize("title", walks())
def test_what_a_walk_through_claims_does_not_hold_before_it_is_followed(title: str, tmp_path: Path):
    with pytest.raises(AssertionError):
        follow(walks()[title][-1], ROOT)
