"""A marked copy says everything at its cell; taken out again, the marks leave nothing behind."""

import io
import re

import pytest
from defusedxml.ElementTree import fromstring
from openpyxl import load_workbook

from pipeline.errors import WorkbookRefusedError
from pipeline.facts.field import Place
from pipeline.facts.findings import Verdict
from pipeline.facts.questions import Question
from pipeline.workbook.child import open_workbook
from pipeline.workbook.corrections.listing import HEADING_ROW, Group
from pipeline.workbook.corrections.mark import marked_copy
from pipeline.workbook.corrections.notes import BEGIN
from pipeline.workbook.corrections.unmark import remove_marks
from pipeline.workbook.texts import unescape
from tests.workbook.corrections import admins
from tests.workbook.corrections.admins import assert_sound, found, parts, sheet_part
from tests.workbook.strange import plain, rewritten

KINDS = {
    "as written": admins.week,
    "made her own": admins.kept,
    "pictures, charts, links": lambda path: admins.drawn(admins.kept(path)),
    "newer drop-downs": lambda path: admins.with_extensions(admins.kept(path)),
    "comment in two styles": lambda path: admins.with_runs(admins.kept(path)),
    "comment with answers": lambda path: admins.with_thread(admins.kept(path)),
    "elements with a prefix": lambda path: admins.prefixed(admins.kept(path)),
}
MANY = (
    found(),
    found("E1", Verdict.NOTE, "The heading is odd."),
    found("L3", Verdict.QUERY, "Zs is above the sum of its parts."),
    found("M3:M4", Verdict.QUERY),
    found("B3", Verdict.NOT_ASSESSED, "Nothing to judge."),
    found("A3", sheet="Jobs"),
    found("B3", sheet="My sheet"),
    found("C7", sheet="People in firm.xlsx"),
    found("", sheet="Photos"),
)


@pytest.fixture(params=KINDS)
def source(request, tmp_path):
    return KINDS[request.param](tmp_path)


def marked(source, *findings, questions=()):
    return marked_copy(source, [Group("Job LN-101 · held", findings or MANY)], questions)


def test_mark_and_unmark_give_every_part_back_byte_for_byte(source):
    copy = marked(source)
    assert parts(copy) != parts(source)
    assert parts(remove_marks(copy)) == parts(source)


def test_a_marked_copy_is_a_file_that_excel_opens_without_a_question(source):
    assert_sound(marked(source))
    assert_sound(remove_marks(marked(source)))


def test_what_is_read_of_a_copy_is_what_is_read_of_the_workbook(source):
    assert open_workbook(marked(source)) == open_workbook(source)


def test_a_file_without_marks_comes_back_as_it_is(source):
    assert remove_marks(source) is source


def test_marks_of_an_earlier_copy_are_replaced(source):
    again = marked(marked(source), found("A3"))
    assert parts(again) == parts(marked(source, found("A3")))


def test_marks_are_known_again_after_another_program_has_saved_the_copy(tmp_path):
    source = admins.kept(tmp_path)
    stream = io.BytesIO()
    load_workbook(io.BytesIO(marked(source))).save(stream)
    assert BEGIN.encode() in b"".join(parts(stream.getvalue()).values())
    assert open_workbook(stream.getvalue()) == open_workbook(source)
    assert_sound(remove_marks(stream.getvalue()))
    left = b"".join(parts(remove_marks(stream.getvalue())).values())
    assert BEGIN.encode() not in left
    assert b"handover mark" not in left


def test_a_mark_lies_on_top_of_every_other_format_and_leaves_the_cell_its_own(tmp_path):
    source = admins.kept(tmp_path)
    page, before = (load_workbook(io.BytesIO(each))["Readings"] for each in (marked(source), source))
    rules = sorted(
        (rule for rules in page.conditional_formatting for rule in rules.rules), key=lambda each: each.priority
    )
    assert ["handover mark" in rule.formula[0] for rule in rules][:3] == [True, True, True]
    assert [rule.formula for rule in rules if "handover mark" not in rule.formula[0]] == [
        rule.formula
        for rule in sorted(
            (rule for rules in before.conditional_formatting for rule in rules.rules), key=lambda each: each.priority
        )
    ]
    assert page["L3"].fill.start_color.rgb == "00FFFF99"
    assert page["L3"].value == before["L3"].value


def test_depths_differ_in_ground_and_in_the_line_around_the_cell(tmp_path):
    page = load_workbook(io.BytesIO(marked(admins.week(tmp_path))))["Readings"]
    looks = {
        str(area.sqref): (rule.dxf.fill.bgColor.rgb, rule.dxf.border.left.style)
        for area in page.conditional_formatting
        for rule in area.rules
        if "handover mark" in rule.formula[0]
    }
    assert set(looks) == {"L3", "B3 M3:M4", "E1"}
    assert len({ground for ground, _ in looks.values()}) == len({line for _, line in looks.values()}) == 3


