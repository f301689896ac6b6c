import io

import pytest

from pipeline.pack.comparing import differences
from pipeline.pack.expecting import Table
from pipeline.pack.merging import Part, merged, sources
from pipeline.pack.reading import read
from tests.pack.samples import HEADS, LONG_CELL, OFFICE, PAIRS, converted, expected, lines

pytestmark = OFFICE


def section(name, title="Certificate"):
    with sources({name: converted()[name]}) as given, merged([Part(title, given[name])], "en-GB") as pdf:
        target = io.BytesIO()
        pdf.save(target)
    return read(target.getvalue()).in_order()[0]


def test_a_document_that_prints_its_record_has_no_difference():
    assert differences(section("certificate"), expected()) == []


def test_a_table_over_several_pages_has_no_difference():
    assert differences(section("schedule"), expected("Schedule", body=lines(70))) == []


def test_a_row_broken_over_two_pages_has_no_difference():
    body = (*lines(20), (LONG_CELL, "0.99", "1.11", "22"), *lines(2))
    assert differences(section("broken"), expected("Broken rows", body=body)) == []


@pytest.mark.parametrize(
    ("sample", "words"),
    [
        ("one digit", ("Zs (Ω) in line 3", "prints 0.58", "has 0.53")),
        ("labels swapped", ("Ze (Ω): the page prints EX-0042",)),
        ("heads swapped", ("Zs (Ω) in line 1", "prints >1.01", "has 0.51")),
        ("values swapped", ("Zs (Ω) in line 3", "prints >3.03")),
        ("value deleted", ("Ze (Ω): the page prints nothing",)),
        ("label misspelt", ("label Ze (Ω) stands 0 times",)),
        ("head misspelt", ("column Zs (Ω) is missing",)),
        ("line lost", ("has 2 lines instead of 3",)),
        ("line added", ("has 4 lines instead of 3",)),
    ],
)
def test_whatever_differs_is_named(sample, words):
    told = " ".join(differences(section(sample), expected()))
    for each in words:
        assert each in told


def test_the_number_in_a_column_that_nobody_expects_is_named():
    wanted = expected()
    wanted.tables[0] = Table(HEADS[:3], tuple(line[:3] for line in lines(3)))
    assert [each for each in differences(section("certificate"), wanted) if "prints 21, which is not recorded" in each]


def test_a_table_that_nobody_expects_is_named():
    wanted = expected()
    wanted.tables.clear()
    assert [each for each in differences(section("certificate"), wanted) if "nothing for it is recorded" in each]


def test_a_missing_table_heading_and_sentence_are_named():
    wanted = expected()
    wanted.tables.append(Table(("Board", "Place", "Fed from"), (("MAIN", "Hall", "Origin"),)))
    wanted.headings.append("Instruments")
    wanted.words.append("01632 960000")
    told = " ".join(differences(section("certificate"), wanted))
    assert "columns Board | Place | Fed from is missing" in told
    assert "heading Instruments is missing" in told
    assert "01632 960000 stands 0 times" in told


def test_a_value_lost_from_a_sentence_is_missed_though_it_stands_elsewhere_too():
    wanted = expected()
    wanted.words += [PAIRS[0][1]]
    assert [each for each in differences(section("certificate"), wanted) if "text EX-0042 stands" in each]


def test_tables_with_equal_headings_are_taken_in_their_order():
    wanted = expected()
    wanted.tables.append(Table(HEADS, lines(1)))
    assert "is missing" in differences(section("certificate"), wanted)[0]


def test_a_misspelt_heading_does_not_shift_the_tables_of_the_other_boards():
    first, second = section("head misspelt"), section("schedule")
    last = max(first.tables)
    first.tables |= {(*last, 1, place): rows for place, rows in enumerate(second.tables.values())}
    wanted = expected()
    wanted.tables.append(Table(HEADS, lines(70)))
    wanted.pairs += PAIRS
    told = differences(first, wanted)
    assert told[0] == "The column Zs (Ω) is missing from the table Circuit | Zs (Ω) | R1+R2 (Ω) | RCD time (ms)."
    assert not [each for each in told if "lines instead of" in each]
