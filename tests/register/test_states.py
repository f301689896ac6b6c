"""Each number from 1 to the highest has one state; what was given up or taken back stays in the register."""

import json
from dataclasses import replace

import pytest

from pipeline.desk import void, withdraw
from pipeline.errors import CommandError
from pipeline.register import Kind, Register, Wish
from pipeline.stages.commit import Outputs

NOW = "2026-11-24T12:00:00+00:00"
DAY = "2026-11-24"


def wish(job, key="k1", **other):
    return Wish(job, key, json.dumps({"job": {"row": {}}}).encode(), **other)


@pytest.fixture
def outputs(tmp_path):
    return Outputs(tmp_path)


@pytest.fixture
def opened(outputs):
    def again():
        return Register.open(outputs.register, NOW)

    return again


def reserve(register, *wishes, finished=True):
    reserved = register.reserve(wishes, NOW, DAY)
    for each in reserved if finished else ():
        register.awaiting(each, {}, {}, NOW)
    return reserved


def states(register):
    return {each.name: each.state for each in register.standings()}


def test_a_number_without_a_pack_becomes_void_with_its_reason_and_is_never_given_again(outputs, opened):
    with opened() as register:
        reserve(register, wish("A"), finished=False)
    told = void(outputs, "0001", "entered  twice")
    assert told[0] == "0001-1 of job A is void: entered twice"
    with opened() as register:
        assert register.unfinished() == []
        assert register.reason(register.standings()[0]) == "entered twice"
        [again] = reserve(register, wish("A"))
        assert again.envelope.name == "0002-1"
        assert states(register) == {"0001-1": Kind.VOID, "0002-1": Kind.AWAITING}


def test_a_void_revision_leaves_the_one_before_standing_and_its_mark_is_not_used_again(outputs, opened):
    with opened() as register:
        reserve(register, wish("A"))
        reserve(register, wish("A", "k2", reason="length"), finished=False)
    void(outputs, "1", "not needed")
    with opened() as register:
        assert register.head("A").revision == 1
        assert register.head("A").state is Kind.AWAITING
        [third] = reserve(register, wish("A", "k3", reason="device"))
        assert (third.envelope.name, third.envelope.supersedes) == ("0001-3", "0001-1")
        assert states(register) == {"0001-1": Kind.SUPERSEDED, "0001-2": Kind.VOID, "0001-3": Kind.AWAITING}


def test_a_pack_that_was_made_cannot_become_void(outputs, opened):
    with opened() as register:
        reserve(register, wish("A"))
    with pytest.raises(CommandError, match="awaiting signature"):
        void(outputs, "0001", "wrong")


@pytest.mark.parametrize("number", ["7", "x", "0001-1", ""])
def test_a_number_that_there_is_not_cannot_become_void(outputs, opened, number):
    with opened() as register:
        reserve(register, wish("A"), finished=False)
    with pytest.raises(CommandError):
        void(outputs, number, "wrong")


@pytest.mark.parametrize("act", [void, withdraw])
def test_nothing_is_given_up_or_taken_back_without_a_reason(outputs, opened, act):
    with opened() as register:
        reserve(register, wish("A"), finished=act is withdraw)
    with pytest.raises(CommandError, match="needs its reason"):
        act(outputs, "0001" if act is void else "0001-1", "  ")


def test_a_command_in_a_folder_without_a_register_begins_none(outputs):
    with pytest.raises(CommandError, match="No pack was made"):
        withdraw(outputs, "0001-1", "wrong")
    assert not outputs.register.exists()


def test_a_withdrawn_pack_stays_in_the_register_and_its_revision_replaces_it_without_hiding_that(outputs, opened):
    with opened() as register:
        reserve(register, wish("A"))
    withdraw(outputs, "1-1", "wrong board")
    with opened() as register:
        assert register.head("A").state is Kind.WITHDRAWN
        reserve(register, wish("A", "k2", reason="board corrected"))
        assert states(register) == {"0001-1": Kind.WITHDRAWN, "0001-2": Kind.AWAITING}
    with pytest.raises(CommandError, match="withdrawn"):
        withdraw(outputs, "0001-1", "again")


