"""What each kind of typed value is taken for: the verdicts of the trade, one cell at a time."""

import pytest

from pipeline.facts.field import Mark
from pipeline.facts.quantities import magnitude, quantity
from pipeline.workbook.cells import Cell, Content, Look
from tests.workbook.spoilt import JOB, place, spoil, told

T, N, D = Content.TEXT, Content.NUMBER, Content.DATE


def number(value, form="General"):
    return Cell(N, str(value), form)


# sheet, attribute, what is typed, the verdict, the rule that says so
CASES = [
    # figures
    ("Readings", "zs", "0.62", "note", "number_is_typed_as_number"),
    ("Readings", "zs", " 0.62\n", "note", "number_is_typed_as_number"),
    ("Readings", "zs", "\u00a00.62", "note", "number_is_typed_as_number"),
    ("Readings", "zs", "0,62", "note", "number_is_typed_as_number"),
    ("Readings", "zs", "0.62 Ω", "note", "unit_is_the_columns"),
    ("Readings", "zs", "0.62 \u2126", "note", "unit_is_the_columns"),
    ("Readings", "zs", "620 mΩ", "note", "unit_is_the_columns"),
    ("Readings", "zs", "620 MΩ", "fail", "number_is_possible"),
    ("Readings", "zs", "620 V", "fail", "unit_is_the_columns"),
    ("Readings", "zs", "620 mohm", "fail", "cell_is_a_number"),
    ("Readings", "zs", number("0.62", "0.0"), "note", "number_is_shown_as_held"),
    ("Readings", "zs", number("620", '0.00," kΩ"'), "fail", "number_is_shown_as_held"),
    ("Readings", "zs", number("620", "0,"), "fail", "number_is_shown_as_held"),
    ("Readings", "zs", number("0.62", "0%"), "fail", "number_is_shown_as_held"),
    ("Accuracies", "percent", number("0.03", "0%"), "note", "number_is_shown_as_held"),
    ("Readings", "zs", Cell(D, "14:52:48", "h:mm:ss"), "fail", "number_is_no_date"),
    ("Readings", "zs", True, "fail", "cell_holds_a_typed_value"),
    ("Readings", "zs", Cell(Content.FORMULA, "=0.31+0.31", cached="0.1"), "fail", "cell_holds_a_typed_value"),
    ("Readings", "zs", Cell(Content.ERROR, "#REF!"), "fail", "cell_holds_no_error"),
    ("Readings", "zs", number("1e400"), "fail", "cell_is_a_number"),
    ("Readings", "zs", "1e400", "fail", "cell_is_a_number"),
    ("Readings", "zs", "9" * 400, "fail", "cell_is_a_number"),
    ("Readings", "zs", "1e3", "fail", "cell_is_a_number"),
    ("Readings", "zs", "1_000", "fail", "cell_is_a_number"),
    ("Readings", "zs", "nan", "fail", "cell_holds_no_placeholder"),
    ("Readings", "zs", -0.5, "fail", "number_is_possible"),
    ("Readings", "zs", 0, "query", "number_is_usual"),
    ("Readings", "r1_r2", 0, "query", "number_is_usual"),
    ("Readings", "zs", ">999", "fail", "reading_mark_is_allowed"),
    ("Readings", "r1_r2", ">20", "fail", "reading_mark_is_allowed"),
    ("Readings", "insulation_ll", "> 999", "note", "reading_sign_is_kept"),
    ("Readings", "insulation_ll", ">=500", "note", "reading_sign_is_kept"),
    ("Readings", "insulation_ll", "≥999", "note", "reading_sign_is_kept"),
    ("Readings", "insulation_ll", ">1 GΩ", "note", "unit_is_the_columns"),
    ("Readings", "insulation_ll", "<1", "fail", "reading_mark_is_allowed"),
    ("Readings", "r1_r2", "<0.05", "note", "reading_sign_is_kept"),
    ("Readings", "zs", "LIM", "fail", "limitation_has_a_reason"),
    ("Readings", "polarity", "LIM", "fail", "choice_is_in_the_list"),
    ("Readings", "insulation_voltage", "N/A", "fail", "cell_is_a_number"),
    ("Readings", "zs", "1,250", "query", "number_is_clear"),
    ("Readings", "zs", "1 250", "query", "number_is_clear"),
    ("Readings", "zs", "1\u00a0250", "query", "number_is_clear"),
    ("Readings", "zs", "1,250.5", "query", "number_is_clear"),
    ("Readings", "zs", "1.250,5", "query", "number_is_clear"),
    ("Readings", "zs", "O.62", "fail", "cell_is_a_number"),
    ("Readings", "zs", "l.2", "fail", "cell_is_a_number"),
    ("Readings", "zs", "0.6 2", "fail", "cell_is_a_number"),
    ("Readings", "zs", "0..62", "fail", "cell_is_a_number"),
    ("Readings", "zs", "\u22120.62", "fail", "cell_is_a_number"),
    ("Readings", "zs", "０．６２", "fail", "cell_is_a_number"),
    ("Readings", "zs", "١٢", "fail", "cell_is_a_number"),
    ("Circuits", "device_poles", 1.5, "fail", "number_is_whole"),
    # placeholders
    *(("Readings", "zs", filler, "fail", "cell_holds_no_placeholder") for filler in "-–.?" + '"'),
    *(
        ("Readings", "zs", filler, "fail", "cell_holds_no_placeholder")
        for filler in ("tbc", "TBC", "as before", "ditto", "...", "None", "NULL", "n/k")
    ),
    *(
        ("Jobs", "extent", filler, "fail", "cell_holds_no_placeholder")
        for filler in ("-", "tbc", "None", "NULL", "nan")
    ),
    ("Jobs", "extent", Cell(Content.ERROR, "#N/A"), "fail", "cell_holds_no_error"),
    # how a cell looks
    ("Readings", "zs", Cell(N, "0.32", ";;;", (Look.BLANKED,)), "query", "cell_is_plain_to_see"),
    ("Readings", "zs", Cell(N, "0.32", "General", (Look.INVISIBLE,)), "query", "cell_is_plain_to_see"),
    ("Readings", "zs", Cell(N, "0.32", "General", (Look.STRUCK,)), "query", "cell_is_plain_to_see"),
    ("Readings", "zs", Cell(N, "0.32", "General", (Look.RED,)), "query", "cell_is_plain_to_see"),
    # choices
    ("Inspections", "intake", "✓", "query", "choice_is_in_the_list"),
    ("Inspections", "intake", "x", "query", "choice_is_in_the_list"),
    ("Inspections", "intake", "Y", "query", "choice_is_in_the_list"),
    ("Inspections", "intake", 1, "query", "choice_is_in_the_list"),
    ("Inspections", "intake", "Pass", "note", "choice_is_in_the_list"),
    ("Inspections", "intake", "satisfactory", "fail", "choice_is_in_the_list"),
    ("Supplies", "looped", "maybe", "fail", "choice_is_in_the_list"),
    ("People", "roles", ",", "fail", "choice_is_in_the_list"),
    ("People", "roles", "design, constructing", "fail", "choice_is_in_the_list"),
    # dates
    ("Jobs", "surveyed", "21/10/2026", "note", "date_is_typed_as_date"),
    ("Jobs", "surveyed", "2026-10-21", "note", "date_is_typed_as_date"),
    ("Jobs", "surveyed", "21 October 2026", "note", "date_is_typed_as_date"),
    ("Jobs", "surveyed", "21st Oct 2026", "note", "date_is_typed_as_date"),
    ("Jobs", "surveyed", "04/03/26", "query", "date_is_complete"),
    ("Jobs", "surveyed", "31/02/2026", "fail", "date_is_possible"),
    ("Jobs", "surveyed", "2026-13-01", "fail", "date_is_possible"),
    ("Jobs", "surveyed", "10/21/2026", "fail", "date_is_possible"),
    ("Jobs", "surveyed", Cell(D, "2026-10-21T23:59:59"), "note", "date_is_a_day"),
    ("Jobs", "surveyed", Cell(D, "serial 60"), "fail", "date_is_possible"),
    ("Jobs", "surveyed", Cell(D, "14:52:48"), "fail", "date_is_possible"),
    ("Jobs", "surveyed", Cell(D, "1905-07-18"), "fail", "date_is_in_its_time"),
    ("Jobs", "surveyed", 2026, "fail", "cell_is_a_date"),
    ("Jobs", "surveyed", 46085, "fail", "cell_is_a_date"),
    ("Jobs", "surveyed", "last week", "fail", "cell_is_a_date"),
    ("Jobs", "surveyed", "tbc", "fail", "cell_holds_no_placeholder"),
    # texts
    ("Jobs", "site", "1 Road\x0bTown", "fail", "text_is_plain"),
    ("Jobs", "site", "1 Road\x0cTown", "fail", "text_is_plain"),
    ("Jobs", "client", "Sam \ud83d Sample", "fail", "text_is_plain"),
    ("Jobs", "client", "Sam\ufffdple", "fail", "text_is_plain"),
    ("Jobs", "client", "Sam \u202eelpmaS", "fail", "text_is_plain"),
    ("Jobs", "client", "Sam\nBcc: a@example.com", "fail", "text_is_plain"),
    ("Jobs", "client", "Sam 😀", "query", "text_can_be_printed"),
    ("Jobs", "client", "张伟", "query", "text_can_be_printed"),
    ("Jobs", "client", "سمير", "query", "text_can_be_printed"),
    ("Jobs", "client", "CafÃ©", "query", "text_is_plain"),
    ("Jobs", "client", "Sam\u200b Sample", "note", "text_is_plain"),
    ("Jobs", "site", "a" * 40_000, "fail", "text_is_plain"),
    ("Jobs", "site", "a" * 255, "note", "text_is_complete"),
    ("Jobs", "client", Cell(Content.FORMULA, "=A1&B1"), "fail", "cell_holds_a_typed_value"),
    ("Jobs", "extent", Cell(D, "2026-03-04"), "fail", "text_is_as_typed"),
    ("Charge points", "serial", number("1234567890123456"), "fail", "text_is_as_typed"),
    ("Readings", "remarks", "Ring Sam on 07700 900123", "note", "text_holds_no_personal_data"),
    ("Readings", "remarks", "Mail sam@example.com", "note", "text_holds_no_personal_data"),
    ("Jobs", "client_email", "Jane, Doe <a@x.example>", "query", "mail_address_is_one"),
    ("Jobs", "client_email", "a@example.com\nBcc: b@example.com", "fail", "text_is_plain"),
    ("Jobs", "client_email", "a@example.com\nb@example.com", "fail", "mail_address_is_one"),
    ("Jobs", "client_email", "not an address", "query", "mail_address_is_one"),
    ("Firm", "colour", "teal", "fail", "text_has_its_form"),
    ("Firm", "prefix", "LONGPREFIX", "fail", "text_has_its_form"),
    # names
    ("Boards", "board", "C\u200bU", "fail", "key_is_plain"),
    ("Boards", "board", "СU", "fail", "key_is_plain"),
    ("Boards", "board", "CU ", "note", "key_is_plain"),
    ("Boards", "board", number("12", "0000"), "query", "key_is_shown_as_held"),
    ("Boards", "board", Cell(D, "2026-02-01"), "fail", "key_is_plain"),
    ("Readings", "instrument", "T9", "fail", "reference_is_listed"),
    ("Readings", "instrument", "Tl", "query", "reference_is_listed"),
    ("Jobs", "tester", "AMQ", "fail", "reference_is_listed"),
]


