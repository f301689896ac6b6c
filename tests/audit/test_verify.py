"""A clean archive shows nothing; each attack is named by its own word."""

import io
import os
import random
import re
import shutil
import sqlite3
import tempfile
import time
from pathlib import Path

import bagit
import pikepdf
import pytest

from pipeline import cli
from pipeline.audit import bags, verify
from pipeline.audit.faults import Kind
from pipeline.audit.known import known_value, printed_faults
from pipeline.audit.ledger import open_ledger
from pipeline.audit.results import Evidence
from pipeline.demo.week import TODAY
from pipeline.errors import CommandError, ExitCode
from tests.audit import attacks

pytestmark = pytest.mark.xdist_group("audit")
ALL = ("0001-1", "0001-2", "0002-1")


def kinds(found):
    return {each.kind for each in found.faults}


def test_a_clean_archive_shows_nothing_and_every_byte_is_proved(built):
    found = verify.verify(verify.Options((built[1],)))  # by processes of their own, as in use
    assert found.faults == ()
    assert [(each.name, each.evidence, each.recheck) for each in found.packs] == [
        (name, Evidence.REGISTER, "same") for name in ALL
    ]
    assert found.sample


@pytest.fixture
def other_disk(tmp_path):
    """A folder on another file system where this machine has one to be written to."""
    shared = Path("/dev/shm")  # noqa: S108 - only while the test runs
    if not os.access(shared, os.W_OK):
        yield tmp_path / "disk"
        return
    with tempfile.TemporaryDirectory(dir=shared) as folder:
        yield Path(folder)


def test_a_copied_disk_an_archive_alone_and_a_bag_alone_show_nothing(built, quick, other_disk):
    copy = shutil.copytree(built[1], other_disk / "2026" / "outputs")
    assert kinds(quick(other_disk)) == set()
    for path in (copy / "archive", copy / "archive" / "0002-1"):
        found = quick(path)
        assert found.faults == ()
        assert {each.evidence for each in found.packs} == {Evidence.BAG}


def test_archive_and_register_given_apart_belong_together(built, quick):
    found = quick(built[1] / "archive", built[1] / "register.sqlite")
    assert {each.evidence for each in found.packs} == {Evidence.REGISTER}


def test_an_unsigned_pack_by_itself_is_never_called_proved(pack, capsys, here):
    assert cli.main(["verify", str(pack("0002-1"))]) == ExitCode.HELD
    told = capsys.readouterr().out
    assert "NOT PROVED UNALTERED: AGREES WITH ITSELF" in told
    assert "This does not prove:" in told


def test_a_pack_by_itself_is_proved_by_the_register(built, pack, quick, tmp_path):
    alone = Path(shutil.copy(pack("0002-1"), tmp_path / "from-client.pdf"))
    [found] = quick(alone, built[1] / "register.sqlite").packs
    assert (found.name, found.evidence) == ("0002-1", Evidence.REGISTER)


def test_another_file_of_that_name_is_not_proved_by_the_register(built, pack, quick, tmp_path):
    alone = Path(shutil.copy(pack("0002-1"), tmp_path / "0002-1-handover-pack.pdf"))
    alone.chmod(0o644)
    attacks.flip(alone, 5000)
    assert kinds(quick(alone, built[1] / "register.sqlite")) == {Kind.DAMAGED}


@pytest.mark.parametrize("name", ["record.json", "handover-pack.pdf", "circuits.docx"])
def test_one_byte_of_an_archived_file_is_damaged(outputs, quick, name):
    path = outputs / "archive" / "0001-1" / "data" / f"0001-1-{name}"
    attacks.flip(path, 100)
    found = quick(outputs)
    assert kinds(found) == {Kind.DAMAGED}
    assert all(name in each.where for each in found.faults)


def spoil(folder, count, seed):
    """Flips a bit of a random file of an archive, looks, and puts it back; gives what nobody noticed."""
    chance = random.Random(seed)  # noqa: S311 - a draw that can be repeated
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    missed = []
    for _ in range(count):
        path = chance.choice(files)
        content = path.read_bytes()
        place, bit = chance.randrange(len(content)), chance.randrange(8)
        attacks.flip(path, place, bit)
        bag = bags.read_bag(folder, "bag")
        if not bag.faults:
            missed.append((path.name, place, bit))
        path.write_bytes(content)
    return missed


