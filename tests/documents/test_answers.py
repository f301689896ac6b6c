"""Queries that somebody answers for are printed above the signature, and are no longer told as open."""

from documents.sample import ENVELOPE, findings, job, record

from pipeline.documents.view import view
from pipeline.facts.findings import Finding, Verdict

QUERY = Finding("zs_is_plausible", Verdict.QUERY, "A-1", "Circuit MAIN 1", "Zs is low.")
ANSWER = {
    "rule": QUERY.rule, "subject": QUERY.subject, "message": QUERY.message, "key": "0" * 16, "person": "PEX",
    "name": "Pat Example", "role": "qualified supervisor", "reason": "Measured twice.", "day": "2026-11-12",
}  # fmt: skip


def seen(*answers):
    of = job()
    return view(record(of, [*findings(of), QUERY]) | {"answers": list(answers)}, ENVELOPE)


def test_an_accepted_query_stays_a_query_and_is_told_as_accepted():
    told = seen(ANSWER)
    assert "1 query was accepted" in told.single["outcome"]["sentence"]
    assert "open" not in told.single["outcome"]["sentence"]
    assert told.single["outcome"]["queries"] == "1"
    assert [dict(each) for each in told.lists["answers"]] == [
        {
            "question": "Circuit MAIN 1: Zs is low.", "who": "Pat Example", "role": "qualified supervisor",
            "reason": "Measured twice.", "day": "12 Nov 2026",
        }
    ]  # fmt: skip


def test_a_query_without_an_answer_is_told_as_open():
    assert "1 query is open" in seen().single["outcome"]["sentence"]


def test_an_answer_settles_its_own_query_alone():
    assert "1 query is open" in seen(ANSWER | {"subject": "Circuit MAIN 2"}).single["outcome"]["sentence"]