def test_what_was_found_stands_below_the_admins_own_words(tmp_path):
    page = load_workbook(io.BytesIO(marked(admins.with_runs(admins.kept(tmp_path)))))["Readings"]
    words = page["L3"].comment.text
    assert words.startswith("office:\nrang Bo\n----")
    for part in ("F  fail", "Zs is too large.", "2.37 Ω", "at most 0.87 Ω", "Measure again.", "clause 1", "Q  query"):
        assert part in words
    assert words.index("F  fail") < words.index("Q  query")
    assert page["E1"].comment.text.startswith("my own note\n  with a gap\n----")
    assert page["M3"].comment is not None
    assert page["M4"].comment is None


def test_every_finding_is_listed_with_a_link_to_its_cells(tmp_path):
    book = load_workbook(io.BytesIO(marked(admins.kept(tmp_path))))
    assert book.sheetnames[0] == "Corrections"
    page = book["Corrections"]
    leads = {row[0].value: row[0].hyperlink.location for row in page.iter_rows(min_row=5) if row[0].hyperlink}
    assert leads["Readings L3"] == "'Readings'!L3"
    assert leads["Readings M3:M4"] == "'Readings'!M3:M4"
    assert leads["My sheet B3"] == "'My sheet'!B3"
    assert leads["Photos"] == "'Photos'!A1"
    listed = [row[0].value for row in page.iter_rows(min_row=5)]
    assert "People in firm.xlsx C7" in listed
    assert "People in firm.xlsx C7" not in leads


def test_a_finding_with_many_cells_leads_to_each_of_them(tmp_path):
    places = tuple(Place("Readings", each) for each in ("D3", "E3", "F3", "H3", "H4", "J9"))
    many = found(message="Six cells.")
    page = load_workbook(io.BytesIO(marked(admins.week(tmp_path), type(many)(**{**vars_of(many), "places": places}))))[
        "Corrections"
    ]
    leads = [row[0].hyperlink.location for row in page.iter_rows(min_row=5) if row[0].hyperlink]
    assert leads == ["'Readings'!D3:F3", "'Readings'!H3:H4", "'Readings'!J9"]


def vars_of(finding):
    return {name: getattr(finding, name) for name in finding.__dataclass_fields__}


@pytest.mark.parametrize("text", ["=1+1", "+cmd|' /C calc'!A0", "-2", "@SUM(A1)", "=HYPERLINK(1)"])
def test_no_text_of_a_finding_becomes_a_formula(tmp_path, text):
    copy = marked(admins.week(tmp_path), found(message=text, found=text, expected=text, remedy=text, reference=text))
    given = parts(copy)["xl/worksheets/corrections.xml"]
    assert b"<f" not in given.replace(b"<font", b"")
    row = [cell.value for cell in load_workbook(io.BytesIO(copy))["Corrections"][HEADING_ROW + 2]]
    assert row[3:] == [text] * 5
    assert all(
        cell.data_type == "s" for cell in load_workbook(io.BytesIO(copy))["Corrections"][HEADING_ROW + 2] if cell.value
    )


def test_odd_characters_of_a_finding_do_no_harm(tmp_path):
    odd = "a\x00b\ud800<c>&\"'_x0041_ ]]> \u202e"
    source = admins.week(tmp_path)
    copy = marked(source, found(message=odd, found=odd))
    assert_sound(copy)
    told = load_workbook(io.BytesIO(copy))["Corrections"][f"D{HEADING_ROW + 2}"].value
    assert "<c>&\"'_x0041_ ]]>" in unescape(told)
    assert parts(remove_marks(copy)) == parts(source)


def test_the_workbook_opens_on_the_corrections_alone(tmp_path):
    given = parts(marked(admins.kept(tmp_path)))
    chosen = [name for name, part in given.items() if re.search(rb'tabSelected="1"', part)]
    assert chosen == ["xl/worksheets/corrections.xml"]
    assert load_workbook(io.BytesIO(marked(admins.kept(tmp_path)))).active.title == "Corrections"


def test_an_admins_own_sheet_of_corrections_stays(tmp_path):
    book = load_workbook(io.BytesIO(admins.week(tmp_path)))
    book.create_sheet("corrections")["A1"] = "mine"
    stream = io.BytesIO()
    book.save(stream)
    copy = marked(stream.getvalue())
    assert load_workbook(io.BytesIO(copy)).sheetnames[0] == "Corrections 2"
    assert parts(remove_marks(copy)) == parts(stream.getvalue())


