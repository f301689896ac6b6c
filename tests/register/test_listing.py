"""The office finds in the register what is due, and can take it along as a workbook or a page."""

import io
import json
import re
from datetime import date
from html.parser import HTMLParser

import openpyxl
import pytest

from pipeline import cli
from pipeline.errors import ExitCode
from pipeline.register import Kind, Register, Wish
from pipeline.register.listing import TITLES, Choice, lines_of
from pipeline.register.page import page_of, tasks_of
from pipeline.register.sheet import workbook_of

NOW = "2026-11-24T12:00:00+00:00"
TODAY = date(2026, 11, 24)
NASTY = '=HYPERLINK("http://x.example","<script>alert(1)</script>")'


def record(client, due=None, inspection="10 Nov 2036", *more):
    row = {"client": {"shown": client}, "site": {"shown": "2 Sample Road"}, "next_inspection": {"shown": inspection}}
    told = {
        "rule": "building_control_is_told", "subject": "Building control", "expected": f"told by {due}",
        "verdict": "note",
    }  # fmt: skip
    findings = [*([told] if due else []), *more]
    return json.dumps({"job": {"row": row}, "findings": findings, "as_of": "2026-11-20"}).encode()


def operator(verdict, expected):
    """What was found about telling the network operator."""
    rule, subject = "network_operators_are_told_or_asked", "Network operator"
    return {"rule": rule, "subject": subject, "verdict": verdict, "expected": expected}


@pytest.fixture
def register(tmp_path):
    with Register.open(tmp_path / "register.sqlite", NOW) as opened:
        wishes = [
            Wish("A", "k", record("Sam Sample", "20 Nov 2026")),
            Wish("B", "k", record(NASTY, inspection="01 Jan 2026")),
            Wish("C", "k", record("Robin Sample", "20 Dec 2026")),
        ]
        for each in opened.reserve(wishes, NOW, "2026-11-24")[:2]:
            opened.awaiting(each, {}, {}, NOW)
        yield opened


def test_each_pack_has_its_line_with_what_is_due(register):
    first, second, third = lines_of(register)
    assert (first.name, first.client, first.due, first.whom) == (
        "0001-1", "Sam Sample", date(2026, 11, 20), "Building control",
    )  # fmt: skip
    assert (second.inspection, second.due) == (date(2026, 1, 1), None)
    assert (third.state, third.due, third.inspection) == (Kind.RESERVED, None, None)


@pytest.mark.parametrize(
    ("choice", "names"),
    [
        (Choice(), ["0001-1", "0002-1", "0003-1"]),
        (Choice(state="awaiting signature"), ["0001-1", "0002-1"]),
        (Choice(job="B"), ["0002-1"]),
        (Choice(due=True), ["0001-1"]),
        (Choice(inspection=TODAY), ["0002-1"]),
    ],
)
def test_lines_are_chosen_by_state_job_and_what_is_due(register, choice, names):
    assert [each.name for each in lines_of(register) if choice.takes(each)] == names


@pytest.mark.parametrize(
    ("found", "whom", "by"),
    [
        (operator("note", "a country whose duties are known here"), "Network operator (look up)", "look up"),
        (operator("query", "consent given, with its reference"), "Network operator (ask)", "ask"),
        (
            operator("note", "notified before the start"),
            "Network operator (notified before the start)",
            "notified before the start",
        ),
        (operator("not applicable", ""), "", ""),
        (operator("pass", ""), "", ""),
    ],
)
def test_a_duty_whose_day_is_unknown_does_not_vanish_among_what_is_due(tmp_path, found, whom, by):
    with Register.open(tmp_path / "register.sqlite", NOW) as register:
        undated, both = (record("Sam Sample", due, "10 Nov 2036", found) for due in (None, "20 Dec 2026"))
        for each in register.reserve([Wish("A", "k", undated), Wish("B", "k", both)], NOW, "2026-11-24"):
            register.awaiting(each, {}, {}, NOW)
        alone, beside = lines_of(register)
    assert (alone.whom, alone.cells[9]) == (whom, by)
    assert Choice(due=True).takes(alone) == ("tell" in tasks_of(alone, TODAY)) == bool(whom)
    assert "late" not in tasks_of(alone, TODAY)
    assert beside.whom == ", ".join(["Building control", *([whom] if whom else [])])
    assert beside.cells[9] == date(2026, 12, 20)
    assert f">{by}</td>" in page_of([alone], TODAY, "")


def test_a_text_that_begins_like_a_formula_stays_a_text_in_the_workbook(register):
    sheet = openpyxl.load_workbook(io.BytesIO(workbook_of(lines_of(register)))).active
    cell = next(each for row in sheet.iter_rows() for each in row if each.value == NASTY)
    assert cell.data_type == "s"
    assert cell.quotePrefix
    assert tuple(each.value for each in sheet[1]) == TITLES
    assert sheet["J2"].value.date() == date(2026, 11, 20)


class Page(HTMLParser):
    """Tags, rows of texts, and addresses of a page."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.rows, self.addresses = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.addresses += [value for name, value in attrs if name in {"src", "href"}]
        if tag == "tr":
            self.rows.append([])
        if tag in {"td", "th"}:
            self.rows[-1].append("")

    def handle_data(self, data):
        if self.rows and self.rows[-1] and not data.isspace():
            self.rows[-1][-1] += data


def test_the_page_shows_every_pack_in_words_and_takes_nothing_from_anywhere(register):
    text = page_of(lines_of(register), TODAY, register.check_value())
    page = Page(text)
    assert tuple(page.rows[0]) == TITLES
    assert [row[0] for row in page.rows[1:]] == ["0001-1", "0002-1", "0003-1"]
    assert page.rows[1][9] == "20 Nov 2026, overdue"
    assert page.rows[2][5] == NASTY
    assert page.rows[2][7] == "01 Jan 2026, past its day"
    assert page.tags.count("script") == 1
    assert page.addresses == [f"packs/{name}/{name}-handover-pack.pdf" for name in ("0001-1", "0002-1")]
    assert not re.search(r"(@import|url\(|fetch\(|XMLHttp|https?://(?!x\.example))", text)
    assert (
        "awaiting signature: 2; somebody is still to be told, or to be looked up: 1; "
        "somebody is to be told, and the day is past: 1" in text
    )
    assert "next inspection due within 90 days: 0; next inspection past its day: 1" in text


def test_the_command_prints_exports_once_and_writes_the_page(register, tmp_path, capsys):
    out, export = str(tmp_path), tmp_path / "register.xlsx"
    ask = ["register", "--out", out, "--state", "reserved", "--export", str(export)]
    assert cli.main(ask) == ExitCode.OK
    told = capsys.readouterr().out
    assert "0003-1" in told
    assert "0001-1" not in told
    assert export.exists()
    assert (tmp_path / "index.html").exists()
    assert cli.main(ask) == ExitCode.UNREADABLE
    assert cli.main(["register", "--out", out, "--inspection-before", "soon"]) == ExitCode.UNREADABLE


def test_a_state_that_no_pack_can_have_is_told_with_those_that_there_are(register, tmp_path, capsys):
    assert cli.main(["register", "--out", str(tmp_path), "--state", "signed"]) == ExitCode.UNREADABLE
    assert "The states are: reserved, awaiting signature, issued" in capsys.readouterr().err
    assert cli.main(["register", "--out", str(tmp_path), "--state", "void"]) == ExitCode.OK
    assert capsys.readouterr().out == "The register has no such pack.\n"
