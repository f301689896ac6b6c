"""The register gives each number once, forgets nothing, and shows when it was touched."""

import json
import re
import sqlite3
from dataclasses import asdict

import pytest

from pipeline.errors import RegisterError
from pipeline.register import Kind, Register, Wish
from pipeline.register.entries import DELETED
from pipeline.register.listing import lines_of

NOW = "2026-11-24T12:00:00+00:00"


def wish(job, key="k1", reason=""):
    return Wish(job, key, b'{"client": "Sam Sample"}', reason)


@pytest.fixture
def path(tmp_path):
    return tmp_path / "register.sqlite"


def test_numbers_count_from_one_without_gaps(path):
    with Register.open(path, NOW) as register:
        first = register.reserve([wish("A"), wish("B")], NOW, "2026-11-24")
        second = register.reserve([wish("C")], NOW, "2026-11-24")
    assert [each.envelope.number for each in first + second] == ["0001", "0002", "0003"]
    assert {each.envelope.revision for each in first + second} == {1}


def test_a_number_belongs_to_its_job_across_runs(path):
    with Register.open(path, NOW) as register:
        register.reserve([wish("A")], NOW, "2026-11-24")
    with Register.open(path, NOW) as register:
        assert register.head("A").number == 1
        assert register.head("B") is None


def test_a_reservation_carries_all_that_finishing_it_needs(path):
    with Register.open(path, NOW) as register:
        reserved = register.reserve([wish("A")], NOW, "2026-11-24")
    with Register.open(path, NOW) as register:
        assert register.unfinished() == reserved


def test_a_finished_pack_awaits_its_signature_and_is_not_made_again(path):
    with Register.open(path, NOW) as register:
        [reserved] = register.reserve([wish("A")], NOW, "2026-11-24")
        register.awaiting(reserved, {"pack.pdf": "00"}, {"cover": 1}, NOW)
        assert register.unfinished() == []
        assert register.head("A").state is Kind.AWAITING


def test_a_revision_keeps_the_number_and_supersedes_the_pack_before(path):
    with Register.open(path, NOW) as register:
        [reserved] = register.reserve([wish("A")], NOW, "2026-11-24")
        register.awaiting(reserved, {}, {}, NOW)
        [revised] = register.reserve([wish("A", "k2", "length corrected")], NOW, "2026-11-25")
        register.awaiting(revised, {}, {}, NOW)
        assert revised.envelope.name == "0001-2"
        assert revised.envelope.supersedes == "0001-1"
        assert revised.envelope.reason == "length corrected"
        states = [(e["revision"], e["kind"]) for e in register.entries() if e["number"]]
    assert states[-2:] == [(2, "awaiting signature"), (1, "superseded")]


def test_the_check_value_changes_with_every_run_that_changed_something(path):
    with Register.open(path, NOW) as register:
        register.reserve([wish("A")], NOW, "2026-11-24")
        first = register.end_run("sum", NOW)
        assert register.end_run("sum", NOW) == first
        register.reserve([wish("B")], NOW, "2026-11-24")
        assert register.end_run("sum", NOW) != first


def test_an_envelope_carries_the_check_value_of_the_register_before(path):
    with Register.open(path, NOW) as register:
        before = register.check_value()
        [reserved] = register.reserve([wish("A")], NOW, "2026-11-24")
    assert reserved.envelope.check_value_before == before
    assert re.fullmatch(r"1(-[0-9a-f]{4}){5}", before)


@pytest.mark.parametrize("statement", ["UPDATE entries SET job = 'X'", "DELETE FROM entries"])
def test_entries_cannot_be_changed_or_removed(path, statement):
    with Register.open(path, NOW) as register:
        register.reserve([wish("A")], NOW, "2026-11-24")
    with pytest.raises(sqlite3.IntegrityError, match="insert-only"):
        sqlite3.connect(path).execute(statement)


