"""Photos: inside their folder, whole, and of one job."""

import hashlib
import os
import struct
import zlib

import pytest
from PIL import Image

from pipeline.stages.validate import type_week
from tests.workbook.spoilt import JOB, TODAY, TWO_JOBS, cells_of, place, sound_rows, told


@pytest.fixture
def folder(tmp_path):
    photos = tmp_path / "photos"
    photos.mkdir()
    Image.effect_noise((320, 240), 40).convert("RGB").save(photos / "done.jpg")
    return photos


def week_of(folder, *files, jobs=(JOB,)):
    rows = sound_rows(*jobs)
    shared = {"caption": "Charge point", "shows": "finished charge point"}
    rows["Photos"] = [{"job": job, "file": file, **shared} for job in jobs for file in files]
    return type_week(cells_of(rows), TODAY, folder)


def test_a_whole_photo_is_kept_by_its_content(folder):
    week = week_of(folder, "done.jpg")
    assert told(week) == set()
    assert week.jobs[0].photo_sums == {"done.jpg": hashlib.sha256((folder / "done.jpg").read_bytes()).hexdigest()}


def with_logo(folder, name):
    rows = sound_rows()
    rows["Firm"][0]["logo"] = name
    return type_week(cells_of(rows), TODAY, folder)


def test_the_firms_logo_goes_with_every_job_and_is_no_photo(folder):
    week = with_logo(folder, "done.jpg")
    assert told(week) == set()
    assert week.jobs[0].photo_sums.keys() == {"done.jpg"}


def test_a_logo_that_is_not_there_is_said_and_holds_nothing(folder):
    (folder / "done.jpg").unlink()
    week = with_logo(folder, "logo.png")
    assert told(week) == {("logo_can_be_used", "note", "")}
    assert week.jobs[0].photo_sums == {}


def huge():
    """The head of a PNG of 30,000 by 30,000 pixels."""
    head = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 2, 0, 0, 0)
    chunk = b"IHDR" + head
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + chunk + struct.pack(">I", zlib.crc32(chunk)) + b"\0" * 40


def bad(folder, kind):
    """A photo with one fault, by its name."""
    whole = (folder / "done.jpg").read_bytes()
    match kind:
        case "truncated":
            (folder / "bad.jpg").write_bytes(whole[: len(whole) // 2])
        case "huge":
            (folder / "bad.jpg").write_bytes(huge())
        case "text":
            (folder / "bad.jpg").write_text("no photo")
        case "pipe":
            os.mkfifo(folder / "bad.jpg")
        case "folder":
            (folder / "bad.jpg").mkdir()
        case "link":
            (folder.parent / "secret.jpg").write_bytes(whole)
            (folder / "bad.jpg").symlink_to(folder.parent / "secret.jpg")


@pytest.mark.parametrize("kind", ["truncated", "huge", "text", "pipe", "folder", "link", "missing"])
def test_a_photo_that_cannot_be_used_fails_at_its_cell(folder, kind):
    bad(folder, kind)
    week = week_of(folder, "done.jpg", "bad.jpg")
    assert told(week) == {("photo_can_be_used", "fail", JOB)}
    assert week.findings[0].places == (place("Photos", "file", 4),)
    assert set(week.jobs[0].photo_sums) == {"done.jpg"}


@pytest.mark.parametrize("name", ["../secret.jpg", "/etc/passwd", "C:\\secret.jpg", "sub/../../x.jpg"])
def test_a_name_that_leads_out_of_the_folder_fails(folder, name):
    (folder.parent / "secret.jpg").write_bytes((folder / "done.jpg").read_bytes())
    week = week_of(folder, name)
    assert ("photo_can_be_used", "fail", JOB) in told(week)
    assert week.jobs[0].photo_sums == {}


def test_a_misspelt_name_is_asked_back(folder):
    week = week_of(folder, "donne.jpg")
    assert any("Did you mean 'done.jpg'?" in each.message for each in week.findings)


def test_a_photo_that_another_row_names_is_not_what_a_wrong_name_means(folder):
    week = week_of(folder, "done.jpg", "donne.jpg")
    assert not any("Did you mean" in each.message for each in week.findings)


def test_photos_without_their_folder_fail_once_a_job(tmp_path):
    week = week_of(tmp_path / "none", "a.jpg", "b.jpg", jobs=TWO_JOBS)
    found = [(each.rule, each.job, len(each.places)) for each in week.findings]
    assert found == [("photos_lie_beside_the_workbook", job, 2) for job in TWO_JOBS]


def test_a_photo_of_a_mistyped_job_is_told_with_the_job_and_not_as_a_file_that_nobody_names(folder):
    week = week_of(folder, "done.jpg", jobs=(JOB, "LN-1O1"))
    assert told(week) == {("row_belongs_to_a_job", "fail", "")}


def test_a_photo_that_no_row_names_is_noted(folder):
    (folder / "other.jpg").write_bytes((folder / "done.jpg").read_bytes())
    week = week_of(folder, "done.jpg")
    assert told(week) == {("photo_is_named", "note", "")}
    assert week.findings[0].found == "other.jpg"
    assert "There is 1 file" in week.findings[0].message


def test_the_same_photo_in_two_jobs_is_asked_about_in_both(folder):
    week = week_of(folder, "done.jpg", jobs=TWO_JOBS)
    assert told(week) == {("photo_is_of_one_job", "query", job) for job in TWO_JOBS}


def test_one_picture_under_two_names_in_a_job_is_asked_about_once(folder):
    (folder / "again.jpg").write_bytes((folder / "done.jpg").read_bytes())
    week = week_of(folder, "done.jpg", "again.jpg")
    assert told(week) == {("photo_shows_something_of_its_own", "query", JOB)}
    assert len(week.findings) == 1


def test_a_photo_named_twice_in_a_job_is_asked_about(folder):
    assert told(week_of(folder, "done.jpg", "done.jpg")) == {("row_is_there_once", "query", JOB)}


@pytest.mark.parametrize("mode", ["CMYK", "L"])
def test_a_photo_in_other_colours_is_taken(folder, mode):
    Image.new(mode, (64, 64)).save(folder / "done.jpg")
    assert told(week_of(folder, "done.jpg")) == set()


def test_a_transparent_picture_is_taken(folder):
    Image.new("RGBA", (64, 64)).save(folder / "clear.png")
    (folder / "done.jpg").unlink()
    assert told(week_of(folder, "clear.png")) == set()