def test_no_flipped_bit_of_a_bag_goes_unnoticed(outputs):
    assert spoil(outputs / "archive" / "0002-1", 20, 1) == []


@pytest.mark.long
def test_no_flipped_bit_of_a_bag_goes_unnoticed_500_times(outputs):
    missed = spoil(outputs / "archive" / "0002-1", 500, 2)
    # the case of a digit in the list of lists says the same sum
    assert all(name == bags.TAGS and bit == 5 for name, _, bit in missed)


def test_a_reading_moved_across_its_limit_with_all_sums_made_anew_is_found_by_the_bag_alone(outputs, full):
    bag = outputs / "archive" / "0002-1"
    attacks.move_reading(bag, "7.77")
    found = full(bag)
    assert {Kind.UNEXPLAINED, Kind.PAGE} <= kinds(found)
    assert any("7.77" in each.message for each in found.faults if each.kind is Kind.PAGE)
    assert [each.evidence for each in found.packs] == [Evidence.NOTHING]


def test_the_same_is_an_altered_record_to_the_register(outputs, full):
    attacks.move_reading(outputs / "archive" / "0002-1", "7.77")
    found = full(outputs / "archive" / "0002-1", outputs / "register.sqlite")
    assert {Kind.ALTERED, Kind.DAMAGED, Kind.UNEXPLAINED, Kind.PAGE} <= kinds(found)


def test_a_record_whose_number_and_text_disagree_is_altered(outputs, alone):
    [path] = (outputs / "archive" / "0002-1" / "data").glob("*-handover-pack.pdf")
    record = (path.parent / "0002-1-record.json").read_bytes()
    changed = re.sub(rb'("shown":)"0\.\d+"(,"typed":"[^"]*",?)', rb'\1"0.01"\2', record, count=1)
    assert changed != record
    path.write_bytes(attacks.reattached(path.read_bytes(), {"record.json": changed}))
    assert Kind.ALTERED in kinds(alone(path))


@pytest.mark.parametrize("place", [2, 7])  # the first page of a document, and one within
def test_a_page_of_another_pack_is_named_with_its_pack(outputs, alone, place):
    one, other = (outputs / "archive" / name / "data" / f"{name}-handover-pack.pdf" for name in ("0002-1", "0001-1"))
    with pikepdf.open(one) as pdf, pikepdf.open(other) as stranger:
        pdf.pages[place] = stranger.pages[place]
        content = attacks.saved(pdf)
    one.write_bytes(content)
    found = alone(one)
    told = f"Page {place + 1} is a page of pack 0001-1"
    assert any(each.kind is Kind.SWAPPED and told in each.message for each in found.faults)
    assert Kind.DAMAGED not in {each.kind for each in found.faults}


def test_something_laid_over_a_page_is_named(outputs, alone):
    path = outputs / "archive" / "0002-1" / "data" / "0002-1-handover-pack.pdf"
    with pikepdf.open(path) as pdf:
        note = pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.FreeText, Rect=[0, 0, 99, 99])
        pdf.pages[2].obj.Annots = pikepdf.Array([pdf.make_indirect(note)])
        content = attacks.saved(pdf)
    path.write_bytes(content)
    assert any(each.kind is Kind.PAGE and "Over page 3" in each.message for each in alone(path).faults)


def test_an_appended_update_and_appended_junk_are_named(outputs, alone):
    path = outputs / "archive" / "0002-1" / "data" / "0002-1-handover-pack.pdf"
    made = path.read_bytes()
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    target = io.BytesIO()
    writer = IncrementalPdfFileWriter(io.BytesIO(made))
    writer.root["/Lang"] = writer.root["/Lang"]
    writer.update_root()
    writer.write(target)
    for content in (target.getvalue(), made + b"%junk\n", made + b"\njunk\n%%EOF\n"):
        path.write_bytes(content)
        assert Kind.APPENDED in kinds(alone(path))


def test_a_file_that_is_no_pack_is_unknown_and_a_torn_one_damaged(pack, alone, tmp_path):
    other = Path(shutil.copy(pack("0002-1").parent / "0002-1-circuits.pdf", tmp_path))
    assert kinds(alone(other)) == {Kind.UNKNOWN}
    torn = tmp_path / "torn.pdf"
    torn.write_bytes(pack("0002-1").read_bytes()[:300_000])
    assert kinds(alone(torn)) == {Kind.DAMAGED}