@pytest.mark.parametrize("column", ["at", "job", "body", "input_key", "prev"])
def test_an_entry_edited_by_hand_is_found_and_named(path, column):
    with Register.open(path, NOW) as register:
        register.reserve([wish("A"), wish("B")], NOW, "2026-11-24")
    raw = sqlite3.connect(path)
    raw.execute("DROP TRIGGER entries_stay")
    raw.execute(f"UPDATE entries SET {column} = 'edited' WHERE seq = 2")
    raw.commit()
    raw.close()
    with pytest.raises(RegisterError, match="entry 2"):
        Register.open(path, NOW)


def test_an_entry_taken_out_of_the_middle_is_found(path):
    with Register.open(path, NOW) as register:
        register.reserve([wish("A"), wish("B")], NOW, "2026-11-24")
    raw = sqlite3.connect(path)
    raw.executescript("DROP TRIGGER entries_last; DELETE FROM entries WHERE seq = 2;")
    raw.close()
    with pytest.raises(RegisterError, match="entry 2"):
        Register.open(path, NOW)


def forget(path):
    """All personal parts deleted, as somebody may ask the office to."""
    raw = sqlite3.connect(path)
    raw.execute("DELETE FROM personal")
    raw.commit()
    raw.execute("VACUUM")
    raw.close()


def test_names_can_be_deleted_without_breaking_the_chain(path):
    photos = {"kitchen of Sam Sample.jpg": "ab" * 32}
    kept = json.dumps({"job": {"row": {"client": {"shown": "Sam Sample"}}, "photo_sums": photos}}).encode()
    with Register.open(path, NOW) as register:
        [first, _] = register.reserve([Wish("A", "k", kept), Wish("B", "k", kept)], NOW, "2026-11-24")
        assert first.photo_sums == photos
        register.awaiting(first, {}, {}, NOW)
        [revised] = register.reserve([Wish("A", "k2", kept, "Sam Sample rang")], NOW, "2026-11-25")
        register.awaiting(revised, {}, {}, NOW)
        register.give_up(register.standing("0001-2"), Kind.WITHDRAWN, NOW, "Sam Sample wants it back")
        register.give_up(register.standing("0002-1"), Kind.VOID, NOW, "Sam Sample moved")
        assert register.reservation("0001-2").envelope.reason == "Sam Sample rang"
        told = {each.name: (each.client, each.reason) for each in lines_of(register)}
        chain = register.entries()
    assert "Sam" not in json.dumps(chain)
    assert told == {
        "0001-1": ("Sam Sample", "Sam Sample rang"),
        "0001-2": ("Sam Sample", "Sam Sample wants it back"),
        "0002-1": ("Sam Sample", "Sam Sample moved"),
    }
    forget(path)
    assert b"Sam Sample" not in path.read_bytes()
    with Register.open(path, NOW) as register:
        assert register.entries() == chain
        assert {(each.client, each.site, each.reason) for each in lines_of(register)} == {(DELETED,) * 3}


def test_a_register_with_its_reason_in_the_chain_is_still_read(path):
    with Register.open(path, NOW) as register:
        [reserved] = register.reserve([wish("A")], NOW, "2026-11-24")
        envelope = {**asdict(reserved.envelope), "revision": 2, "supersedes": "0001-1", "reason": "length"}
        with register._writing():
            old = {"envelope": envelope, "photos": {}}
            register._enter(NOW, Kind.RESERVED, keys=(1, 2, "A", "k2"), body=old, personal=reserved.record)
            register._enter(NOW, Kind.VOID, keys=(1, 2, "A", "k2"), body={"reason": "entered twice"})
        assert register.reservation("0001-2").envelope.reason == "length"
        assert register.reservation("0001-2").record == reserved.record
        assert [each.reason for each in lines_of(register)] == ["", "entered twice"]


def test_a_reservation_that_fails_half_way_leaves_nothing(path):
    with Register.open(path, NOW) as register:
        before = register.entries()
        with pytest.raises(TypeError):
            register.reserve([wish("A"), Wish("B", "k", "not bytes")], NOW, "2026-11-24")
        assert register.entries() == before


def test_a_file_that_is_no_register_is_refused(path):
    path.write_bytes(b"no database at all, only words" * 40)
    with pytest.raises(RegisterError, match="cannot be read"):
        Register.open(path, NOW)
