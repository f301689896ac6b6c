"""Every message of the program in one list, taken from the code itself: run as a program it prints them, to be read.

A place in a text that is filled in when it is said stands in braces. Whatever else the code has in words (parts of
messages, what commands say of themselves, the sheet *Start here*) follows file by file; what stands on the pages of
documents is in their catalogue.
"""

import ast
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from pipeline import errors

PACKAGE = Path(__file__).parent
ERRORS = frozenset(
    name for name, kind in vars(errors).items() if isinstance(kind, type) and issubclass(kind, errors.PipelineError)
)
# what a finding and an outcome call their texts, and where those stand that are given without a name
NAMED = ("message", "found", "expected", "remedy")
OUTCOME = {2: "message"}
ERROR = {0: "message", 1: "remedy"}


# texts for documents, tables, and columns, which have their own lists
ELSEWHERE = ("documents/", "standards/", "demo/", "facts/rows/", "facts/choices.py", "facts/quantities.py")
THREE_WORDS = re.compile(r"(?:\b[A-Za-z]{2,}\b.*){3}", re.DOTALL)
CODE = re.compile(
    r"""^\s*<|</|/>|="|=\{|\\[sbw.]|\{\{|[{;]\s*$|begincmap|/Artifact|exec 3|Mapping\[|\(\?P"""
    r"""|\b(?:SELECT|INSERT|CREATE|PRAGMA)\b|\b\w\.\w+ ="""
)


@dataclass(frozen=True, slots=True)
class Message:
    """One message where it is said: `kind` is error, finding, screen or words."""

    kind: str
    place: str
    message: str
    remedy: str = ""
    found: str = ""
    expected: str = ""


def messages() -> list[Message]:
    """All messages, file by file, in the order of the code."""
    found: list[Message] = []
    for path in sorted(PACKAGE.rglob("*.py")):
        name, tree = path.relative_to(PACKAGE).as_posix(), ast.parse(path.read_text("utf-8"))
        said = [
            each
            for node in ast.walk(tree)
            if isinstance(node, ast.Call)
            for each in _message(node, f"{name}:{node.lineno}")
        ]
        told = "\n".join(part for each in said for part in (each.message, each.remedy, each.found, each.expected))
        words = [] if name.startswith(ELSEWHERE) else sorted(set(_words(tree, told)))
        found += [*said, *(Message("words", f"{name}:{line}", text) for line, text in words)]
    return found


def _words(tree: ast.Module, told: str) -> Iterator[tuple[int, str]]:
    """Each text of at least three words that is not in a message told already, with its line."""
    inside = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    inside |= {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant | ast.JoinedStr) and id(node) not in inside:
            text = _text(node)
            if THREE_WORDS.search(text) and " " in text and not CODE.search(text) and text not in told:
                yield node.lineno, text


def _message(call: ast.Call, place: str) -> Iterator[Message]:
    """The message of a call that says something."""
    name = call.func.id if isinstance(call.func, ast.Name) else ""
    if name in ERRORS:
        yield _built("error", place, call, ERROR)
    elif name in {"Outcome", "Finding"}:
        built = _built("finding", place, call, OUTCOME)
        if built.message:
            yield built
    elif name == "print":
        text = " ".join(filter(None, map(_text, call.args)))
        if any(sign.isalpha() for sign in text.replace("{…}", "")):
            yield Message("screen", place, text)


def _built(kind: str, place: str, call: ast.Call, by_place: dict[int, str]) -> Message:
    """A message from its arguments, by name or by place."""
    texts = {each.arg: _text(each.value) for each in call.keywords if each.arg in NAMED}
    texts |= {name: _text(call.args[number]) for number, name in by_place.items() if number < len(call.args)}
    return Message(kind, place, **{name: text for name, text in texts.items() if text})


def _text(node: ast.expr) -> str:  # noqa: PLR0911 - one return a kind reads best
    """An expression as a text with braces for what is filled in; the variants of a choice one after the other."""
    match node:
        case ast.Constant(value=str(text)):
            return text
        case ast.JoinedStr(values=values):
            return "".join(map(_text, values))
        case ast.FormattedValue(value=ast.IfExp() as choice):
            return f"[{_text(choice)}]"
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            return _text(left) + _text(right)
        case ast.BinOp(left=ast.Constant(value=str(text)), op=ast.Mod()):
            return text
        case ast.IfExp(body=body, orelse=orelse):
            return f"{_text(body)} | {_text(orelse)}"
        case ast.BoolOp(values=values):
            return " | ".join(map(_text, values))
        case ast.Name() | ast.Attribute() | ast.FormattedValue() | ast.Call() | ast.Subscript():
            return "{…}"
        case _:
            return ""


def lines() -> Iterator[str]:
    """The list as it is printed."""
    for each in messages():
        yield f"{each.kind}  {each.place}"
        for part in (each.message, f"Found: {each.found}" * bool(each.found)):
            if part:
                yield f"    {part}"
        if each.expected:
            yield f"    Expected: {each.expected}"
        if each.remedy:
            yield f"    → {each.remedy}"


if __name__ == "__main__":
    sys.stdout.write("\n".join(lines()) + "\n")
