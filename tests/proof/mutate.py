"""Small faults put into formulas, tables and rules one at a time: a test must notice each.

    python -m tests.proof.mutate 100 --seed 1

Works on a copy of the tree, so that nothing here is ever left spoilt. A mutant changes one comparison, operator,
constant or cell of a table; it is killed when the tests of standards, editions, rules and proof fail.
"""

import argparse
import ast
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from random import Random
from typing import Any

ROOT = Path(__file__).parents[2]
PARTS = ("pipeline", "tests", "templates", "pyproject.toml")
# what looks at a room, the closest first: a fault in one room cannot be seen by the tests of those below it
TESTS = {
    "standards": (
        "tests/proof/test_every_formula.py",
        "tests/proof/test_every_cell.py",
        "tests/standards",
        "tests/editions",
        "tests/rules",
    ),
    "editions": ("tests/editions", "tests/rules"),
    "rules": ("tests/rules",),
}
PROOF = tuple(f"tests/proof/test_{each}.py" for each in ("edges", "practice", "worked_examples"))
# what pytest answers; anything else, a signal above all, is no verdict on a mutant
PASSED, FAILED, NOT_COLLECTED = 0, 1, 2
SWAPS: dict[type, type] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.And: ast.Or,
    ast.Or: ast.And,
}
# the project's own comparison stands for most of its limits
CALLS = {"meets": "reaches", "reaches": "meets", "min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True)
class Mutant:
    """A file of the tree with one fault, and what it is."""

    path: Path
    line: int
    what: str
    spoil: Callable[[str], str]

    def __str__(self) -> str:
        """Where and what, for the list of survivors."""
        return f"{self.path}:{self.line} {self.what}"


def all_mutants(root: Path = ROOT) -> list[Mutant]:
    """Every mutant of formulas, editions, rules and tables, in a fixed order."""
    found: list[Mutant] = []
    for room in ("standards", "editions", "rules"):
        for path in sorted((root / "pipeline" / room).rglob("*.py")):
            found += of_code(path.relative_to(root), path.read_text("utf-8"))
    for path in sorted((root / "pipeline" / "standards").rglob("*.csv")):
        found += of_table(path.relative_to(root), path.read_text("utf-8"))
    return found


def of_code(path: Path, text: str) -> Iterator[Mutant]:
    """Each mutant of a module: one node changed, the rest written out again."""
    tree = ast.parse(text)
    idle = {id(inner) for each in ast.walk(tree) for part in _idle(each) for inner in ast.walk(part)}
    for number, node in enumerate(ast.walk(tree)):
        if id(node) in idle:
            continue
        for which, (what, _) in enumerate(_changes(node)):
            yield Mutant(path, getattr(node, "lineno", 0), what, partial(_spoilt_code, number, which))


def _spoilt_code(number: int, which: int, text: str) -> str:
    """A module with one fault in the node of this number, written out again."""
    tree = ast.parse(text)
    node = list(ast.walk(tree))[number]
    _, change = list(_changes(node))[which]
    change(node)
    return ast.unparse(tree)


def _idle(node: ast.AST) -> list[ast.AST]:
    """What of a node is no arithmetic: annotations, decorators, texts to be printed."""
    match node:
        case ast.FunctionDef():
            arguments = [each.annotation for each in ast.walk(node.args) if isinstance(each, ast.arg)]
            return [each for each in (*node.decorator_list, node.returns, *arguments) if each]
        case ast.AnnAssign():
            return [node.annotation]
        case ast.JoinedStr():
            return [node]
        case ast.Assign(value=value) if isinstance(value, ast.BinOp) and isinstance(value.op, ast.BitOr):
            return [value]
    return []


def _changes(node: ast.AST) -> Iterator[tuple[str, Callable[[Any], None]]]:
    """The faults that a node can take, each with a function that puts it in."""
    match node:
        case ast.Compare() if type(node.ops[0]) in SWAPS:
            yield _swapped(node.ops[0]), lambda other: other.ops.__setitem__(0, SWAPS[type(other.ops[0])]())
        case ast.BinOp() if type(node.op) in SWAPS and not _is_text(node):
            yield _swapped(node.op), lambda other: setattr(other, "op", SWAPS[type(other.op)]())
        case ast.BoolOp():
            yield _swapped(node.op), lambda other: setattr(other, "op", SWAPS[type(other.op)]())
        case ast.UnaryOp(op=ast.Not()):
            yield "not dropped", lambda other: setattr(other, "op", ast.UAdd())
        case ast.Call(func=ast.Name(id=name)) if name in CALLS:
            yield f"{name} for {CALLS[name]}", lambda other: setattr(other.func, "id", CALLS[other.func.id])
        case ast.Constant(value=int() | float() as value) if not isinstance(value, bool):
            for step in (1, -1):
                changed = value + step if isinstance(value, int) else value * (1 + step / 10)
                yield f"{value} becomes {changed:g}", lambda other, new=changed: setattr(other, "value", new)


def _swapped(operator: ast.AST) -> str:
    """Which operator is put for which."""
    return f"{type(operator).__name__} becomes {SWAPS[type(operator)].__name__}"


def _is_text(node: ast.BinOp) -> bool:
    """Whether a sum joins texts or tuples, where a difference would be no fault but nonsense."""
    joined = (ast.Constant, ast.JoinedStr, ast.Tuple, ast.List)
    sides = [each for each in (node.left, node.right) if isinstance(each, joined)]
    return any(not (isinstance(each, ast.Constant) and isinstance(each.value, int | float)) for each in sides)


def of_table(path: Path, text: str) -> Iterator[Mutant]:
    """Each figure of a table with its last digit one higher."""
    lines = text.splitlines(keepends=True)
    start = next(number for number, line in enumerate(lines) if not line.startswith("#"))
    for number, line in enumerate(lines[start + 1 :], start + 1):
        cells = line.rstrip("\n").split(",")
        for place, cell in enumerate(cells[1:], 1):
            digits = cell.rstrip("!~?")
            if not digits or not digits[-1].isdigit() or not digits.replace(".", "", 1).isdigit():
                continue
            changed = digits[:-1] + str((int(digits[-1]) + 1) % 10) + cell[len(digits) :]
            other = ",".join([*cells[:place], changed, *cells[place + 1 :]]) + "\n"
            what = f"{cells[0]}: {cell} becomes {changed}"
            yield Mutant(path, number + 1, what, partial(_spoilt_line, number, other))


def _spoilt_line(number: int, other: str, text: str) -> str:
    """A table with another line in this place."""
    lines = text.splitlines(keepends=True)
    return "".join([*lines[:number], other, *lines[number + 1 :]])


class Copy:
    """A copy of the tree in which mutants live one after the other."""

    def __init__(self, folder: Path) -> None:
        """Copy what the tests need."""
        self.folder = folder
        for part in PARTS:
            source, target = ROOT / part, folder / part
            if source.is_dir():
                shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__"))
            else:
                shutil.copy(source, target)

    def passes(self, room: str = "standards") -> bool:
        """Whether the tests that look at a room pass here; a run that takes too long counts as a failure."""
        tests = (*TESTS[room], *PROOF)
        command = [sys.executable, "-B", "-m", "pytest", "-n0", "-x", "-q", "-p", "no:cacheprovider", *tests]
        try:
            done = subprocess.run(command, cwd=self.folder, capture_output=True, timeout=300, check=False)
        except subprocess.TimeoutExpired:
            return False
        if done.returncode not in (PASSED, FAILED, NOT_COLLECTED):
            message = f"the tests were stopped from outside (code {done.returncode}): that proves nothing"
            raise RuntimeError(message)
        return done.returncode == PASSED

    def survives(self, mutant: Mutant) -> bool:
        """Whether no test notices the mutant."""
        path = self.folder / mutant.path
        whole = path.read_text("utf-8")
        path.write_text(mutant.spoil(whole), "utf-8")
        try:
            return self.passes(mutant.path.parts[1])
        finally:
            path.write_text(whole, "utf-8")


def survivors(count: int, seed: int, only: str = "") -> tuple[int, list[Mutant]]:
    """How many of `count` mutants drawn by `seed` were tried, and those that no test noticed."""
    possible = [each for each in all_mutants() if only in str(each.path)]
    chosen = Random(seed).sample(possible, min(count, len(possible)))  # noqa: S311 - a fixed draw, not a secret
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder))
        if not copy.passes():
            message = "the tests do not pass on the tree as it is"
            raise RuntimeError(message)
        return len(chosen), [each for each in chosen if copy.survives(each)]


def main() -> None:
    """Try mutants and print the survivors."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="", help="part of the path of the files to spoil")
    given = parser.parse_args()
    tried, alive = survivors(given.count, given.seed, given.only)
    print(f"{tried - len(alive)} of {tried} mutants killed", *alive, sep="\n")  # noqa: T201 - that is its product


if __name__ == "__main__":
    main()
