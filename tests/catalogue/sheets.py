"""Sheets as people rearrange them: renamed, moved, merged, hidden, sorted, annotated."""

from xml.etree import ElementTree as ET

from pipeline.facts.sheets import BY_TITLE, START
from pipeline.workbook.columns import letter
from tests.catalogue.entry import (
    ACCEPTED,
    FAILS,
    NOTED,
    QUERIED,
    REFUSED,
    Entry,
    Spot,
    Typed,
    type_into,
    typing,
)
from tests.catalogue.surgery import BOOK, MAIN, OFFICE, PACKAGE, TYPES, split, tag
from tests.catalogue.week import JOBS, at, row_numbers

WHITE, RED = '<color rgb="FFFFFFFF"/>', '<patternFill patternType="solid"><fgColor rgb="FFFF0000"/></patternFill>'
SHEET_99 = "xl/worksheets/sheet99.xml"
SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
FREE = letter(len(BY_TITLE["Readings"].row.fields()) + 1)


def sheet_named(old, new):
    """Another name for a sheet."""

    def change(book, spot):
        for each in book.tree(BOOK).iter(tag("sheet")):
            if each.get("name") == old:
                each.set("name", new)

    return change


def without_sheet(title):
    """A sheet deleted."""

    def change(book, spot):
        sheets = book.tree(BOOK).find(tag("sheets"))
        sheets.remove(next(each for each in sheets if each.get("name") == title))

    return change


def more_sheet(title, *values, state="visible"):
    """One more sheet with these values in its first column."""

    def change(book, spot):
        rows = "".join(f"<row r='{n}'><c r='A{n}'><v>{value}</v></c></row>" for n, value in enumerate(values, start=1))
        book.parts["xl/worksheets/sheet99.xml"] = (
            f"<worksheet xmlns='{MAIN}'><sheetData>{rows}</sheetData></worksheet>".encode()
        )
        sheet = {"name": title, "sheetId": "99", "state": state, f"{{{OFFICE}}}id": "rId99"}
        ET.SubElement(book.tree(BOOK).find(tag("sheets")), tag("sheet"), sheet)
        kind = f"{OFFICE}/worksheet"
        book.replace(
            "xl/_rels/workbook.xml.rels",
            "</Relationships>",
            f'<Relationship xmlns="{PACKAGE}" Id="rId99" Type="{kind}" Target="/{SHEET_99}"/></Relationships>',
        )
        book.replace(
            TYPES,
            "</Types>",
            f'<Override PartName="/{SHEET_99}" ContentType="{SHEET_TYPE}"/></Types>',
        )

    return change


def hidden(sheet, *attributes):
    """Columns hidden."""

    def change(book, spot):
        columns = book.sheet(sheet).find(tag("cols"))
        for attribute in attributes:
            number = str(split(at(sheet, attribute, 1))[0])
            for each in columns:
                if int(each.get("min")) <= int(number) <= int(each.get("max")):
                    each.set("hidden", "1")

    return change


def hidden_row(book, spot):
    """The row hidden."""
    book.row(spot.sheet, spot.number).set("hidden", "1")


def hidden_sheet(title, state="hidden"):
    """A sheet hidden."""

    def change(book, spot):
        for each in book.tree(BOOK).iter(tag("sheet")):
            if each.get("name") == title:
                each.set("state", state)

    return change


def looking(attribute, **looks):
    """The value of the cell in another format."""
    return typing(attribute, lambda value: Typed(value, **looks))


def commented(address, words):
    """A comment on a cell besides those that the headings have; `{}` is the row."""

    def change(book, spot):
        pointers = book.part_of(spot.sheet).replace("worksheets/", "worksheets/_rels/") + ".rels"
        target = next(e.get("Target") for e in book.tree(pointers) if e.get("Type").endswith("/comments"))
        listed = book.tree(target.lstrip("/")).find(tag("commentList"))
        made = ET.SubElement(listed, tag("comment"), {"ref": address.format(spot.number), "authorId": "0"})
        ET.SubElement(ET.SubElement(made, tag("text")), tag("t")).text = words

    return change