def test_a_deleted_pack_is_missing_by_the_register_and_a_gap_without_it(outputs, quick):
    shutil.rmtree(outputs / "archive" / "0001-1")
    shutil.rmtree(outputs / "archive" / "0001-2")
    assert kinds(quick(outputs)) == {Kind.MISSING}
    assert kinds(quick(outputs / "archive")) == {Kind.GAP}


def test_a_bag_under_any_other_name_is_named_by_what_it_calls_itself(outputs, quick):
    for name in ("0", "copy", "1-2-3"):
        shutil.copytree(outputs / "archive" / "0002-1", outputs / "archive" / name)
    assert kinds(quick(outputs / "archive")) == {Kind.SWAPPED}
    assert kinds(quick(outputs)) == {Kind.SWAPPED, Kind.UNKNOWN}


def test_a_missing_earlier_revision_breaks_the_line(outputs, quick):
    shutil.rmtree(outputs / "archive" / "0001-1")
    assert kinds(quick(outputs / "archive")) == {Kind.SUPERSESSION}


@pytest.fixture
def released(outputs, capsys):
    """The outputs after the first pack was signed in ink and released."""
    asked = ["release", "0002-1", "--by", "CJN", "--on", str(TODAY), "--out", str(outputs)]
    assert cli.main(asked) == ExitCode.OK, capsys.readouterr()
    return outputs


def test_a_released_pack_is_proved_with_its_release(released, quick):
    for path in (released, released / "archive"):
        found = quick(path)
        assert found.faults == ()
        assert len(found.packs) == len(ALL)


def test_a_release_gone_is_missing_and_one_of_other_files_is_altered(released, quick):
    data = released / "archive" / "0002-1" / "data"
    (data / "0002-1-cover.docx").write_bytes(b"another cover")
    bagit.Bag(str(data.parent)).save(manifests=True)
    assert kinds(quick(released / "archive")) == {Kind.ALTERED}
    shutil.rmtree(released / "archive" / "0002-1-released")
    assert kinds(quick(released)) == {Kind.DAMAGED, Kind.MISSING}


def test_a_release_that_the_register_does_not_know_yet_is_an_interrupted_one(released, quick):
    attacks.cut(released / "register.sqlite", 2)
    found = quick(released)
    assert found.faults == ()
    assert any("a release was interrupted" in each for each in found.notes)


def test_an_added_pack_is_unknown(outputs, quick):
    shutil.copytree(outputs / "archive" / "0002-1", outputs / "archive" / "0003-1")
    assert kinds(quick(outputs)) == {Kind.UNKNOWN, Kind.SWAPPED}


def test_an_added_and_a_deleted_file_of_a_bag_are_told_apart(outputs, quick):
    data = outputs / "archive" / "0002-1" / "data"
    (data / "0002-1-cover.docx").rename(data / "0002-1-extra.docx")
    assert kinds(quick(outputs)) == {Kind.UNKNOWN, Kind.MISSING}


def test_bags_that_changed_places_are_swapped(outputs, quick):
    archive = outputs / "archive"
    (archive / "0001-1").rename(archive / "x")
    (archive / "0002-1").rename(archive / "0001-1")
    (archive / "x").rename(archive / "0002-1")
    assert Kind.SWAPPED in kinds(quick(outputs))


def test_packs_for_daily_use_are_held_against_the_register(outputs, quick):
    packs = outputs / "packs"
    shutil.copy(packs / "0001-1" / "0001-1-record.json", packs / "0002-1" / "0002-1-record.json")
    (packs / "0002-1" / "0002-1-cover.docx").unlink()
    found = quick(outputs)
    assert kinds(found) == {Kind.SWAPPED}
    assert any("0002-1-cover.docx is not there" in each for each in found.notes)


def test_a_file_that_cannot_be_read_now_is_not_called_damaged(outputs, quick, monkeypatch):
    def torn_cable(path):
        if path.name.endswith("cover.pdf"):
            raise OSError(5, "Input/output error")
        return real(path)

    real = bags.file_sum
    monkeypatch.setattr(bags, "file_sum", torn_cable)
    assert kinds(quick(outputs / "archive")) == {Kind.UNREADABLE}


