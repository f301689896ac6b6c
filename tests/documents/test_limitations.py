"""Limits in force, limitations, and whom to ring: what a page must never leave out or soften."""

import pytest
from documents.sample import ENVELOPE, example, job, record

from pipeline.documents.layouts import LAYOUTS, with_contents
from pipeline.documents.texts import BLANK
from pipeline.documents.view import view
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.firm import Firm
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.supply import Supply
from pipeline.pack.expecting import expected


def seen(**rows):
    return view(record(job().model_copy(update=rows)), ENVELOPE)


def lines(of):
    return [(line["what"], line["of"], line["reason"]) for line in of.lists["limited"]]


def test_every_limited_reading_and_aspect_stands_among_the_limitations_with_its_reason():
    boards = (example(Board, insulation="LIM: could not be switched off"), *job().boards[1:])
    supply = example(Supply, bonding_continuity="LIM")
    found = lines(seen(boards=boards, supply=supply))
    assert found == [
        ("Bonding continuity", "intake", "no reason given"),
        ("Buried route seen before backfill", "inspection", "Backfilled before our visit"),
        ("Insulation of the whole board", "board MAIN", "could not be switched off"),
    ]


def test_of_a_circuit_the_last_attempt_tells_what_was_not_tested():
    first = example(CircuitReadings, 1, circuit="1", zs="LIM: not energised")
    again = example(CircuitReadings, 2, circuit="1", attempt=2, r1_r2="LIM", limitation_reason="no access")
    found = lines(seen(readings=(first, again)))
    assert ("R1+R2", "board MAIN, circuit 1", "no access") in found
    assert "Zs" not in {what for what, _, _ in found}


@pytest.mark.parametrize("document", ["installation-certificate", "minor-works-certificate"])
def test_both_certificates_print_the_limitations(document):
    said = with_contents(seen(supply=example(Supply, bonding_continuity="LIM: behind tiles")), {})
    assert "behind tiles" in set(expected(LAYOUTS[document], said).texts())


def test_bonding_that_was_not_seen_is_never_called_adequate_without_more():
    whole = seen().single["job"]["existing_adequate"]
    part = seen(supply=example(Supply, bonding_continuity="LIM: behind tiles")).single["job"]["existing_adequate"]
    assert whole == "adequate"
    assert part == "adequate as far as seen and tested. Not seen or not tested in full: Bonding continuity"


def test_the_cover_lets_nothing_be_used_without_saying_what_was_not_seen_or_assessed():
    findings = [{**each, "verdict": "pass"} for each in record(job())["findings"]]
    whole = record(job()) | {"findings": findings}
    whole["job"]["inspection"]["buried"]["shown"] = "pass"
    assert view(whole, ENVELOPE).has("nothing_failed")
    assert not view(whole, ENVELOPE).has("nothing_failed_seen")

    missing = whole | {"findings": [{**findings[0], "rule": "ze_is_there", "verdict": "not assessed"}]}
    part = whole | {
        "job": {**whole["job"], "supply": whole["job"]["supply"] | {"bonding_continuity": {"shown": "LIM"}}}
    }
    for of, unseen in ((missing, f"Ze is there ({findings[0]['subject']})"), (part, "Bonding continuity (intake)")):
        said = view(of, ENVELOPE)
        assert not said.has("nothing_failed")
        assert said.single["outcome"]["unseen"] == unseen
        for name in ("cover", "cover-de"):
            assert unseen in " ".join(expected(LAYOUTS[name], with_contents(said, {})).texts())


@pytest.mark.parametrize(("lower", "in_force"), [(10, "10"), (None, "32"), (40, "32")])
def test_who_charges_reads_the_lowest_limit_in_force(lower, in_force):
    said = seen(points=(example(Point, current_limit=32, temporary_limit=lower, temporary_reason="Until May"),))
    for document in ("user-instructions", "notices"):
        assert in_force in set(expected(LAYOUTS[document], said).texts())
    lowered = "charge point CP1 with at most 10 A (Until May)"
    assert said.single["job"]["lowered"] == (lowered if lower == 10 else BLANK)


@pytest.mark.parametrize(
    ("nation", "own", "there", "printed"),
    [
        ("England", "999 or 112", None, "999 or 112"),
        ("elsewhere", "999 or 112", None, "the emergency number of the country"),
        ("elsewhere", "999 or 112", "113", "113"),
        ("elsewhere", "112", None, "112"),
    ],
)
def test_the_number_to_ring_in_a_fire_holds_where_the_site_is(nation, own, there, printed):
    said = view(
        record(job(nation=nation, emergency=there).model_copy(update={"firm": example(Firm, emergency=own)})), ENVELOPE
    )
    assert said.single["firm"]["emergency"] == printed


def test_a_delayed_rcd_before_several_circuits_is_named_to_those_who_press_its_button():
    assert seen().single["job"]["further_rcds"] == "Sub-board, Garage (board GARAGE, 100 mA, delayed, S)"
    assert seen(boards=(example(Board),)).single["job"]["further_rcds"] == BLANK


@pytest.mark.parametrize(("family", "clause"), [("uk", "BS 7671, 722.411.4.1"), ("iec", "IEC 60364-7-722, 722.411.4")])
def test_an_aspect_cites_the_national_standard_only_where_the_job_is_judged_by_it(family, clause):
    clauses = [line["clause"] for line in view(record(job(family=family)), ENVELOPE).lists["aspects"]]
    assert any(clause in each for each in clauses)
    assert family == "uk" or not any("BS " in each for each in clauses)