def merged(attribute, more, sheet=None):
    """A cell merged with those below it, which a spreadsheet empties."""

    def change(book, spot):
        title = sheet or spot.sheet
        first, last = at(title, attribute, spot.number), at(title, attribute, spot.number + more)
        for number in range(spot.number + 1, spot.number + more + 1):
            book.put(title, at(title, attribute, number), None)
        element = ET.Element(tag("mergeCells"))
        ET.SubElement(element, tag("mergeCell"), {"ref": f"{first}:{last}"})
        book.insert(title, "sheetData", element)

    return change


def titles_above(book, spot):
    """Two rows of titles above the headings."""
    for row in book.rows(spot.sheet):
        number = int(row.get("r")) + 2
        row.set("r", str(number))
        for each in row:
            each.set("r", "".join(filter(str.isalpha, each.get("r"))) + str(number))
    book.put(spot.sheet, "A1", "Readings of the week")


def heading(sheet, attribute, words):
    """Another heading."""
    return lambda book, _: book.put(sheet, at(sheet, attribute, 1), words)


def swapped(first, second):
    """Two headings exchanged over their data."""

    def change(book, spot):
        fields = BY_TITLE[spot.sheet].row.fields()
        book.put(spot.sheet, at(spot.sheet, first, 1), fields[second].heading)
        book.put(spot.sheet, at(spot.sheet, second, 1), fields[first].heading)

    return change


def more_column(words, value, *, only_heading=False):
    """A column of the user's own."""

    def change(book, spot):
        if words:
            book.put(spot.sheet, f"{FREE}1", words)
        if not only_heading:
            book.put(spot.sheet, f"{FREE}{spot.number}", value)

    return change


def shifted(book, spot):
    """Cells inserted in the row and all below it: everything stands one column further."""
    fields = list(BY_TITLE[spot.sheet].row.fields())
    start = fields.index("r1_r2")
    for number in [n for n in row_numbers(spot.sheet) if n >= spot.number]:
        row = Spot(spot.sheet, number)
        for before, after in zip(fields[start:-1], fields[start + 1 :], strict=True):
            type_into(book, row, after, row.row.get(before))
        type_into(book, row, "r1_r2", None)


def torn(book, spot):
    """One column sorted by itself."""
    numbers = row_numbers("Readings")
    values = sorted((Spot("Readings", n).row["zs"] for n in numbers), reverse=True)
    for number, value in zip(numbers, values, strict=True):
        type_into(book, Spot("Readings", number), "zs", value)


def apart(rows):
    """Blank rows in front of a row and all below it."""

    def change(book, spot):
        for row in book.rows(spot.sheet):
            number = int(row.get("r"))
            if number >= spot.number:
                row.set("r", str(number + rows))
                for each in row:
                    each.set("r", "".join(filter(str.isalpha, each.get("r"))) + str(number + rows))

    return change


def sorted_with_the_example(book, spot):
    """The whole sheet sorted, so that the example stands last and a job's row in its place."""
    data = book.rows(spot.sheet)
    rows = [row for row in data if int(row.get("r")) >= 2 and any(len(each) for each in row)]
    for number, row in enumerate([*rows[1:], rows[0]], start=2):
        row.set("r", str(number))
        for each in row:
            each.set("r", "".join(filter(str.isalpha, each.get("r"))) + str(number))
    data[:] = sorted(data, key=lambda row: int(row.get("r")))


def emptied(book, spot):
    """A row with the job's reference alone."""
    for attribute in list(spot.row):
        if attribute not in {"job", "board", "circuit"}:
            type_into(book, spot, attribute, None)


def reference_alone(book, spot):
    """One more row on Jobs with a reference and nothing else."""
    number = row_numbers("Jobs")[-1] + 1
    book.put("Jobs", f"A{number}", "LN-900")


def version(value):
    """Another version of the workbook."""
    return lambda book, _: book.put(START, "B3", value)


def protected(book, spot):
    """Sheet and workbook protected against typing."""
    book.insert(spot.sheet, "sheetData", ET.Element(tag("sheetProtection"), {"sheet": "1", "password": "CC1A"}))


def columns_in_another_order(book, spot):
    """The first two columns of a sheet exchanged, headings and all."""
    for row in book.rows(spot.sheet):
        cells = {split(each.get("r"))[0]: each for each in row}
        for number, each in cells.items():
            new = {1: 2, 2: 1}.get(number, number)
            each.set("r", f"{letter(new)}{row.get('r')}")
        row[:] = sorted(row, key=lambda each: split(each.get("r"))[0])


