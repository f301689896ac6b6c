"""Small faults put into formulas, editions and rules one at a time: a test must notice each.

    python -m tests.proof.mutate 200 --only pipeline/rules --seed 1

Works on a copy of the tree, so that nothing here is ever left spoilt. The copy is loaded and its tests are collected
once; for each mutant a child of that process exchanges the code of the one function that has the fault and runs the
tests that enter it, the narrowest first, until one fails. A fault outside functions is written into the copy and
loaded anew. Mutants that were read one by one and change nothing that anybody could notice (`equivalent.toml`) do
not count.
"""

import argparse
import ast
import os
import pickle
import shutil
import sys
import tempfile
import tomllib
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path
from random import Random
from types import CodeType

import pytest
from hypothesis import settings

from .loaded import LIVED, Loaded, Name, Touched, exchanged, is_function
from .mutants import ROOT, Mutant, all_mutants

PARTS = ("pipeline", "tests", "templates", "pyproject.toml")
# what looks at each room: the quick tests that are nearest to it
TESTS = {
    "standards": ("tests/standards", "tests/editions", "tests/proof/test_every_formula.py"),
    "editions": ("tests/editions",),
    "rules": ("tests/rules",),
}
# what tries every cell with nonsense, or judges a whole week from its workbook, is no test of one line
LEFT_OUT = tuple(f"tests/rules/test_{each}.py" for each in ("robustness", "causes", "visit"))
WANTED = 0.95


def equivalents() -> dict[tuple[str, str, str, str], str]:
    """Mutants that change nothing, each with the reason that was found when it was read."""
    listed = tomllib.loads((Path(__file__).parent / "equivalent.toml").read_text("utf-8"))["mutant"]
    return {(each["file"], each["within"], each["line"], each["fault"]): each["reason"] for each in listed}


class Copy:
    """A copy of the tree in which mutants live one after the other."""

    def __init__(self, folder: Path, tests: Collection[str]) -> None:
        """Copy what the tests need, and let this process find nothing else."""
        self.folder, self.tests = folder, tests
        for part in PARTS:
            source, target = ROOT / part, folder / part
            if source.is_dir():
                shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__"))
            else:
                shutil.copy(source, target)
        os.chdir(folder)
        sys.path[:] = [str(folder), *(each for each in sys.path if each and not Path(each).is_relative_to(ROOT))]
        sys.dont_write_bytecode = True
        self.told: list[Touched] = []

    def alive(self, mutants: list[Mutant]) -> list[Mutant]:
        """Those that no test notices."""
        versions = [(each, self.version(each)) for each in mutants]
        quick = [(mutant, code) for mutant, code in versions if code is not None]
        self.told, verdicts = self.loaded([code for _, code in quick])
        # what runs only while its module is loaded, like the key of a sorting, no test enters
        entered = {name for each in self.told for name in each.functions}
        lived = [pair for pair, verdict in zip(quick, verdicts, strict=True) if verdict == LIVED]
        unseen = {id(each) for each, code in lived if is_function(code) and self.name(code) not in entered}
        at_load = [each for each, code in versions if code is None or id(each) in unseen]
        return [
            *(each for each, _ in lived if id(each) not in unseen),
            *(each for each in at_load if self.survives(each)),
        ]

    def name(self, code: CodeType) -> Name:
        """What the tests call a function of the copy."""
        return str(Path(code.co_filename).relative_to(self.folder)), code.co_qualname, code.co_firstlineno

    def version(self, mutant: Mutant) -> CodeType | None:
        """The function that a mutant changes; None where it changes something else."""
        if mutant.path.suffix != ".py":
            return None
        path = self.folder / mutant.path
        whole = path.read_text("utf-8")
        return exchanged(whole, mutant.spoil(whole), str(path))

    def loaded(self, versions: list[CodeType]) -> tuple[list[Touched], list[int]]:
        """What the tests enter and what they say of these versions of functions."""
        answers = self.folder / "answers"
        if self.tested(Loaded(self.folder, answers, versions, os.dup(2))) != pytest.ExitCode.OK:
            message = "the tests cannot be loaded or do not pass on the tree as it is"
            raise RuntimeError(message)
        told, verdicts = pickle.loads(answers.read_bytes())  # noqa: S301 - written by our own child
        return told, verdicts

    def survives(self, mutant: Mutant) -> bool:
        """Whether no test notices a fault that is loaded with its module."""
        path = self.folder / mutant.path
        whole = path.read_text("utf-8")
        spoilt = mutant.spoil(whole)
        path.write_text(spoilt if isinstance(spoilt, str) else ast.unparse(spoilt), "utf-8")
        name = mutant.path.as_posix()
        near = {each.test for each in self.told if any(one[0] == name for one in each.functions)}
        try:
            return self.tested(First(near)) == pytest.ExitCode.OK
        finally:
            path.write_text(whole, "utf-8")

    def tested(self, plugin: object) -> int:
        """What pytest answers in a child process that has not yet loaded the copy."""
        child = os.fork()
        if not child:
            _fall_silent()
            left_out = [f"--ignore={each}" for each in LEFT_OUT]
            options = ["-n0", "-x", "-q", "--no-header", "-p", "no:cacheprovider", *left_out, *self.tests]
            os._exit(pytest.main(options, plugins=[plugin]))
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


@dataclass(frozen=True)
class First:
    """A plug-in that runs the tests which look at a module before all others."""

    near: set[str]

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Put the near ones in front."""
        items.sort(key=lambda each: each.nodeid not in self.near)


def _fall_silent() -> None:
    """Let a child print nothing, and draw the same cases in every run of a property."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    settings.register_profile("mutants", derandomize=True, database=None, deadline=None)
    settings.load_profile("mutants")


def survivors(count: int, seed: int, only: str = "") -> tuple[list[Mutant], list[Mutant], list[Mutant]]:
    """Of `count` mutants drawn by `seed` those that count, those that change nothing, those that nobody noticed."""
    known = equivalents()
    possible = [each for each in all_mutants() if only in each.path.as_posix() and each.path.suffix == ".py"]
    drawn = Random(seed).sample(possible, min(count, len(possible)))  # noqa: S311 - a fixed draw, not a secret
    chosen, same = ([each for each in drawn if (each.key in known) is left_out] for left_out in (False, True))
    with tempfile.TemporaryDirectory() as folder:
        tests = dict.fromkeys(each for room in {one.path.parts[1] for one in chosen} for each in TESTS[room])
        return chosen, same, Copy(Path(folder).resolve(), tests).alive(chosen)


def main() -> int:
    """Try mutants, print the survivors; 1 where more than one in twenty lives."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="pipeline/", help="part of the path of the files to spoil")
    given = parser.parse_args()
    tried, same, alive = survivors(given.count, given.seed, given.only)
    killed = len(tried) - len(alive)
    counted = f"{killed} of {len(tried)} mutants killed, {len(same)} that change nothing left out"
    print(f"{given.only}: {counted}", *alive, sep="\n  ")  # noqa: T201 - that is its product
    return int(killed < WANTED * len(tried))


if __name__ == "__main__":
    sys.exit(main())
