"""The tests notice small faults in formulas, editions and rules; those in tables are noticed cell by cell."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from proof.loaded import exchanged
from proof.mutants import ROOT, all_mutants, of_code, of_table
from proof.mutate import equivalents

CODE = "LIMIT = 3\ndef f(a: int | None) -> bool:\n    return a is not None and meets(a, 3)\n"
# so many mutants of each room are tried: all of the smaller ones
SAMPLES = [("pipeline/standards", 400), ("pipeline/editions", 400), ("pipeline/rules", 220)]
TABLE = "# head\nmm²,C 2\n6,47!\n10,6.9\n"


def _versions():
    """What of the module each of its mutants exchanges."""
    return [exchanged(CODE, each.spoil(CODE), "x.py") for each in of_code(Path("x.py"), CODE)]


def test_a_line_of_code_takes_each_fault_once():
    assert sorted(f"{each.within}: {each.what}" for each in of_code(Path("x.py"), CODE)) == [
        ": 3 becomes 2 at 8",
        ": 3 becomes 4 at 8",
        "f: 3 becomes 2 at 34",
        "f: 3 becomes 4 at 34",
        "f: And becomes Or at 7",
        "f: IsNot becomes Is at 7",
        "f: meets for reaches at 25",
    ]


def test_a_fault_in_a_function_is_told_from_one_around_it():
    assert sorted(each.co_qualname for each in _versions()) == ["<module>"] * 2 + ["f"] * 5


def test_a_fault_in_a_comprehension_outside_functions_is_one_of_its_assignment():
    """It runs while the module is loaded: no test would ever enter it."""
    text = "NAMES = tuple(each for each in ('a', 'b') if each not in ('b',))\n"
    (mutant,) = of_code(Path("x.py"), text)
    assert exchanged(text, mutant.spoil(text), "x.py").co_name == "<module>"


def test_a_table_takes_a_fault_in_each_of_its_cells():
    assert [each.spoil(TABLE).splitlines()[2:] for each in of_table(Path("x.csv"), TABLE)] == [
        ["6,48!", "10,6.9"],
        ["6,47!", "10,6.0"],
    ]


def test_there_are_thousands_of_mutants():
    found = all_mutants()
    assert len(found) > 2000
    assert {each.path.parts[1] for each in found} == {"standards", "editions", "rules"}


def test_each_mutant_that_was_found_to_change_nothing_still_exists():
    """An edited line takes its mutants with it: they are to be read again."""
    known = {each.key for each in all_mutants()}
    assert [each for each in equivalents() if each not in known] == []
    assert all(equivalents().values())


@pytest.mark.long
@pytest.mark.parametrize(("where", "count"), SAMPLES)
def test_nineteen_of_twenty_mutants_are_noticed(where, count, record_property):
    """In a process of its own, which has not loaded the package yet."""
    command = [sys.executable, "-m", "tests.proof.mutate", str(count), "--only", where]
    done = subprocess.run(command, cwd=ROOT, env=os.environ, capture_output=True, text=True, check=False)
    record_property("told", done.stdout.rstrip() or done.stderr)
    assert done.returncode == 0