def entry(name, says, sheet, change, verdict, *twins, **more):
    """An entry whose change is not of one cell."""
    return Entry(name, says, sheet, change, verdict, twins=twins, **more)


ENTRIES: list[Entry] = [
    entry(
        "sheet-renamed",
        "A needed sheet with another name.",
        "Readings",
        sheet_named("Readings", "Readings (2)"),
        REFUSED,
    ),
    entry(
        "sheet-name-with-a-blank",
        "A blank behind a sheet's name.",
        "Readings",
        sheet_named("Readings", "Readings "),
        REFUSED,
    ),
    entry(
        "sheet-in-other-case",
        "A sheet's name in other letters.",
        "Readings",
        sheet_named("Readings", "READINGS"),
        REFUSED,
    ),
    entry("sheet-deleted", "A needed sheet deleted.", "Boards", without_sheet("Boards"), REFUSED),
    entry("two-sheets-of-one-name", "Two sheets of one name.", "Readings", more_sheet("Readings", 1), REFUSED),
    entry(
        "two-sheets-that-differ-in-case",
        "Two sheets whose names differ in case alone.",
        "Readings",
        more_sheet("readings", 1),
        REFUSED,
    ),
    entry(
        "unknown-sheet",
        "A sheet that nobody knows, with data.",
        "Readings",
        more_sheet("Retests", 0.62),
        NOTED,
        more_sheet("Sheet2"),
        more_sheet("Sheet3", state="hidden"),
    ),
    entry(
        "hidden-column",
        "A hidden column with readings.",
        "Readings",
        hidden("Readings", "zs"),
        NOTED,
        hidden("Readings", "remarks"),
    ),
    entry(
        "column-drawn-together",
        "A column so narrow that nothing of it shows.",
        "Readings",
        lambda book, _: [
            each.set("width", "0")
            for each in book.sheet("Readings").find(tag("cols"))
            if int(each.get("min")) <= split(at("Readings", "zs", 1))[0] <= int(each.get("max"))
        ],
        NOTED,
    ),
    entry(
        "row-drawn-together",
        "A row so low that nothing of it shows.",
        "Readings",
        lambda book, spot: book.row(spot.sheet, spot.number).attrib.update(ht="0", customHeight="1"),
        NOTED,
    ),
    entry(
        "white-of-the-old-palette",
        "White letters of the old palette.",
        "Readings",
        looking("zs", font='<color indexed="9"/>'),
        QUERIED,
        looking("zs", font='<color indexed="8"/>'),
    ),
    entry(
        "marked-red-in-the-old-palette",
        "Red letters of the old palette.",
        "Readings",
        looking("zs", font='<color indexed="10"/>'),
        QUERIED,
    ),
    entry("hidden-row", "A hidden row with readings.", "Readings", hidden_row, NOTED),
    entry(
        "hidden-sheet",
        "A hidden sheet with readings.",
        "Readings",
        hidden_sheet("Readings"),
        NOTED,
        hidden_sheet("Lists"),
    ),
    entry(
        "very-hidden-sheet",
        "A sheet hidden so that no menu shows it.",
        "Readings",
        hidden_sheet("Readings", "veryHidden"),
        NOTED,
    ),
    entry(
        "blanked-by-format",
        "A format that shows nothing.",
        "Readings",
        looking("zs", code=";;;"),
        QUERIED,
        looking("zs", code="0.00"),
    ),
    entry(
        "blanked-by-blanks", "A format that shows blanks alone.", "Readings", looking("zs", code='" ";" ";" "'), FAILS
    ),
    entry(
        "white-on-white",
        "White letters on white paper.",
        "Readings",
        looking("zs", font=WHITE),
        QUERIED,
        looking("zs", font='<color rgb="FF222222"/>'),
        looking("zs", font=WHITE, fill='<patternFill patternType="solid"><fgColor rgb="FF000000"/></patternFill>'),
    ),
    entry(
        "paper-on-paper",
        "Letters in the colour of their own ground.",
        "Readings",
        looking(
            "zs",
            font='<color rgb="FFDDEEFF"/>',
            fill='<patternFill patternType="solid"><fgColor rgb="FFDDEEFF"/></patternFill>',
        ),
        QUERIED,
    ),
    entry(
        "marked-red",
        "A reading on a red ground.",
        "Readings",
        looking("zs", fill=RED),
        QUERIED,
        looking("zs", fill=RED.replace("FFFF0000", "FFEEEEEE")),
    ),
    entry(
        "struck-through",
        "A reading struck through.",
        "Readings",
        looking("zs", font="<strike/>"),
        QUERIED,
        looking("zs", font='<strike val="0"/>'),
    ),
    entry(
        "comment",
        "A comment on a reading.",
        "Readings",
        commented(f"{at('Readings', 'zs', 1)[:-1]}{{}}", "retest"),
        QUERIED,
        commented(f"{at('Readings', 'zs', 1)[:-1]}800", "far below"),
    ),
    entry(
        "merged-jobs",
        "The job's reference merged over two rows.",
        "Readings",
        merged("job", 1),
        FAILS,
        jobs=("LN-106",),
        rows={"board": "CU"},
    ),
    entry(
        "merged-readings",
        "A reading merged over two circuits.",
        "Readings",
        merged("zs", 1),
        FAILS,
        jobs=("LN-106",),
        rows={"board": "CU"},
    ),
    entry("titles-above", "Rows of titles above the headings.", "Readings", titles_above, REFUSED),
    entry(
        "column-missing", "A needed column without its heading.", "Readings", heading("Readings", "zs", "Z"), REFUSED
    ),
    entry(
        "heading-misspelt",
        "A slip in a heading.",
        "Readings",
        heading("Readings", "r1_r2", "R1+R3 (Ω)"),
        REFUSED,
        heading("Readings", "r1_r2", " r1+r2  (Ω)\n"),
    ),
    entry(
        "heading-in-another-unit",
        "Another unit in a heading.",
        "Readings",
        heading("Readings", "zs", "Zs (mΩ)"),
        REFUSED,
        heading("Readings", "zs", "ZS (\u2126)"),
    ),
    entry("heading-twice", "One heading over two columns.", "Readings", heading("Readings", "r2", "Zs (Ω)"), REFUSED),
    entry(
        "heading-blank", "Data without a heading.", "Readings", more_column("", 0.62), REFUSED, more_column("", None)
    ),
    entry(
        "unknown-column",
        "A column of the user's own.",
        "Readings",
        more_column("Weather", "rain"),
        NOTED,
        more_column("Weather", None, only_heading=True),
    ),
    entry(
        "headings-swapped",
        "Two headings exchanged over their data.",
        "Readings",
        swapped("r1_r2", "zs"),
        FAILS,
        holds=JOBS,
        jobs=("LN-101",),
    ),
    entry(
        "cells-shifted",
        "Cells inserted from a row downwards.",
        "Readings",
        shifted,
        QUERIED,
        jobs=("LN-101",),
        holds=JOBS,
    ),
    entry(
        "torn-rows",
        "One column sorted by itself.",
        "Readings",
        torn,
        FAILS,
        jobs=("LN-101",),
        holds=("LN-101", "LN-103"),
    ),
    entry("blank-rows", "Blank rows between jobs.", "Readings", apart(3), ACCEPTED, apart(40)),
    entry("long-gap", "Hundreds of blank rows between jobs.", "Readings", apart(600), NOTED, jobs=JOBS[1:]),
    entry("row-without-readings", "A row that says what was tested and no more.", "Readings", emptied, FAILS),
    entry(
        "reference-alone",
        "A job of which there is the reference alone.",
        "Jobs",
        reference_alone,
        FAILS,
        holds=("LN-900",),
        jobs=("LN-109",),
    ),
    entry("older-version", "A workbook of another version.", "Jobs", version("0"), REFUSED, version(1), version(" 1 ")),
    entry("no-version", "A workbook without its version.", "Jobs", version(None), REFUSED),
    entry("protected", "Protection against typing.", "Readings", protected, ACCEPTED),
    entry(
        "sorted-with-example", "The sheet sorted, its example with it.", "Readings", sorted_with_the_example, ACCEPTED
    ),
    entry("columns-moved", "Columns in another order.", "Readings", columns_in_another_order, ACCEPTED),
    entry(
        "issue-date-typed",
        "A date of issue in a column of the user's own.",
        "Readings",
        more_column("Date of issue", "24/11/2026"),
        NOTED,
    ),
    entry(
        "number-typed",
        "A certificate number in a column of the user's own.",
        "Readings",
        more_column("Certificate no.", "LN0042"),
        FAILS,
        more_column("Certificate no.", None),
    ),
]
