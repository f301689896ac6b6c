"""Workbooks as admins keep them, and what has to be true of every file that Excel shall open without a question."""

import io
import posixpath
import re
import zipfile

from defusedxml.ElementTree import fromstring
from openpyxl import load_workbook
from openpyxl.cell.rich_text import CellRichText
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.drawing.image import Image as Picture
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import PatternFill
from openpyxl.worksheet.datavalidation import DataValidation
from PIL import Image

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Verdict
from pipeline.workbook.write import write_workbook
from tests.workbook.spoilt import sound_rows
from tests.workbook.strange import replaced, rewritten

REL = "{http://schemas.openxmlformats.org/package/2006/relationships}Relationship"
# ECMA-376-1, 18.3.1.99: the order in which a sheet's parts have to stand
SEQUENCE = (
    "sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetCalcPr", "sheetProtection",
    "protectedRanges", "scenarios", "autoFilter", "sortState", "dataConsolidate", "customSheetViews", "mergeCells",
    "phoneticPr", "conditionalFormatting", "dataValidations", "hyperlinks", "printOptions", "pageMargins",
    "pageSetup", "headerFooter", "rowBreaks", "colBreaks", "customProperties", "cellWatches", "ignoredErrors",
    "smartTags", "drawing", "legacyDrawing", "legacyDrawingHF", "drawingHF", "picture", "oleObjects", "controls",
    "webPublishItems", "tableParts", "extLst",
)  # fmt: skip


# ECMA-376-1, 18.2.27 and 18.8.39: the same for the workbook and its styles
WORKBOOK_SEQUENCE = (
    "fileVersion", "fileSharing", "workbookPr", "workbookProtection", "bookViews", "sheets", "functionGroups",
    "externalReferences", "definedNames", "calcPr", "oleSize", "customWorkbookViews", "pivotCaches", "smartTagPr",
    "smartTagTypes", "webPublishing", "fileRecoveryPr", "webPublishObjects", "extLst",
)  # fmt: skip
STYLE_SEQUENCE = (
    "numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs", "tableStyles", "colors",
    "extLst",
)  # fmt: skip


def week(tmp_path):
    """A sound week of one job as the program writes it."""
    path = tmp_path / "week.xlsx"
    write_workbook(path, sound_rows())
    return path.read_bytes()


def kept(tmp_path):
    """The same week after an admin has made it her own: formats, comments, a formula, a sheet, an open tab."""
    book = load_workbook(io.BytesIO(week(tmp_path)))
    page = book["Readings"]
    page["L3"].fill = PatternFill("solid", start_color="FFFF99")
    page["L3"].comment = Comment("rang Bo about this one", "office", height=90, width=200)
    page["E1"].comment = Comment("my own note\n  with a gap", "office")
    rule = FormulaRule(formula=["$L3>1"], fill=PatternFill("solid", end_color="AAAAAA"))
    page.conditional_formatting.add("A3:Z9", rule)
    page["AZ1"], page["AZ3"] = "my column", "=L3*2"
    extra = book.create_sheet("My sheet", 0)
    extra["B2"] = CellRichText("plain ", "text")
    extra["B3"] = "=1+1"
    extra["B3"].comment = Comment("only mine", "me")
    book["Jobs"].print_area = "A1:F9"
    book.active = book.sheetnames.index("Readings")
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def drawn(content):
    """The same with a picture, a chart, a drop-down, a link, merged cells, a note to print and a protected sheet."""
    book = load_workbook(io.BytesIO(content))
    page = book["Readings"]
    picture = io.BytesIO()
    Image.new("RGB", (40, 30), (31, 78, 95)).save(picture, "PNG")
    page.add_image(Picture(picture), "BA5")
    chart = BarChart()
    chart.add_data(Reference(page, min_col=12, min_row=1, max_row=4), titles_from_data=True)
    page.add_chart(chart, "BA20")
    choice = DataValidation("list", formula1='"yes,no"')
    choice.add("AZ4:AZ9")
    page.add_data_validation(choice)
    page["AZ5"].hyperlink = "https://example.com/site-sheet"
    book["My sheet"].merge_cells("D2:E4")
    book["My sheet"].protection.sheet = True
    book["My sheet"].oddHeader.center.text = "mine"
    book["My sheet"].freeze_panes = "B2"
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def with_extensions(content):
    """A drop-down of the newer kind, which openpyxl drops."""
    name = sheet_part(content, "Readings")
    return replaced(
        content, name, b"</worksheet>",
        b'<extLst><ext uri="{CCE6A557-97BC-4b89-ADB6-D9C93CAAB3DF}" '
        b'xmlns:x14="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main"><x14:dataValidations count="1"/>'
        b"</ext></extLst></worksheet>",
    )  # fmt: skip