def test_a_register_row_edited_by_hand_is_named_with_its_place(outputs, quick):
    attacks.edit(outputs / "register.sqlite", 2, "job", "LN-999")
    found = [each for each in quick(outputs).faults if each.kind is Kind.CHAIN]
    assert [each.where.rpartition(", ")[2] for each in found] == ["entry 2"]


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("number", "x"),
        ("revision", "x"),
        ("body", "no object"),
        ("body", "[1]"),
        ("body", '{"envelope": 5, "files": 7}'),
        ("body", '{"envelope": {"number": 3}}'),
        ("kind", b"\x00\xff"),
        ("sha", 7),
    ],
)
def test_whatever_a_strange_hand_puts_into_a_row_breaks_the_chain_and_never_the_reader(outputs, quick, column, value):
    attacks.edit(outputs / "register.sqlite", 2, column, value)
    assert Kind.CHAIN in kinds(quick(outputs))


def test_an_edited_row_with_its_own_sum_made_anew_breaks_the_next_link(outputs, quick):
    attacks.edit(outputs / "register.sqlite", 2, "at", "2026-01-01T00:00:00+00:00", chain=1)
    assert any("entry 3" in each.where for each in quick(outputs).faults if each.kind is Kind.CHAIN)


def test_a_past_written_anew_contradicts_the_check_values_frozen_in_later_entries(outputs, quick):
    attacks.edit(outputs / "register.sqlite", 2, "at", "2026-01-01T00:00:00+00:00", chain=-1)
    found = quick(outputs)
    assert kinds(found) == {Kind.REWRITTEN}
    assert any("0001-2 was reserved over a register" in each.message for each in found.faults)


def test_a_check_value_printed_on_a_pack_is_held_against_the_register(built, outputs):
    ledger = open_ledger(outputs / "register.sqlite", "register")
    sound = ledger.envelopes()["0001-2"].check_value_before
    other = "1a2b-3c4d-5e6f-7a8b-9c0d"
    assert printed_faults(ledger, [("0001-2", sound), ("0002-1", "")], ()) == []
    assert [each.kind for each in printed_faults(ledger, [("0001-2", other)], ())] == [Kind.REWRITTEN]
    assert [each.kind for each in printed_faults(ledger, [("0003-1", other)], {"0003-1"})] == [Kind.CUT]


def test_a_guard_taken_out_of_the_register_is_named(outputs, quick):
    attacks.open_register(outputs / "register.sqlite").close()
    assert kinds(quick(outputs)) == {Kind.CHAIN}


def test_a_record_changed_in_the_register_is_altered(outputs, quick):
    database = sqlite3.connect(outputs / "register.sqlite")
    database.execute("UPDATE personal SET content = replace(content, '0.', '1.') WHERE seq = 2")
    database.commit()
    database.close()
    assert kinds(quick(outputs)) == {Kind.ALTERED}


def test_a_deleted_personal_part_is_no_fault(outputs, quick, full):
    database = sqlite3.connect(outputs / "register.sqlite")
    database.execute("DELETE FROM personal")
    database.commit()
    database.close()
    found = quick(outputs)
    assert kinds(found) == set()
    assert [(each["name"], each["reason"]) for each in found.numbers] == [
        ("0001-1", "deleted"),
        ("0001-2", ""),
        ("0002-1", ""),
    ]
    assert kinds(full(outputs / "archive" / "0001-2", outputs / "register.sqlite")) == set()


def test_a_register_full_of_noise_is_damaged(outputs, quick):
    (outputs / "register.sqlite").write_bytes(random.Random(3).randbytes(5000))  # noqa: S311 - noise
    assert Kind.DAMAGED in kinds(quick(outputs))


def value(outputs, quick):
    return quick(outputs).check_value


def test_a_known_check_value_is_continued(built, quick):
    early = known_value(value(built[0], quick))
    found = quick(built[1], known=(early, known_value(str(early).partition("-")[2])))
    assert found.faults == ()
    assert all(each.startswith("The register continues") for each in found.notes)


def test_the_printed_check_value_is_the_one_that_a_run_tells(built, quick):
    from pipeline.register import Register

    with Register.open(built[1] / "register.sqlite", "") as register:
        assert value(built[1], quick) == register.check_value()


