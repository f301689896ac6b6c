"""A copy of the tree loaded once: which test enters which function, and what a test says of a function with a fault."""

import ast
import gc
import os
import pickle
import signal
import sys
from collections.abc import Callable, Iterable, Iterator
from cProfile import Profile
from dataclasses import dataclass, field
from functools import _lru_cache_wrapper, cache
from inspect import CO_OPTIMIZED
from pathlib import Path
from time import perf_counter
from types import CodeType, FunctionType
from typing import Any

import pytest
from _pytest.runner import runtestprotocol

# a function by its file in the tree, its name with those around it, and its first line
Name = tuple[str, str, int]
LIVED, KILLED, CRASHED = 0, 1, 3
COMPREHENSIONS = ("<genexpr>", "<listcomp>", "<setcomp>", "<dictcomp>")
# beside what the tests take without a fault: after so many seconds a loop without end is a fault that was noticed
PATIENCE = 40


@dataclass(frozen=True)
class Touched:
    """A test, the functions that it enters, and how long it takes."""

    test: str
    functions: frozenset[Name]
    seconds: float


def is_function(code: CodeType) -> bool:
    """Whether code is entered later than its module is loaded; a comprehension outside functions is not."""
    return bool(code.co_flags & CO_OPTIMIZED) and code.co_name not in COMPREHENSIONS


def functions_of(code: CodeType) -> Iterator[CodeType]:
    """The outermost functions of a module, those in classes included."""
    for each in code.co_consts:
        if isinstance(each, CodeType):
            yield from (each,) if is_function(each) else functions_of(each)


def around(code: CodeType) -> CodeType:
    """The code of a module or class without its functions."""
    kept: list[Any] = []
    for each in code.co_consts:
        if isinstance(each, CodeType):
            kept.append(None if is_function(each) else around(each))
        else:
            kept.append(each)
    return code.replace(co_consts=tuple(kept))


def exchanged(whole: str, spoilt: ast.Module, path: str) -> CodeType | None:
    """The function, or else the assignment of a module, in which two versions differ; None where it is neither."""
    before, after = _compiled(whole, path), compile(spoilt, path, "exec")
    if around(before) != around(after):
        pairs = zip(ast.parse(whole).body, spoilt.body, strict=True)
        apart = [new for old, new in pairs if ast.dump(old) != ast.dump(new)]
        single = len(apart) == 1 and isinstance(apart[0], ast.Assign)
        return compile(ast.Module(apart, type_ignores=[]), path, "exec") if single else None
    changed = [new for old, new in zip(functions_of(before), functions_of(after), strict=True) if old != new]
    return changed[0] if len(changed) == 1 else None


@cache
def _compiled(whole: str, path: str) -> CodeType:
    """A module as it stands, compiled once for all its mutants."""
    return compile(whole, path, "exec")