def test_print_areas_follow_their_sheets(tmp_path):
    book = load_workbook(io.BytesIO(marked(admins.kept(tmp_path))))
    assert book["Jobs"].print_area == "'Jobs'!$A$1:$F$9"


def test_a_cell_under_discussion_is_told_in_the_list_alone(tmp_path):
    book = load_workbook(io.BytesIO(marked(admins.with_thread(admins.kept(tmp_path)))))
    assert "----" not in book["Readings"]["L3"].comment.text
    told = [str(cell.value) for row in book["Corrections"].iter_rows() for cell in row]
    assert any("Readings L3 is under discussion" in each for each in told)


def test_what_a_copy_cannot_keep_is_named_in_it(tmp_path):
    source = rewritten(admins.week(tmp_path), extra=[("_xmlsignatures/sig1.xml", b"<Signature/>")])
    told = [
        str(cell.value) for row in load_workbook(io.BytesIO(marked(source)))["Corrections"].iter_rows() for cell in row
    ]
    assert any("digital signature" in each for each in told)


def test_a_bare_workbook_without_formats_is_marked_as_well():
    source = plain()
    copy = marked(source, found("B2", sheet="Sheet"))
    assert_sound(copy)
    assert parts(remove_marks(copy)) == parts(source)


def test_a_week_without_findings_has_a_copy_that_says_so(tmp_path):
    copy = marked_copy(admins.week(tmp_path), [])
    told = [str(cell.value) for row in load_workbook(io.BytesIO(copy))["Corrections"].iter_rows() for cell in row]
    assert "Nothing to correct." in told


@pytest.mark.parametrize("content", [b"", b"Job;Client\n", b"PK\x03\x04 broken", b"%PDF-1.7"])
def test_a_hostile_or_broken_file_gets_no_copy(content):
    with pytest.raises(WorkbookRefusedError):
        marked_copy(content, [])
    with pytest.raises(WorkbookRefusedError):
        remove_marks(content)


def test_an_entity_in_a_marked_sheet_is_refused(tmp_path):
    copy = marked(admins.week(tmp_path))
    name = sheet_part(copy, "Readings")
    bomb = rewritten(copy, name, lambda part: b'<!DOCTYPE x [<!ENTITY a "b">]>' + part)
    with pytest.raises(WorkbookRefusedError):
        open_workbook(bomb)


def test_questions_become_rows_below_the_answers_that_are_there(tmp_path):
    asked = [Question("LN-101", "Board CU: Zs is high.", "0123456789abcdef"), Question("LN-101", "x <&> y", "f" * 16)]
    first = marked(admins.week(tmp_path), questions=asked[:1])
    answered = load_workbook(io.BytesIO(remove_marks(first)))
    answered["Answers"]["D3"] = "BWD"
    stream = io.BytesIO()
    answered.save(stream)
    second = marked(stream.getvalue(), questions=asked)
    assert_sound(second)
    rows = list(load_workbook(io.BytesIO(remove_marks(second)))["Answers"].iter_rows(min_row=3, values_only=True))
    assert rows == [
        ("LN-101", "Board CU: Zs is high.", "0123456789abcdef", "BWD", None, None),
        ("LN-101", "x <&> y", "f" * 16, None, None, None),
    ]
    (table,) = load_workbook(io.BytesIO(second))["Answers"].tables.values()
    assert table.ref == "A1:F4"
    again = marked(second, questions=asked)
    assert parts(remove_marks(again)) == parts(remove_marks(second))


def test_a_question_stands_in_a_row_tall_enough_for_it(tmp_path):
    asked = [Question("LN-101", "word " * 60, "0123456789abcdef"), Question("LN-101", "short", "f" * 16)]
    page = load_workbook(io.BytesIO(marked(admins.week(tmp_path), questions=asked)))["Answers"]
    assert page.row_dimensions[3].height > 3 * page.row_dimensions[4].height


def test_formatted_but_empty_rows_of_the_answers_are_used(tmp_path):
    source = admins.week(tmp_path)
    name = sheet_part(source, "Answers")
    empty = b'<row r="3" ht="20"/><row r="4"><c r="A4" s="1"/></row><row r="9"/></sheetData>'
    source = rewritten(source, name, lambda part: part.replace(b"</sheetData>", empty))
    asked = [Question("LN-101", f"question {number}", f"{number:016}") for number in range(5)]
    root = fromstring(parts(marked(source, questions=asked))[name])
    numbers = [int(each.get("r")) for each in root.iter() if each.tag.endswith("}row")]
    assert numbers == [1, 2, 3, 4, 5, 6, 7, 9]