def test_answers_are_entered_with_the_pack_and_their_people_can_be_deleted(opened):
    told = {"key": "0" * 16, "rule": "zs_is_plausible", "person": "PEX", "name": "Pat Example", "reason": "seen"}
    with opened() as register:
        reserve(register, wish("A", answers=(told,)))
        [entry] = [each for each in register.entries() if each["kind"] == Kind.ANSWER]
        assert json.loads(entry["body"])["pack"] == "0001-1"
        assert "Pat" not in entry["body"]
        assert states(register) == {"0001-1": Kind.AWAITING}


def test_a_revision_says_which_fields_it_changes_and_keeps_values_out_of_the_chain(opened):
    def record(occupier):
        return json.dumps({"job": {"row": {"occupier": {"shown": occupier}}}}).encode()

    with opened() as register:
        reserve(register, replace(wish("A"), record=record("Sam Sample")))
        [revised] = reserve(register, replace(wish("A", "k2", reason="asked for"), record=record("Robin Sample")))
        assert revised.envelope.reason == "asked for. Changed: Jobs Occupier."
        assert not any("Robin" in each["body"] for each in register.entries())


def issued(register, name):
    register.issue(register.standing(name), NOW, {"how": "ink"}, {"person": "PEX"})


def test_an_issued_pack_stands_until_its_revision_is_issued_itself(opened):
    with opened() as register:
        reserve(register, wish("A"))
        issued(register, "0001-1")
        reserve(register, wish("A", "k2", reason="length"))
        assert states(register) == {"0001-1": Kind.ISSUED, "0001-2": Kind.AWAITING}
        issued(register, "0001-2")
        assert states(register) == {"0001-1": Kind.SUPERSEDED, "0001-2": Kind.ISSUED}


def test_a_revision_nobody_signed_is_superseded_at_once_and_the_next_replaces_the_pack_that_people_hold(opened):
    with opened() as register:
        reserve(register, wish("A"))
        issued(register, "0001-1")
        reserve(register, wish("A", "k2", reason="length"))
        [third] = reserve(register, wish("A", "k3", reason="device"))
        assert (third.envelope.name, third.envelope.supersedes) == ("0001-3", "0001-1")
        assert states(register) == {"0001-1": Kind.ISSUED, "0001-2": Kind.SUPERSEDED, "0001-3": Kind.AWAITING}
        issued(register, "0001-3")
        assert states(register) == {"0001-1": Kind.SUPERSEDED, "0001-2": Kind.SUPERSEDED, "0001-3": Kind.ISSUED}


def test_a_revision_withdrawn_before_it_was_signed_leaves_the_issued_pack_as_that_of_its_job(outputs, opened):
    with opened() as register:
        reserve(register, wish("A"))
        issued(register, "0001-1")
        reserve(register, wish("A", "k2", reason="length"))
    withdraw(outputs, "0001-2", "not needed")
    with opened() as register:
        assert states(register) == {"0001-1": Kind.ISSUED, "0001-2": Kind.WITHDRAWN}
        assert (register.head("A").revision, register.head("A").state) == (1, Kind.ISSUED)
        [third] = reserve(register, wish("A", "k3", reason="device"))
        assert (third.envelope.name, third.envelope.supersedes) == ("0001-3", "0001-1")


def test_a_job_keeps_its_number_for_ever_and_no_number_goes_to_two_jobs(opened):
    with opened() as register:
        reserve(register, wish("A"), wish("B"))
        reserve(register, wish("B", "k2", reason="length"), wish("C"), wish("A", "k2", reason="device"))
        jobs = {}
        for each in register.standings():
            jobs.setdefault(each.number, set()).add(each.job)
        assert jobs == {1: {"A"}, 2: {"B"}, 3: {"C"}}
        assert sorted(states(register)) == ["0001-1", "0001-2", "0002-1", "0002-2", "0003-1"]


def test_a_pack_is_known_by_what_it_was_made_with_and_not_by_what_its_number_was_reserved_with(opened):
    with opened() as register:
        [first, _] = register.reserve([wish("A", made_with={"t": "1"}), wish("B", made_with={"t": "1"})], NOW, DAY)
        register.awaiting(replace(first, made_with={"t": "2"}), {}, {}, NOW)
        assert register.made_with(Kind.AWAITING) == {"0001-1": {"t": "2"}}
        assert register.made_with(Kind.RESERVED) == {"0002-1": {"t": "1"}}
