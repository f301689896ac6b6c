"""The sheet of answers: one new row for each question that is open and not yet asked there."""

import re
from collections.abc import Mapping, Sequence
from xml.sax.saxutils import escape

from pipeline.errors import WorkbookRefusedError
from pipeline.facts.questions import Question
from pipeline.facts.rows.answers import Answer
from pipeline.facts.sheets import BY_ROW, EXAMPLE_ROW, HEADING_ROW
from pipeline.workbook.cell_xml import CellMaker
from pipeline.workbook.cells import SheetCells
from pipeline.workbook.columns import columns_of, filled_rows, letter
from pipeline.workbook.corrections.package import Package, prefixed
from pipeline.workbook.corrections.plain import plain_text
from pipeline.workbook.corrections.splice import SHEET_DATA, insert
from pipeline.workbook.hues import LINE, lines_height
from pipeline.workbook.sheet_xml import read_sheet

ROW = re.compile(rb"<((?:[\w.-]+:)?)row\b([^<>]*?)(?:/>|(?<!/)>(?:(?!</(?:[\w.-]+:)?row>).)*</\1row>)", re.DOTALL)
COLUMN = re.compile(rb"<(?:[\w.-]+:)?col\b([^<>]*)/>")
NARROW = 12
"""Width of a column that the file does not tell."""
TABLE = re.compile(rb'(\bref="[A-Z]+%d:[A-Z]+)(\d+)(")' % HEADING_ROW)


def add_questions(package: Package, questions: Sequence[Question], maker: CellMaker) -> None:
    """Write the open questions below the rows that are there; answers and earlier questions stay as they are."""
    title = BY_ROW[Answer].title
    part = next((each.part for each in package.sheets() if each.title == title), "")
    if not part or not questions:
        return
    found = SheetCells(title, read_sheet(package.pieces(part), part, maker).rows)
    rows = filled_rows(found)
    try:
        columns = columns_of(BY_ROW[Answer], found, rows).fields
    except WorkbookRefusedError:  # told as the reason why the workbook is refused
        return
    asked = {row[columns["question_key"]].text for _, row in rows if columns["question_key"] in row}
    new = [each for each in questions if each.key not in asked]
    first = max([EXAMPLE_ROW, *(number for number, _ in rows)]) + 1
    xml = package.xml(part)
    looks = {column: _look(xml, column) for column in columns.values()}
    for number, question in enumerate(new, start=first):
        typed = {"job": question.job, "what": question.what, "question_key": question.key}
        texts = {columns[name]: text for name, text in typed.items() if text}
        height = lines_height(question.what, _width(xml, columns["what"]) - 2) if "what" in columns else LINE
        xml = _with_row(xml, number, _row(number, texts, looks, height))
    package.put(part, xml)
    if new:
        _grow_table(package, part, first + len(new) - 1)


def _look(xml: bytes, column: int) -> str:
    """The cell format that a column gives to what is typed into it."""
    for each in COLUMN.finditer(xml):
        numbers: dict[bytes, bytes] = dict(re.findall(rb'\b(min|max|style)="(\d+)"', each[1]))
        if int(numbers.get(b"min", b"0")) <= column <= int(numbers.get(b"max", b"0")):
            return numbers.get(b"style", b"0").decode()
    return "0"


def _width(xml: bytes, column: int) -> float:
    """How many letters stand beside each other in a column."""
    for each in COLUMN.finditer(xml):
        numbers: dict[bytes, bytes] = dict(re.findall(rb'\b(min|max|width)="([\d.]+)"', each[1]))
        if int(numbers.get(b"min", b"0")) <= column <= int(numbers.get(b"max", b"0")):
            return float(numbers.get(b"width", b"%d" % NARROW))
    return NARROW


def _row(number: int, texts: Mapping[int, str], looks: Mapping[int, str], height: float) -> bytes:
    """A row of texts in the order of its columns, tall enough for its question."""
    cells = "".join(
        f'<c r="{letter(column)}{number}" s="{looks[column]}" t="inlineStr">'
        f"<is><t>{escape(plain_text(texts[column]))}</t></is></c>"
        for column in sorted(texts)
    )
    return f'<row r="{number}" ht="{height:g}" customHeight="1">{cells}</row>'.encode()


def _with_row(xml: bytes, number: int, row: bytes) -> bytes:
    """A sheet with a row in its place; an empty one that stands there goes."""
    opened = SHEET_DATA.search(xml)
    if opened is None:
        bare = re.compile(rb"<((?:[\w.-]+:)?)sheetData\b[^<>]*/>")
        return bare.sub(
            lambda each: b"<%ssheetData>%s</%ssheetData>" % (each[1], prefixed(row, each[1]), each[1]), xml, count=1
        )
    row, last = prefixed(row, opened[1]), 0
    for each in ROW.finditer(xml, opened.end()):
        given = re.search(rb'\br="(\d+)"', each[2])
        last = int(given[1]) if given else last + 1
        if last == number:
            return xml[: each.start()] + row + xml[each.end() :]
        if last > number:
            return insert(xml, each.start(), row)
    return insert(xml, xml.rindex(b"</" + opened[1] + b"sheetData"), row)


def _grow_table(package: Package, sheet: str, last: int) -> None:
    """Let the table around the answers take in the new rows."""
    for pointer in package.pointers(sheet).values():
        if pointer.kind.endswith("/table"):
            xml = package.xml(pointer.target)
            grown = TABLE.sub(lambda each: each[1] + b"%d" % max(last, int(each[2])) + each[3], xml)
            package.put(pointer.target, grown)
