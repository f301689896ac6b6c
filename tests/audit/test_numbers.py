"""Revisions that replace each other in a circle, in a register whose chain somebody has made anew."""

import pytest

from pipeline.audit.faults import Kind as Word
from pipeline.audit.ledger import Ledger
from pipeline.audit.numbers import number_faults
from pipeline.register import Kind


def entries(*, replaces="0001-1", by="0001-2"):
    """The entries of a pack that was issued, and of the revision that took its place."""

    def entry(seq, kind, revision, **body):
        return {
            "seq": seq,
            "at": "2026-11-24",
            "kind": kind,
            "number": 1,
            "revision": revision,
            "job": "J",
            "body": body,
        }

    def reserved(seq, revision, supersedes):
        frozen = {"number": "0001", "revision": revision, "issue_date": "2026-11-24", "check_value_before": ""}
        envelope = {**frozen, "supersedes": supersedes, "reason": "why" if supersedes else ""}
        return entry(seq, Kind.RESERVED, revision, envelope=envelope)

    return (
        reserved(1, 1, ""),
        entry(2, Kind.ISSUED, 1),
        reserved(3, 2, replaces),
        entry(4, Kind.SUPERSEDED, 1, by=by),
        entry(5, Kind.ISSUED, 2),
    )


def test_a_revision_that_replaces_the_one_before_is_in_order():
    assert number_faults(Ledger("register", entries())) == []


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"replaces": "0001-2"}, "0001-2 replaces 0001-2, which is no earlier revision of it."),
        ({"replaces": "0001-3"}, "0001-3, which is no earlier"),
        ({"replaces": "0002-1"}, "0002-1, which is no earlier"),
        ({"by": "0001-1"}, "0001-1 is superseded by 0001-1, which is no later revision of it."),
    ],
)
def test_packs_that_replace_each_other_in_a_circle_or_across_numbers_are_found(changed, told):
    faults = number_faults(Ledger("register", entries(**changed)))
    assert [each.kind for each in faults] == [Word.SUPERSESSION]
    assert told in faults[0].message


def test_a_circle_of_two_is_found_where_it_turns_back():
    circle = list(entries())
    circle[0]["body"]["envelope"] |= {"supersedes": "0001-2", "reason": "why"}
    faults = number_faults(Ledger("register", tuple(circle)))
    assert [each.message for each in faults] == ["0001-1 replaces 0001-2, which is no earlier revision of it."]
