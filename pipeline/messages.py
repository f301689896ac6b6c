"""Every message of the program in one list, taken from the code itself: run as a program it prints them, to be read.

A place in a text that is filled in when it is said stands in braces. Passes and what is not applicable are left out.
"""

import ast
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


@dataclass(frozen=True, slots=True)
class Message:
    """One message where it is said: `kind` is error, finding or screen."""

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
        name = path.relative_to(PACKAGE).as_posix()
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call):
                found += _message(node, f"{name}:{node.lineno}")
    return found


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
