"""Where a marked copy goes, what it remembers of its workbook, and what is never written over."""

import json

import pytest

from pipeline.errors import MachineError
from pipeline.stages.commit import Outputs
from pipeline.stages.leave import ORIGINS, home_of, leave_copy
from tests.workbook.corrections.admins import week


@pytest.fixture
def content(tmp_path):
    return week(tmp_path)


@pytest.fixture
def outputs(tmp_path):
    return Outputs(tmp_path / "outputs")


def test_a_copy_remembers_where_its_workbook_lies(tmp_path, content, outputs):
    first = leave_copy(content, tmp_path / "week.xlsx", outputs, [])
    assert first.name == "week-corrections.xlsx"
    assert home_of(first) == tmp_path
    second = leave_copy(first.read_bytes(), first, outputs, [])
    assert second.name == "week-corrections-2.xlsx"
    assert home_of(second) == tmp_path


def test_a_copy_under_another_name_is_still_known(tmp_path, content, outputs):
    copy = leave_copy(content, tmp_path / "week.xlsx", outputs, [])
    assert home_of(copy.rename(copy.with_name("week corrected.xlsx"))) == tmp_path


def test_a_workbook_lies_where_it_lies(tmp_path):
    assert home_of(tmp_path / "week.xlsx") == tmp_path


@pytest.mark.parametrize("told", ["", "[]", '{"week-corrections.xlsx": "/nowhere/at/all"}'])
def test_a_damaged_list_of_origins_or_a_folder_that_is_gone_is_no_matter(tmp_path, content, outputs, told):
    copy = leave_copy(content, tmp_path / "week.xlsx", outputs, [])
    (outputs.copies / ORIGINS).write_text(told)
    assert home_of(copy) == outputs.copies
    leave_copy(content, tmp_path / "week.xlsx", outputs, [])
    assert json.loads((outputs.copies / ORIGINS).read_text())[copy.name] == str(tmp_path.resolve())


def test_a_copy_that_cannot_be_written_is_told_with_what_to_do(tmp_path, content, outputs):
    outputs.root.mkdir()
    outputs.copies.write_text("a file where the folder should be")
    with pytest.raises(MachineError, match="cannot be written"):
        leave_copy(content, tmp_path / "week.xlsx", outputs, [])