def with_runs(content):
    """A comment in two styles, as Excel writes it."""
    for name, part in parts(content).items():
        if b"rang Bo" in part:
            old = re.search(rb"<t[^<>]*>rang Bo about this one</t>", part)[0]
            new = b'<r><rPr><b/><sz val="9"/></rPr><t>office:</t></r><r><t xml:space="preserve">\nrang Bo</t></r>'
            return rewritten(content, name, lambda each, old=old, new=new: each.replace(old, new))
    raise AssertionError


def with_thread(content, cell="L3"):
    """A comment with answers on one cell of the readings."""
    name = sheet_part(content, "Readings")
    rels = posixpath.join(posixpath.dirname(name), "_rels", f"{posixpath.basename(name)}.rels")
    kind = b"http://schemas.microsoft.com/office/2017/10/relationships/threadedComment"
    pointer = b'<Relationship Id="rThread" Type="%s" Target="/xl/threadedComments/t1.xml"/></Relationships>' % kind
    thread = (
        '<ThreadedComments xmlns="http://schemas.microsoft.com/office/spreadsheetml/2018/threadedcomments">'
        f'<threadedComment ref="{cell}" id="{{0}}"><text>why?</text></threadedComment></ThreadedComments>'
    )
    content = rewritten(content, extra=[("xl/threadedComments/t1.xml", thread.encode())])
    return replaced(content, rels, b"</Relationships>", pointer)


def prefixed(content, title="Readings"):
    """A sheet whose writer gives every element a prefix."""
    name = sheet_part(content, title)

    def change(part):
        part = re.sub(rb"<(/?)(?=[A-Za-z])", rb"<\1x:", part)
        return part.replace(b"xmlns=", b"xmlns:x=", 1)

    return rewritten(content, name, change)


def parts(content):
    """Every part by its name."""
    with zipfile.ZipFile(io.BytesIO(content)) as book:
        return {name: book.read(name) for name in book.namelist()}


def sheet_part(content, title):
    """The part that holds a sheet."""
    given = parts(content)
    pointer = re.search(rf'name="{title}"[^<>]*?r:id="(\w+)"'.encode(), given["xl/workbook.xml"])[1].decode()
    for each in fromstring(given["xl/_rels/workbook.xml.rels"]).iter(REL):
        if each.get("Id") == pointer:
            return posixpath.join("/xl", each.get("Target")).lstrip("/")
    raise AssertionError(title)


def assert_sound(content):
    """Whatever makes Excel offer a repair is absent: loose pointers, untyped or doubled parts, parts out of order."""
    given = parts(content)
    types = fromstring(given["[Content_Types].xml"])
    named = [each.get("PartName").lstrip("/") for each in types if each.get("PartName")]
    assert len(named) == len(set(named))
    assert set(named) <= set(given)
    endings = {each.get("Extension") for each in types if each.get("Extension")}
    for name, part in given.items():
        assert name in named or name.rpartition(".")[2] in endings or name == "[Content_Types].xml", name
        if name.endswith(".rels"):
            folder = posixpath.dirname(posixpath.dirname(name))
            ids = [each.get("Id") for each in fromstring(part)]
            assert len(ids) == len(set(ids)), name
            for each in fromstring(part):
                inside = posixpath.normpath(posixpath.join("/", folder, each.get("Target"))).lstrip("/")
                assert each.get("TargetMode") == "External" or inside in given, name
        if name.startswith("xl/worksheets/") and name.endswith(".xml"):
            _assert_sheet(part, given["xl/styles.xml"], name)
        if name.endswith((".xml", ".vml", ".rels")):
            fromstring(part)
    _assert_comments(given)
    _assert_links(given)
    book = fromstring(given["xl/workbook.xml"])
    _assert_order(book, WORKBOOK_SEQUENCE)
    _assert_order(fromstring(given["xl/styles.xml"]), STYLE_SEQUENCE)
    named = [(each.get("name"), each.get("localSheetId")) for each in book.iter() if local(each).endswith("Name")]
    assert len(named) == len(set(named))
    entries = next(each for each in book if each.tag.endswith("sheets"))
    for attribute in ("name", "sheetId"):
        assert len({each.get(attribute) for each in entries}) == len(entries)