@pytest.mark.parametrize(("sheet", "attribute", "value", "verdict", "rule"), CASES)
def test_a_doubtful_cell_gets_its_verdict_at_its_place(sheet, attribute, value, verdict, rule):
    week = spoil(sheet, attribute, value)
    found = {(each.rule, str(each.verdict)) for each in week.findings if place(sheet, attribute) in each.places}
    assert found == {(rule, verdict)}
    assert {each.job for each in week.findings} == {JOB if sheet not in {"Firm", "People", "Accuracies"} else ""}
    for each in week.findings:
        assert each.message.isprintable()
        assert each.verdict == "note" or (each.expected and each.remedy)


# sheet, attribute, what is typed: nothing is said
ACCEPTED = [
    ("Readings", "zs", 0.62),
    ("Readings", "zs", number("0.62", "0.00####")),
    ("Readings", "zs", "LIM: locked cupboard"),
    ("Readings", "insulation_ll", ">999"),
    ("Readings", "insulation_ll", ">200"),
    ("Readings", "insulation_ll", 999),
    ("Readings", "rcd_time", "N/A"),
    ("Readings", "rcd_time_5", "n/a"),
    ("Jobs", "client", 'A & B <Ltd> "Unit 4"'),
    ("Jobs", "client", "O'Brien"),
    ("Jobs", "client", "Siân Ŵyn-Łukasz Γεωργίου"),
    ("Jobs", "client", "Se\u0301an"),
    ("Jobs", "client", "'); DROP TABLE jobs"),
    ("Jobs", "client", "</w:t></w:r><w:r><w:t>PASS"),
    ("Jobs", "extent", "=+-@ and <b>bold</b> https://example.com"),
    ("Jobs", "limitations", "none"),
    ("Jobs", "limitations", "N/A"),
    ("Jobs", "site", "1 Road\nTown"),
    ("Boards", "place", "Under the stairs, 2.5 m up"),
    ("Charge points", "serial", "0012"),
    ("Charge points", "serial", 12345678),
    ("Jobs", "client_telephone", "01632 960123"),
    ("Jobs", "extent", "Replaced cable no. 0800123"),
]


