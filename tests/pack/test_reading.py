from pipeline.pack.reading import Cell, Line, Piece, flat, pages_of, read
from tests.pack.samples import HEADS, OFFICE, PAIRS, converted, lines, sample_pack

pytestmark = OFFICE


def test_white_space_spelling_and_hyphens_do_not_count():
    assert flat("0,62\u00a0 Ω\n") == flat("0,62 Ω") == "0,62Ω"
    assert flat("e\u0301") == "é"
    assert flat("EX\x020042") == flat("EX\ufffe0042") == flat("EX-0042")


def test_a_row_reads_from_left_to_right_with_gaps():
    line = Line({0: Cell([Piece(0, "a ", 0, 0, 1, 1)]), 2: Cell([Piece(0, "b", 5, 0, 6, 1)])})
    assert line.texts == ("a", "", "b")
    assert Line().texts == ()


def test_each_document_is_a_section_with_its_pages():
    reading = read(sample_pack())
    sections = reading.in_order()
    assert [title for title, _ in reading.starts] == ["Certificate", "Schedule", "Broken"]
    assert len(sections) == 3
    assert sorted(page for section in sections for page in section.pages) == list(range(len(reading.sizes)))
    assert sections[0].headings == ["Certificate", "Circuits", "Widepage"]


def test_tables_come_back_cell_by_cell():
    pairs, grid = read(sample_pack()).in_order()[0].lines()
    assert [line.texts for line in pairs] == [tuple(map(flat, pair)) for pair in PAIRS]
    assert grid[0].header
    assert not grid[1].header
    assert [line.texts for line in grid] == [tuple(map(flat, texts)) for texts in (HEADS, *lines(3))]


def test_a_table_over_several_pages_is_one_table_with_one_header_row():
    grid = read(sample_pack()).in_order()[1].lines()[1]
    assert len(grid) == 71
    assert len({piece.page for line in grid for cell in line.cells.values() for piece in cell.pieces}) >= 2


def test_a_row_broken_over_two_pages_is_one_row():
    grid = read(sample_pack()).in_order()[2].lines()[1]
    assert len(grid) == 24
    broken = next(line for line in grid if "runsonandon" in line.texts[0])
    assert broken.texts[1:] == ("0.99", "1.11", "22")
    assert len({piece.page for piece in broken.cells[0].pieces}) >= 2
    assert broken.cells[0].shown.startswith("a remark that runs on")


def test_pages_are_counted():
    assert pages_of(converted()["certificate"]) == 2
