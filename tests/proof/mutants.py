"""Small faults that a formula, a table or a rule can take: one comparison, operator, constant or cell changed."""

import ast
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
ROOMS = ("standards", "editions", "rules")
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
    """A file of the tree with one fault: the line as it stands, and what becomes of it."""

    path: Path
    line: int
    within: str
    text: str
    what: str
    spoil: Callable[[str], Any]

    @property
    def key(self) -> tuple[str, str, str, str]:
        """What names it for as long as its line is not edited: file, function, line and fault."""
        return self.path.as_posix(), self.within, self.text, self.what

    def __str__(self) -> str:
        """Where and what, for the list of survivors."""
        return f"{self.path}:{self.line} {self.what} in `{self.text}`"


def all_mutants(root: Path = ROOT) -> list[Mutant]:
    """Every mutant of formulas, editions, rules and tables, in a fixed order."""
    found: list[Mutant] = []
    for room in ROOMS:
        for path in sorted((root / "pipeline" / room).rglob("*.py")):
            found += of_code(path.relative_to(root), path.read_text("utf-8"))
    for path in sorted((root / "pipeline" / "standards").rglob("*.csv")):
        found += of_table(path.relative_to(root), path.read_text("utf-8"))
    return found


def of_code(path: Path, text: str) -> Iterator[Mutant]:
    """Each mutant of a module: one node changed, all else where it was."""
    tree, lines = ast.parse(text), text.splitlines()
    idle = {id(inner) for each in ast.walk(tree) for part in _idle(each) for inner in ast.walk(part)}
    # outer functions come first, so that the innermost one names a node
    functions = [each for each in ast.walk(tree) if isinstance(each, ast.FunctionDef)]
    names = {id(inner): each.name for each in functions for inner in ast.walk(each)}
    for number, node in enumerate(ast.walk(tree)):
        if id(node) in idle or not isinstance(node, ast.expr):
            continue
        line = lines[node.lineno - 1]
        column = node.col_offset - len(line) + len(line.lstrip())
        for which, (what, _) in enumerate(_changes(node)):
            told = f"{what} at {column}"
            within = names.get(id(node), "")
            yield Mutant(path, node.lineno, within, line.strip(), told, partial(_spoilt_code, number, which))


def _spoilt_code(number: int, which: int, text: str) -> ast.Module:
    """A module with one fault in the node of this number; its lines keep their numbers."""
    tree = ast.parse(text)
    node = list(ast.walk(tree))[number]
    _, change = list(_changes(node))[which]
    change(node)
    return ast.fix_missing_locations(tree)


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
            yield "not doubled", lambda other: setattr(other, "operand", ast.UnaryOp(ast.Not(), other.operand))
        case ast.Call(func=ast.Name(id=name)) if name in CALLS:
            yield f"{name} for {CALLS[name]}", lambda other: setattr(other.func, "id", CALLS[other.func.id])
        case ast.Constant(value=int() | float() as value) if not isinstance(value, bool):
            for step in (1, -1):
                changed = value + step if isinstance(value, int) else value * (1 + step / 10) or step / 10
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
            what = f"{cell} becomes {changed} in cell {place}"
            yield Mutant(path, number + 1, "", line.strip(), what, partial(_spoilt_line, number, other))


def _spoilt_line(number: int, other: str, text: str) -> str:
    """A table with another line in this place."""
    lines = text.splitlines(keepends=True)
    return "".join([*lines[:number], other, *lines[number + 1 :]])
