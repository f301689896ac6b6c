"""A question's whole way: asked in the copy, answered there by a person, and settled when the copy is checked."""

from copy import deepcopy
from datetime import date

import pytest
from openpyxl import load_workbook

from pipeline import cli
from pipeline.demo.spoil import keep_jobs, set_cell
from pipeline.demo.week import demo_rows as make_rows
from pipeline.errors import ExitCode
from pipeline.facts.rows.answers import Answer
from pipeline.facts.sheets import FIRST_ROW
from pipeline.register import Register, Wish
from pipeline.workbook.write import write_workbook

QUERIED, SOUND = "LN-115", "LN-101"
NOW = "2026-11-20T12:00:00+00:00"
COLUMNS = {name: number for number, name in enumerate(Answer.fields(), start=1)}
RIGHT = {"person": "CJN", "reason": "Measured twice; a long run.", "day": date(2026, 11, 23)}


@pytest.fixture
def out(tmp_path):
    return tmp_path / "outputs"


def check(path, out):
    return cli.main(["check", str(path), "--out", str(out)])


def copy_of(rows, tmp_path, out, name="week"):
    """The marked copy of a week."""
    path = tmp_path / f"{name}.xlsx"
    write_workbook(path, rows)
    check(path, out)
    return out / "corrections" / f"{name}-corrections.xlsx"


def queried():
    """The job with two queries, without its photos, which do not lie beside this workbook."""
    return {**keep_jobs(make_rows(), QUERIED), "Photos": []}


def asked(path):
    """The rows of the answers as they stand in a copy, by their numbers."""
    page = load_workbook(path)["Answers"]
    rows = enumerate(page.iter_rows(min_row=FIRST_ROW, values_only=True), start=FIRST_ROW)
    return {number: row for number, row in rows if any(row)}


def answer(path, given, rows=None):
    """Fill in the answers of a copy as a person does in another program."""
    book = load_workbook(path)
    for number in rows or asked(path):
        for name, value in given.items():
            book["Answers"].cell(number, COLUMNS[name], value)
    book.save(path)


def test_each_query_is_asked_with_its_key_and_settled_by_a_supervisors_answer(tmp_path, out, capsys):
    copy = copy_of(queried(), tmp_path, out)
    assert [(row[0], len(row[2]), row[3:]) for row in asked(copy).values()] == [(QUERIED, 16, (None,) * 3)] * 2
    assert "Zs is within" in " ".join(row[1] for row in asked(copy).values())
    answer(copy, RIGHT)
    capsys.readouterr()
    assert check(copy, out) == ExitCode.OK
    assert "1 to be made" in capsys.readouterr().out
    assert len(asked(out / "corrections" / "week-corrections-2.xlsx")) == 2


def test_a_question_without_its_answer_holds_the_job_and_is_not_asked_again(tmp_path, out):
    copy = copy_of(queried(), tmp_path, out)
    answer(copy, RIGHT, rows=list(asked(copy))[:1])
    assert check(copy, out) == ExitCode.HELD
    assert len(asked(out / "corrections" / "week-corrections-2.xlsx")) == 2


def test_a_changed_figure_lets_its_answer_lapse_and_asks_anew(tmp_path, out, capsys):
    copy = copy_of(queried(), tmp_path, out)
    answer(copy, RIGHT)
    book = load_workbook(copy)
    [zs] = [each for each in book["Readings"][1] if each.value == "Zs (Ω)"]
    book["Readings"][f"{zs.column_letter}{FIRST_ROW}"] = 0.91
    book.save(copy)
    capsys.readouterr()
    assert check(copy, out) == ExitCode.HELD
    assert "This answer is outdated: no question has its key." in capsys.readouterr().out
    again = asked(out / "corrections" / "week-corrections-2.xlsx")
    assert [bool(row[3]) for row in again.values()] == [True, True, False]


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({**RIGHT, "person": "AMP"}, ""),
        ({**RIGHT, "person": "NOBODY"}, "is not on the sheet 'People'"),
        ({**RIGHT, "reason": None}, "This answer is not complete."),
        ({**RIGHT, "day": date(2040, 1, 2)}, "dated after the day of the check"),
        ({**RIGHT, "question_key": "everything"}, "it would accept anything"),
    ],
)
def test_an_answer_from_nobody_or_to_everything_counts_for_nothing(tmp_path, out, capsys, given, told):
    copy = copy_of(queried(), tmp_path, out)
    answer(copy, given)
    capsys.readouterr()
    outcome = check(copy, out)
    assert told in capsys.readouterr().out
    assert outcome == (ExitCode.HELD if told else ExitCode.OK)  # AMP tests, and whoever tests may answer


def test_two_answers_to_one_question_hold_the_job(tmp_path, out, capsys):
    copy = copy_of(queried(), tmp_path, out)
    answer(copy, RIGHT)
    book = load_workbook(copy)
    last = max(asked(copy))
    for column in COLUMNS.values():
        book["Answers"].cell(last + 1, column, book["Answers"].cell(last, column).value)
    book.save(copy)
    capsys.readouterr()
    assert check(copy, out) == ExitCode.HELD
    assert "This question is answered more than once." in capsys.readouterr().out


def test_a_job_that_says_something_else_than_its_pack_is_asked_for_a_revision(tmp_path, out, capsys):
    rows = {**keep_jobs(make_rows(), SOUND), "Photos": []}
    out.mkdir()
    with Register.open(out / "register.sqlite", NOW) as register:
        wish = Wish(SOUND, "0" * 64, b"{}")
        [reserved] = register.reserve([wish], NOW, "2026-11-20")
        register.awaiting(reserved, {}, {}, NOW)
    copy = copy_of(set_cell(deepcopy(rows), "Jobs", SOUND, "occupier", "Robin Sample"), tmp_path, out)
    [(number, row)] = asked(copy).items()
    assert row[0] == SOUND
    assert "already has pack 0001-1" in row[1]
    answer(copy, {**RIGHT, "reason": "Occupier added."}, rows=[number])
    capsys.readouterr()
    assert check(copy, out) == ExitCode.OK
    assert f"{SOUND}  to be made" in capsys.readouterr().out