@dataclass
class Loaded:
    """A plug-in that, instead of running the tests once, runs those that enter a function for each faulty version."""

    root: Path
    answers: Path
    versions: list[CodeType]
    tell: int
    live: dict[Name, list[FunctionType]] = field(default_factory=dict)
    caches: list[Any] = field(default_factory=list)

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Put what was found into the file of answers: which test enters what, and the verdict on each version."""
        for each in gc.get_objects():
            if isinstance(each, FunctionType) and (name := self.name(each.__code__)):
                self.live.setdefault(name, []).append(each)
            elif isinstance(each, _lru_cache_wrapper):
                self.caches.append(each)
        gc.freeze()
        in_child(lambda: self.answers.write_bytes(pickle.dumps(self.touched(session.items))) * 0)
        told: list[Touched] = pickle.loads(self.answers.read_bytes())  # noqa: S301 - written by our own child
        verdicts = []
        for number, each in enumerate(self.versions):
            verdicts.append(self.verdict(each, told, session.items))
            os.write(self.tell, f"{number + 1} of {len(self.versions)}: {verdicts[-1]}\n".encode())
        self.answers.write_bytes(pickle.dumps((told, verdicts)))
        return True

    def name(self, code: CodeType) -> Name | None:
        """What a function of the package is called here; None for those of others."""
        path = code.co_filename
        inside = path.startswith(f"{self.root}/pipeline/")
        return (path[len(str(self.root)) + 1 :], code.co_qualname, code.co_firstlineno) if inside else None

    def touched(self, items: Iterable[pytest.Item]) -> list[Touched]:
        """Every test, run once with nothing remembered from the one before; RuntimeError where one fails."""
        found = []
        for each in items:
            self.forget()
            profile, began = Profile(builtins=False), perf_counter()
            with profile:
                passes = _passes(each)
            if not passes:
                message = f"{each.nodeid} fails on the tree as it is"
                raise RuntimeError(message)
            codes = [entry.code for entry in profile.getstats() if isinstance(entry.code, CodeType)]
            names = frozenset(name for code in codes if (name := self.name(code)))
            found.append(Touched(each.nodeid, names, perf_counter() - began))
        return found

    def forget(self) -> None:
        """Empty what functions keep of earlier calls."""
        for each in self.caches:
            each.cache_clear()

    def verdict(self, version: CodeType, told: list[Touched], items: Iterable[pytest.Item]) -> int:
        """Whether a test notices this version of a function or of a module's assignment."""
        name = self.name(version)
        by_name = {each.nodeid: each for each in items}
        narrowest = looking(told, name, self.put_in(version)) if name else []

        def judge() -> int:
            for function in self.live.get(name, ()) if name else ():
                function.__code__ = version
            self.put_in(version, truly=True)
            self.forget()
            return LIVED if all(_passes(by_name[each.test]) for each in narrowest) else KILLED

        return in_child(judge, PATIENCE + int(sum(each.seconds for each in narrowest)))

    def put_in(self, version: CodeType, *, truly: bool = False) -> frozenset[str]:
        """Make an assignment anew wherever its names were imported; the files that see it, none for a function."""
        if version.co_name != "<module>":
            return frozenset()
        modules = [each for each in sys.modules.values() if getattr(each, "__name__", "").startswith("pipeline.")]
        home = next(each for each in modules if each.__file__ == version.co_filename)
        values = dict(vars(home))
        exec(version, values)  # noqa: S102 - a line of our own with one fault
        seen = set()
        for name in version.co_names:
            holders = [each for each in modules if name in vars(home) and vars(each).get(name) is vars(home)[name]]
            if values.get(name) is vars(home).get(name):
                continue
            seen |= {str(each.__file__).removeprefix(f"{self.root}/") for each in holders}
            for each in holders if truly else ():
                setattr(each, name, values[name])
        return frozenset(seen)


def in_child(work: Callable[[], int], seconds: int = 0) -> int:
    """What `work` answers in a child process, where nothing is spoilt for others; out of time, it was noticed."""
    child = os.fork()
    if not child:
        code = CRASHED
        # of its own time: another programme's load proves nothing
        signal.setitimer(signal.ITIMER_PROF, seconds)
        try:
            code = work()
        finally:
            os._exit(code)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    if code not in (LIVED, KILLED, -signal.SIGPROF):
        message = f"the tests were stopped (code {code}): that proves nothing"
        raise RuntimeError(message)
    return KILLED if code else LIVED


def looking(told: Iterable[Touched], name: Name, files: frozenset[str] = frozenset()) -> list[Touched]:
    """The tests that enter a function, or any of these files, the narrowest first."""
    seen = [each for each in told if name in each.functions or any(one[0] in files for one in each.functions)]
    return sorted(seen, key=lambda each: (len(each.functions), each.seconds))


def _passes(item: pytest.Item) -> bool:
    """Whether a test passes; its fixtures are put away."""
    return not any(each.failed for each in runtestprotocol(item, log=False, nextitem=None))
