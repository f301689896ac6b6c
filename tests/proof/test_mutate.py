"""The tests notice small faults in formulas, tables and rules."""

from pathlib import Path

import pytest
from proof.mutate import all_mutants, of_code, of_table, survivors

CODE = "def f(a: int | None) -> bool:\n    return a is not None and meets(a, 3)\n"
TABLE = "# head\nmm²,C 2\n6,47!\n10,6.9\n"


def test_a_line_of_code_takes_each_fault_once():
    texts = [each.spoil(CODE).splitlines()[1].strip() for each in of_code(Path("x.py"), CODE)]
    assert sorted(texts) == [
        "return a is None and meets(a, 3)",
        "return a is not None and meets(a, 2)",
        "return a is not None and meets(a, 4)",
        "return a is not None and reaches(a, 3)",
        "return a is not None or meets(a, 3)",
    ]


def test_a_table_takes_a_fault_in_each_of_its_cells():
    assert [each.spoil(TABLE).splitlines()[2:] for each in of_table(Path("x.csv"), TABLE)] == [
        ["6,48!", "10,6.9"],
        ["6,47!", "10,6.0"],
    ]


def test_there_are_thousands_of_mutants():
    found = all_mutants()
    assert len(found) > 2000
    assert {each.path.parts[1] for each in found} == {"standards", "editions", "rules"}


@pytest.mark.long
def test_nineteen_of_twenty_mutants_are_noticed(record_property):
    tried, alive = survivors(60, seed=20261125)
    lines = "\n".join(f"  survived: {each}" for each in alive)
    record_property("told", f"{tried - len(alive)} of {tried} mutants killed\n{lines}".rstrip())
    assert len(alive) <= tried / 20