def local(element):
    """The name of an element without its namespace."""
    return element.tag.rpartition("}")[2]


def _assert_order(root, sequence):
    """The children of a root in the order that the schema gives them."""
    places = [sequence.index(local(each)) for each in root]
    assert places == sorted(places), local(root)


def _assert_comments(given):
    """Each comment has its author and its own box, and boxes have numbers of their own."""
    for name, part in given.items():
        folder, file = posixpath.split(name)
        if not name.endswith(".rels") or "worksheets" not in folder:
            continue
        targets = {
            each.get("Type").rpartition("/")[2]: posixpath.normpath(
                posixpath.join("/", posixpath.dirname(folder), each.get("Target"))
            ).lstrip("/")
            for each in fromstring(part)
        }
        if "comments" not in targets:
            continue
        words, boxes = (fromstring(given[targets[each]]) for each in ("comments", "vmlDrawing"))
        authors = sum(local(each) == "author" for each in words.iter())
        told = [each for each in words.iter() if local(each) == "comment"]
        assert all(int(each.get("authorId")) < authors for each in told), file
        assert len({each.get("ref") for each in told}) == len(told), file
        numbers = [each.get("id") for each in boxes if local(each) == "shape"]
        assert len(numbers) == len(set(numbers)) == len(told), file


def _assert_links(given):
    """Each link within the workbook leads to a sheet that is there."""
    titles = {each.get("name") for each in fromstring(given["xl/workbook.xml"]).iter() if local(each) == "sheet"}
    for name, part in given.items():
        if name.startswith("xl/worksheets/") and name.endswith(".xml"):
            for each in fromstring(part).iter():
                if local(each) == "hyperlink" and each.get("location"):
                    sheet, _, cell = each.get("location").rpartition("!")
                    assert sheet.strip("'").replace("''", "'") in titles
                    assert re.fullmatch(r"[A-Z]+[0-9]+(:[A-Z]+[0-9]+)?", cell)


def _assert_sheet(part, styles, name):
    """One sheet: its parts in their order, its formats known, the ranks of its conditional formats apart."""
    root = fromstring(part)
    order = [SEQUENCE.index(each.tag.rpartition("}")[2]) for each in root]
    assert order == sorted(order), name
    ranks = [each.get("priority") for each in root.iter() if each.tag.endswith("}cfRule")]
    assert len(ranks) == len(set(ranks)), name
    known = fromstring(styles)
    lists = {each.tag.rpartition("}")[2]: each for each in known}
    for title, entries in lists.items():
        assert int(entries.get("count") or len(entries)) == len(entries), title
    for each in root.iter():
        if each.tag.endswith("}c"):
            assert int(each.get("s", 0)) < len(lists["cellXfs"])
        if each.tag.endswith("}cfRule") and each.get("dxfId"):
            assert int(each.get("dxfId")) < len(lists["dxfs"])


def found(cell="L3", verdict=Verdict.FAIL, message="Zs is too large.", sheet="Readings", **more):
    """A finding at one cell."""
    given = {"found": "2.37 Ω", "expected": "at most 0.87 Ω", "remedy": "Measure again.", "reference": "clause 1"}
    return Finding(
        "zs_is_within_its_limit", verdict, "LN-101", "Board CU", message, (Place(sheet, cell),), **(given | more)
    )
