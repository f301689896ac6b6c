"""A sound week as other programs write it: each habit of theirs gives the same jobs and the same findings."""

import io
import subprocess
from functools import cache
from xml.etree import ElementTree as ET
from xml.sax.saxutils import escape

import openpyxl
import pytest

from pipeline.demo.week import TODAY
from pipeline.errors import WorkbookRefusedError
from pipeline.stages.validate import type_week
from pipeline.tools.program import find_program
from pipeline.workbook.cells import from_plain
from pipeline.workbook.child import open_workbook
from pipeline.workbook.styles import styles_of
from tests.catalogue.surgery import BOOK, MAIN, OFFICE, PACKAGE, TYPES, Surgery, tag
from tests.catalogue.week import at, base_content, folder, row_numbers

TEXTS = "xl/sharedStrings.xml"
MARKUP = "http://schemas.openxmlformats.org/markup-compatibility/2006"
REVISION = "http://schemas.microsoft.com/office/spreadsheetml/2014/revision"
LAST_ROW = 1_048_576


def week_of(content):
    """The week that a file holds, with the photos of the sound week beside it."""
    return type_week(from_plain(open_workbook(content), "week.xlsx", "0" * 64), TODAY, folder() / "photos")


@cache
def sound():
    """The sound week as our own writer wrote it."""
    return week_of(base_content())


def told(week):
    """What is found at the cells of a week."""
    return sorted((each.rule, str(each.verdict), each.job, each.message) for each in week.findings)


def sheets_of(book):
    """The parts that hold sheets."""
    return sorted(name for name in book.parts if name.startswith("xl/worksheets/sheet"))


def with_shared_texts(book, *, runs=False):
    """All texts moved into the list of texts, as Excel and Google keep them; with `runs` each in pieces."""
    numbers = {}
    for name in sheets_of(book):
        for cell in book.tree(name).iter(tag("c")):
            inside = cell.find(tag("is"))
            if inside is None:
                continue
            text = "".join(each.text or "" for each in inside.iter(tag("t")))
            cell.remove(inside)
            cell.set("t", "s")
            ET.SubElement(cell, tag("v")).text = str(numbers.setdefault(text, len(numbers)))
    items = "".join(f"<si>{pieces(text) if runs else plain(text)}</si>" for text in numbers)
    book.parts[TEXTS] = f'<sst xmlns="{MAIN}" count="9999" uniqueCount="{len(numbers)}">{items}</sst>'.encode()
    pointer = f'<Relationship xmlns="{PACKAGE}" Id="rIdT" Type="{OFFICE}/sharedStrings" Target="sharedStrings.xml"/>'
    book.replace("xl/_rels/workbook.xml.rels", "</Relationships>", f"{pointer}</Relationships>")
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    book.replace(TYPES, "</Types>", f'<Override PartName="/{TEXTS}" ContentType="{kind}"/></Types>')


def plain(text):
    """A text of the list."""
    return f'<t xml:space="preserve">{escape(text)}</t>'


def pieces(text):
    """A text of the list in two runs, one of them bold, with a guide to its sound."""
    half = len(text) // 2
    runs = "".join(f"<r><rPr><b/></rPr>{plain(each)}</r>" for each in (text[:half], text[half:]) if each)
    return f'{runs}<rPh sb="0" eb="1"><t>guide</t></rPh>' if runs else plain(text)


def as_excel(book):
    """The marks of Excel: shared texts in runs, attributes of later versions, print settings, an order of reckoning."""
    with_shared_texts(book, runs=True)
    for name in sheets_of(book):
        root = book.tree(name)
        root.set(f"{{{MARKUP}}}Ignorable", "xr")
        root.set(f"{{{REVISION}}}uid", "{00000000-0001-0000-0000-000000000000}")
        for row in root.iter(tag("row")):
            row.attrib.update({"spans": "1:30", "thickBot": "1"})
    book.parts["xl/printerSettings/printerSettings1.bin"] = bytes(range(256))
    book.parts["xl/calcChain.xml"] = f'<calcChain xmlns="{MAIN}"><c r="A1" i="1"/></calcChain>'.encode()
    book.parts["docProps/custom.xml"] = b'<Properties xmlns="urn:x"/>'


def as_google(book):
    """The marks of Google: shared texts, no dimension, a thousand rows of a height of their own, empty drawings."""
    with_shared_texts(book)
    for number, name in enumerate(sheets_of(book), start=1):
        root = book.tree(name)
        for each in root.findall(tag("dimension")):
            root.remove(each)
        data = root.find(tag("sheetData"))
        last = max((int(row.get("r")) for row in data), default=0)
        for row in range(last + 1, 1001):
            made = ET.SubElement(data, tag("row"), {"r": str(row), "ht": "15.75", "customHeight": "1"})
            for letter in "ABC":
                ET.SubElement(made, tag("c"), {"r": f"{letter}{row}", "s": "1"})
        drawing = f"xl/drawings/empty{number}.xml"
        book.parts[drawing] = (
            b'<xdr:wsDr xmlns:xdr="http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing"/>'
        )