@pytest.mark.parametrize(("sheet", "attribute", "value"), ACCEPTED)
def test_an_honest_cell_is_taken_in_silence(sheet, attribute, value):
    assert told(spoil(sheet, attribute, value)) == set()


@pytest.mark.parametrize(
    ("typed", "ohm"),
    [("0,62", 0.62), ("620 mΩ", 0.62), ("0.62 ohms", 0.62), ("350 mΩ", 0.35), ("0.00062 kΩ", 0.62), (".62", 0.62)],
)
def test_a_converted_figure_is_exact_and_keeps_what_was_typed(typed, ohm):
    reading = spoil("Readings", "zs", typed).jobs[0].readings[0]
    assert magnitude(reading.zs.quantity, "Ω") == ohm
    assert reading.typed["zs"] == reading.zs.typed == typed


@pytest.mark.parametrize(("typed", "mark", "figure"), [(">999", Mark.ABOVE, 999), (">1 GΩ", Mark.ABOVE, 1000)])
def test_a_reading_keeps_its_sign(typed, mark, figure):
    reading = spoil("Readings", "insulation_ll", typed).jobs[0].readings[0].insulation_ll
    assert (reading.mark, magnitude(reading.quantity, "MΩ")) == (mark, figure)


def test_a_limitation_takes_its_reason_from_the_cell():
    reading = spoil("Readings", "zs", "LIM: locked cupboard").jobs[0].readings[0]
    assert (reading.zs.mark, reading.zs.reason) == (Mark.LIMITATION, "locked cupboard")


