"""The house: import direction, the stages told alike everywhere, the fixed top level."""

import ast
import re
import subprocess
from pathlib import Path

import pytest

from pipeline.run import STAGES

ROOT = Path(__file__).parent.parent
PIPELINE = ROOT / "pipeline"

# each room and the rooms of ours that it may know
ROOMS = {
    "facts": {"facts"},
    "standards": {"facts", "standards"},
    "editions": {"facts", "standards", "editions"},
    "rules": {"facts", "standards", "editions", "rules"},
    "workbook": {"facts", "workbook", "errors"},
    "documents": {"facts", "orders", "errors", "documents"},
    "pack": {"facts", "orders", "errors", "documents", "pack", "tools"},
    "tools": {"errors", "tools"},
    "signing": {"errors", "disk", "pack", "signing"},
    "audit": {
        "facts",
        "standards",
        "editions",
        "rules",
        "orders",
        "errors",
        "documents",
        "pack",
        "tools",
        "stages",
        "register",
        "progress",
        "audit",
    },
    "mail": {"facts", "documents", "register", "stages", "errors", "points", "mail"},
    "watch": {"facts", "errors", "disk", "progress", "run", "report", "stages", "telling", "watch"},
    "demo": {"facts", "workbook", "standards", "editions", "demo"},
}


def modules():
    return sorted(PIPELINE.rglob("*.py"))


def imported_rooms(path):
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("pipeline."):
            yield node.module.split(".")[1]
        elif isinstance(node, ast.Import):
            yield from (each.name.split(".")[1] for each in node.names if each.name.startswith("pipeline."))


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_knows_only_its_neighbours(room):
    for path in (PIPELINE / room).rglob("*.py"):
        assert set(imported_rooms(path)) <= ROOMS[room], path.relative_to(ROOT)


def test_only_run_issue_and_cli_see_the_register():
    may = {
        "run.py",
        "issue.py",
        "decide.py",
        "commit.py",
        "release.py",
        "sign.py",
        "desk.py",
        "desk_commands.py",
        "correspondence.py",
        "mail.py",
        "words.py",
        "standing.py",
        "cli.py",
    }
    for path in modules():
        if "register" in set(imported_rooms(path)) and path.parent.name not in {"register", "audit", "mail"}:
            assert path.name in may, path.relative_to(ROOT)


def test_the_set_up_imports_the_standard_library_alone():
    import sys

    tree = ast.parse((PIPELINE / "install.py").read_text("utf-8"))
    for node in ast.walk(tree):
        names = [each.name for each in node.names] if isinstance(node, ast.Import) else []
        names += [node.module] if isinstance(node, ast.ImportFrom) else []
        assert all(name.split(".")[0] in sys.stdlib_module_names for name in names)


def test_the_stages_are_told_alike_in_code_and_manual():
    lines = re.compile(r"^ *(\w+) {2,}\S", re.MULTILINE)
    in_code = lines.findall(ast.get_docstring(ast.parse((PIPELINE / "run.py").read_text("utf-8"))))
    block = (ROOT / "DEVELOPERS.md").read_text("utf-8").split("```")[1]
    assert tuple(in_code) == tuple(lines.findall(block)) == STAGES


def test_nothing_else_lies_at_the_top():
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "pipeline", "templates", "tests", "inputs", "outputs"}
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False).stdout.split(
        "\n"
    )
    top = {name.split("/")[0] for name in tracked if name}
    assert {name for name in top if not name.startswith(".")} <= allowed


def test_the_readme_opens_with_two_command_lines():
    block = (ROOT / "README.md").read_text("utf-8").split("```")[1].strip().splitlines()
    assert len(block) == 2
    assert all(line.startswith("python3 pipeline/install.py") for line in block)


def test_ci_runs_the_second_line_of_the_readme():
    second = (ROOT / "README.md").read_text("utf-8").split("```")[1].strip().splitlines()[1]
    assert second in (ROOT / ".ci" / "run").read_text("utf-8").splitlines()


def test_every_module_class_and_function_says_what_it_is():
    for path in modules():
        tree = ast.parse(path.read_text("utf-8"))
        nodes = [tree, *(each for each in ast.walk(tree) if isinstance(each, ast.ClassDef | ast.FunctionDef))]
        nested = {
            inner
            for each in ast.walk(tree)
            if isinstance(each, ast.FunctionDef)
            for inner in ast.walk(each)
            if inner is not each
        }
        for node in nodes:
            assert node in nested or ast.get_docstring(node), (
                f"{path.relative_to(ROOT)}: {getattr(node, 'name', 'module')}"
            )