def formatted_to_the_last_row(book):
    """A format on every row down to the last one that a sheet has, as after a click on a column's head."""
    data = book.rows("Readings")
    last = int(data[-1].get("r"))
    for row in (*range(last + 1, last + 3_000), LAST_ROW):
        made = ET.SubElement(data, tag("row"), {"r": str(row), "s": "1", "customFormat": "1"})
        ET.SubElement(made, tag("c"), {"r": f"H{row}", "s": "1"})


def of_the_other_calendar(book):
    """The calendar of 1904 with the days counted from there."""
    book.tree(BOOK).find(tag("workbookPr")).set("date1904", "1")
    styles = styles_of(book.parts["xl/styles.xml"], "xl/styles.xml")
    for name in sheets_of(book):
        for cell in book.tree(name).iter(tag("c")):
            value = cell.find(tag("v"))
            if value is not None and cell.get("t", "n") == "n" and styles[int(cell.get("s", "0"))].is_date:
                value.text = str(int(value.text) - 1462)


def whole_numbers_with_a_point(book):
    """Numbers as some generators of reports write them: 7 as 7.0, and with an exponent."""
    for name in sheets_of(book):
        for cell in book.tree(name).iter(tag("c")):
            value = cell.find(tag("v"))
            if value is not None and cell.get("t", "n") == "n":
                value.text = f"{float(value.text):.12E}"


HABITS = {
    "shared texts": with_shared_texts,
    "Excel": as_excel,
    "Google": as_google,
    "a column formatted to the end": formatted_to_the_last_row,
    "the calendar of 1904": of_the_other_calendar,
    "numbers with an exponent": whole_numbers_with_a_point,
}


@pytest.mark.parametrize("habit", HABITS)
def test_a_habit_of_another_program_changes_no_job_and_adds_no_finding(habit):
    book = Surgery(base_content())
    HABITS[habit](book)
    week = week_of(book.content())
    assert week.jobs == sound().jobs
    assert told(week) == told(sound())
    assert week.balance == sound().balance


def resaved():
    """The sound week loaded and saved by a library."""
    stream = io.BytesIO()
    openpyxl.load_workbook(io.BytesIO(base_content())).save(stream)
    return stream.getvalue()


def test_a_week_that_a_library_saved_again_is_the_same_week():
    week = week_of(resaved())
    assert week.jobs == sound().jobs
    assert told(week) == told(sound())


@pytest.mark.long
def test_a_week_that_libreoffice_saved_again_is_the_same_week(tmp_path):
    (tmp_path / "week.xlsx").write_bytes(base_content())
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    command = [str(find_program()), profile, "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir"]
    for _ in range(2):  # a fresh profile asks to be started again
        subprocess.run([*command, str(tmp_path / "back"), str(tmp_path / "week.xlsx")], check=False, timeout=300)
    week = week_of((tmp_path / "back" / "week.xlsx").read_bytes())
    assert week.jobs == sound().jobs
    assert told(week) == told(sound())


def shared_formula(book):
    """One formula over several readings, as filling down makes it: the first cell holds it, the others point at it."""
    numbers = row_numbers("Readings")
    for index, number in enumerate(numbers):
        cell = book.put("Readings", at("Readings", "zs", number), None, f="A1+1" if index == 0 else "", v="0.28")
        formula = cell.find(tag("f"))
        formula.attrib.update({"t": "shared", "si": "0"})
        if index == 0:
            formula.set("ref", f"{at('Readings', 'zs', number)}:{at('Readings', 'zs', numbers[-1])}")
    return len(numbers)


def test_a_shared_formula_is_a_formula_in_each_of_its_cells():
    book = Surgery(base_content())
    count = shared_formula(book)
    week = week_of(book.content())
    found = [each for each in week.findings if each.rule == "cell_holds_a_typed_value"]
    assert {each.job for each in found} == {job.reference for job in week.jobs}
    assert f"row {row_numbers('Readings')[0]} to row {row_numbers('Readings')[-1]}" in found[0].message
    assert count == len(row_numbers("Readings"))
    assert all(row.zs is None for job in week.jobs for row in job.readings)


@pytest.mark.parametrize(
    ("slip", "meant"),
    [("Zs (Ohm)", "Zs (Ω)"), ("Zs Ω", "Zs (Ω)"), ("Z s (Ω)", "Zs (Ω)"), ("RCD tim at I_Δn (ms)", "RCD")],
)
def test_a_slip_in_a_heading_is_refused_with_what_was_probably_meant(slip, meant):
    book = Surgery(base_content())
    attribute = "rcd_time" if slip.startswith("RCD") else "zs"
    book.put("Readings", at("Readings", attribute, 1), slip)
    with pytest.raises(WorkbookRefusedError) as refusal:
        week_of(book.content())
    assert (
        f"Did you mean '{meant}" in f"{refusal.value.message} {refusal.value.remedy}" or meant in refusal.value.message
    )
