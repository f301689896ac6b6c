"""The code of the commit with one statement taken out or two swapped, put in place of the real one as it runs."""

import ast
import importlib
import inspect
import types
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass

COMMIT_CODE = {
    "pipeline.disk": ("write_durably", "make_folder", "sync_folder", "sync_tree", "move_new", "write_protect"),
    "pipeline.stages.order": ("PhotoStore.keep",),
    "pipeline.stages.commit": ("commit", "finish", "publish", "bagged", "clear_scratch"),
    "pipeline.stages.release": ("release", "_enter"),
    "pipeline.issue": ("issue", "finish_interrupted", "_complete"),
    "pipeline.register.book": (
        "Register.open",
        "Register._writing",
        "Register.reserve",
        "Register.awaiting",
        "Register.issue",
    ),
}


@dataclass(frozen=True)
class Mutant:
    """One function of the commit code with one change."""

    module: str
    function: str
    change: str
    code: types.CodeType

    def __str__(self) -> str:
        return f"{self.module.rpartition('.')[2]}.{self.function}: {self.change}"

    def put_in(self) -> None:
        """Let every caller in this process have the changed function."""
        found = importlib.import_module(self.module)
        for part in self.function.split("."):
            found = inspect.getattr_static(found, part)
        found = getattr(found, "__func__", found)
        inspect.unwrap(found).__code__ = self.code


def mutants() -> Iterator[Mutant]:
    """Every statement of the commit code that acts taken out by itself, and every two neighbours swapped."""
    for module, functions in COMMIT_CODE.items():
        source = inspect.getsource(importlib.import_module(module))
        for function in functions:
            for change, tree in _changed(ast.parse(source), function):
                code = compile(ast.fix_missing_locations(tree), module, "exec")
                yield Mutant(module, function, change, _code_of(code, function))


def _code_of(code: types.CodeType, name: str) -> types.CodeType:
    """The code of a function within that of its module."""
    for each in code.co_consts:
        if isinstance(each, types.CodeType):
            if each.co_qualname == name:
                return each
            if name.startswith(f"{each.co_qualname}."):
                return _code_of(each, name)
    raise LookupError(name)


def _changed(tree: ast.Module, function: str) -> Iterator[tuple[str, ast.Module]]:
    for place, (block, index) in enumerate(_blocks(tree, function)):
        if _is_call(block[index]):
            copy = deepcopy(tree)
            other, at = list(_blocks(copy, function))[place]
            other[at] = ast.copy_location(ast.Pass(), other[at])
            yield f"without '{_told(block[index])}'", copy
        later = next((each for each in range(index + 1, len(block)) if not _is_talk(block[each])), None)
        if later and _acts(block[index]) and _acts(block[later]):
            copy = deepcopy(tree)
            other, at = list(_blocks(copy, function))[place]
            other[at], other[later] = other[later], other[at]
            yield f"'{_told(block[index])}' after '{_told(block[later])}'", copy


def _blocks(tree: ast.Module, function: str) -> Iterator[tuple[list[ast.stmt], int]]:
    """Each statement of a function: where it stands in which block."""
    found: ast.AST = tree
    for part in function.split("."):
        inner = (each for each in ast.iter_child_nodes(found) if isinstance(each, ast.FunctionDef | ast.ClassDef))
        found = next(each for each in inner if each.name == part)
    for node in ast.walk(found):
        for name in ("body", "orelse", "finalbody"):
            block = getattr(node, name, None)
            for index, each in enumerate(block if isinstance(block, list) else ()):
                if not _is_talk(each):
                    yield block, index


def _is_talk(statement: ast.stmt) -> bool:
    """Whether a statement only tells where the work is."""
    return ast.unparse(statement).startswith(("points.passed", "shop.tell", "'"))


def _is_call(statement: ast.stmt) -> bool:
    """Whether a statement is a call by itself, made for what it does."""
    return isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Call)


def _acts(statement: ast.stmt) -> bool:
    """Whether a statement does something of which the order can matter: it calls, or holds what calls."""
    if isinstance(statement, ast.Return | ast.Raise):
        return False
    return any(isinstance(each, ast.Call | ast.Yield) for each in ast.walk(statement))


def _told(statement: ast.stmt) -> str:
    return ast.unparse(statement).split("\n")[0][:60]
