"""What a hostile or broken file costs until it is refused: time, memory, and nothing else."""

import hashlib
import io
import json
import subprocess
import sys
import zipfile
from itertools import pairwise

import pytest

from pipeline.cli import main
from pipeline.errors import ExitCode
from tests.catalogue import files, more_files
from tests.catalogue.entry import REFUSED
from tests.catalogue.files import in_sheet
from tests.catalogue.week import base_content
from tests.workbook.strange import SHEET, plain, replaced, rewritten

MOST_SECONDS, MOST_MEGABYTES = 2.0, 500
PROGRESS = frozenset({"Reading the workbook"})
SPACES = b" " * (150 << 20)


def inflating(name, content):
    """The sound week with one more part that swells."""
    stream = io.BytesIO(base_content())
    with zipfile.ZipFile(stream, "a", zipfile.ZIP_DEFLATED) as book:
        book.writestr(name, content)
    return stream.getvalue()


def laughing(levels):
    """Entities within entities, each ten times the one before."""
    names = "abcdefghij"[:levels]
    inner = "".join(f'<!ENTITY {b} "{f"&{a};" * 10}">' for a, b in pairwise(names))
    declared = f'<!DOCTYPE x [<!ENTITY a "ha">{inner}]>'.encode()
    return rewritten(plain(), SHEET, lambda xml: declared + xml)


BOMBS = {
    "blanks in the sheet": lambda: replaced(plain(), SHEET, b"<sheetData>", b"<sheetData>" + SPACES),
    "a media part of blanks": lambda: inflating("xl/media/x.png", SPACES),
    "a zip of a zip": lambda: inflating("xl/embeddings/x.zip", inflating("x", SPACES)),
    "laughs": lambda: laughing(10),
    "a million cells of a row in disorder": in_sheet(
        "</sheetData>", '<row r="99">' + '<c r="A99"><v>1</v></c>' * 200_000 + "</row></sheetData>"
    ),
    "an endless text": in_sheet(
        "</sheetData>", f'<row r="99"><c r="A99" t="n"><v>{"9" * 4_000_000}x</v></c></row></sheetData>'
    ),
}
ENTRIES = (*files.ENTRIES, *more_files.ENTRIES)
HOSTILE = {**{each.name: each.make for each in ENTRIES if each.verdict == REFUSED}, **BOMBS}


# in a process of its own, whose memory is small: a child's peak counts that of the process that it was forked from
MEASURED = """
import json, resource, sys
from pipeline.cli import main
code = main(["check", sys.argv[1], "--out", sys.argv[2]])
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(json.dumps([code, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024]))
"""


def state_of(path):
    """What must not change of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest(), path.stat().st_mtime_ns


@pytest.mark.long
@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_costs_little_is_told_in_one_sentence_and_left_as_it_was(name, tmp_path, record_property):
    path = tmp_path / "week.xlsx"
    path.write_bytes(HOSTILE[name]())
    before = state_of(path)
    done = subprocess.run(
        [sys.executable, "-c", MEASURED, str(path), str(tmp_path / "out")], capture_output=True, text=True, check=True
    )
    code, seconds, megabytes = json.loads(done.stdout.splitlines()[-1])
    message, *remedy = [line for line in done.stderr.splitlines() if line not in PROGRESS]
    record_property("told", f"{name}: {seconds:.2f} s, {megabytes:.0f} MB: {message}")
    assert code == ExitCode.UNREADABLE
    assert seconds < MOST_SECONDS
    assert megabytes < MOST_MEGABYTES
    assert message.endswith((".", "?"))
    assert len(remedy) == 1
    assert state_of(path) == before
    assert [each.name for each in tmp_path.iterdir()] == ["week.xlsx"]


@pytest.mark.parametrize("name", ["macro-workbook", "swelling", "file-entity", "old-excel"])
def test_a_hostile_file_is_told_in_one_sentence_and_no_copy_is_made(name, tmp_path, capsys):
    path = tmp_path / "week.xlsx"
    path.write_bytes(HOSTILE[name]())
    outputs = tmp_path / "out"
    assert main(["check", str(path), "--out", str(outputs)]) == ExitCode.UNREADABLE
    said = capsys.readouterr()
    assert "Traceback" not in said.out + said.err
    assert not list(outputs.rglob("*.xlsx"))
    assert {each.name for each in tmp_path.iterdir()} <= {"out", "week.xlsx"}