@pytest.mark.parametrize("counted", [True, False])
def test_an_old_copy_put_back_is_rolled_back(built, earlier, quick, counted):
    later = value(built[1], quick)
    known = known_value(later if counted else later.partition("-")[2])
    assert kinds(quick(earlier, known=(known,))) == {Kind.ROLLED_BACK}


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5])
def test_a_tail_cut_off_is_named(built, outputs, quick, count):
    known = known_value(value(built[1], quick))
    attacks.cut(outputs / "register.sqlite", count)
    assert kinds(quick(outputs, known=(known,))) & {Kind.CUT, Kind.ROLLED_BACK}


def test_packs_beyond_the_end_of_the_register_show_that_its_tail_was_cut(built, outputs, quick):
    known = known_value(value(built[1], quick).partition("-")[2])
    attacks.cut(outputs / "register.sqlite", 4)
    found = quick(outputs, known=(known,))
    assert kinds(found) == {Kind.CUT, Kind.UNKNOWN}


def test_a_rewritten_past_is_told_from_a_roll_back_by_the_count(built, outputs, quick):
    known = known_value(value(built[1], quick))
    last = int(str(known).partition("-")[0])
    attacks.edit(outputs / "register.sqlite", last, "at", "2026-01-01T00:00:00+00:00", chain=-1)
    assert kinds(quick(outputs, known=(known,))) == {Kind.REWRITTEN}


def test_what_is_no_check_value_and_one_without_a_register_are_refused(built, quick):
    with pytest.raises(CommandError):
        known_value("1234")
    with pytest.raises(CommandError):
        quick(built[1] / "archive", known=(known_value("1a2b-3c4d-5e6f-7a8b-9c0d"),))


def everything(folder):
    return {path: (path.stat().st_mtime_ns, path.stat().st_mode, path.stat().st_size) for path in folder.rglob("*")}


def test_verify_writes_nothing_into_what_it_verifies(outputs, quick, full):
    before = everything(outputs)
    quick(outputs)
    full(outputs / "archive" / "0002-1", outputs / "register.sqlite")
    assert everything(outputs) == before


def test_a_register_in_the_middle_of_an_entry_is_read_without_ending_it(outputs, quick):
    path = outputs / "register.sqlite"
    database = sqlite3.connect(path, isolation_level=None)
    database.execute("PRAGMA cache_size = 1")
    database.execute("BEGIN IMMEDIATE")
    database.execute("CREATE TABLE more AS SELECT * FROM personal")
    crashed = shutil.copytree(outputs, outputs.parent / "crashed")
    database.execute("ROLLBACK")
    database.close()
    assert (crashed / "register.sqlite-journal").exists()
    before = everything(crashed)
    assert quick(crashed).faults == ()
    assert everything(crashed) == before


def test_equal_things_give_equal_results(built, quick):
    assert quick(built[1]) == quick(built[1])


def test_a_path_that_is_not_there_or_holds_nothing_ends_with_two(tmp_path, capsys):
    assert cli.main(["verify", str(tmp_path / "nowhere")]) == ExitCode.UNREADABLE
    assert cli.main(["verify", str(tmp_path)]) == ExitCode.UNREADABLE


def test_a_pack_that_kills_its_reader_is_told_and_the_others_are_read(pack, monkeypatch):
    monkeypatch.setattr(verify, "examine", attacks.deadly)
    tasks = [verify.Task(pack(name), name) for name in ("0001-1", "0002-1")]
    found = list(verify._examined(tasks))
    assert [each.faults[0].kind for each in found if each.faults] == [Kind.DAMAGED]
    assert [each.name for each in found if not each.faults] == ["read"]


@pytest.mark.long
def test_packs_per_second(built, tmp_path, capsys):
    archive = tmp_path / "archive"
    for number in range(12):
        shutil.copytree(built[1] / "archive" / "0002-1", archive / f"{number}")
    for mode in ([], ["--quick"]):
        start = time.perf_counter()
        assert cli.main(["verify", *mode, str(archive)]) == ExitCode.HELD  # every copy lies under another name
        capsys.readouterr()
        with capsys.disabled():
            print(f"\nverify {mode or 'full'}: {12 / (time.perf_counter() - start):.1f} packs a second")  # noqa: T201 - a figure for people


def test_a_bag_of_any_other_maker_is_read_alike(tmp_path):
    folder = tmp_path / "bag"
    folder.mkdir()
    (folder / "0009-1-a note, with blanks.txt").write_text("words")
    bagit.make_bag(str(folder), checksums=["sha256"])
    assert bags.read_bag(folder, "bag").faults == ()