def test_a_refused_cell_leaves_no_value_but_what_was_typed():
    reading = spoil("Readings", "zs", "O.62").jobs[0].readings[0]
    assert reading.zs is None
    assert reading.typed["zs"] == "O.62"
    assert reading.at["zs"] == place("Readings", "zs")


@pytest.mark.parametrize(
    ("typed", "notes"),
    [
        (0.35, set()),
        ("350 mΩ", {("unit_is_the_columns", "note", JOB)}),
        ("0.35 Ω", {("unit_is_the_columns", "note", JOB)}),
        ("0,35", {("number_is_typed_as_number", "note", JOB)}),
    ],
)
@pytest.mark.parametrize("attribute", ["zs", "r1_r2"])
def test_one_reading_in_ohms_may_be_written_in_four_ways(attribute, typed, notes):
    week = spoil("Readings", attribute, typed)
    reading = getattr(week.jobs[0].readings[0], attribute)
    assert magnitude(reading.quantity, "Ω") == 0.35
    assert reading.quantity.units == quantity(1, "Ω").units
    assert told(week) == notes


@pytest.mark.parametrize(("attribute", "verdict"), [("zs", "query"), ("r1_r2", "fail")])
def test_milliohms_without_their_unit_are_caught_in_a_column_in_ohms(attribute, verdict):
    week = spoil("Readings", attribute, 350)
    assert {each.verdict for each in week.findings if place("Readings", attribute) in each.places} == {verdict}
