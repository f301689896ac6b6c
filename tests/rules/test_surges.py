"""Decisions on surge protection and arc-fault detection."""

import pytest
from rules.honest import build, but, judge

from pipeline.facts.findings import Verdict

PASS, QUERY, NOTE = Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
RISK, WISH = "omitted after risk assessment", "omitted at the client's written wish"


@pytest.mark.parametrize(
    ("surge", "by", "premises", "verdict"),
    [
        ("fitted", None, "dwelling", PASS),
        ("already there", None, "commercial", PASS),
        (RISK, "C. Notional, 3 Nov", "commercial", NOTE),
        (RISK, None, "commercial", QUERY),
        (WISH, "Owner, 3 Nov", "dwelling", NOTE),
        (WISH, "Owner, 3 Nov", "rented dwelling", NOTE),
        (WISH, "Owner, 3 Nov", "commercial", QUERY),
        (WISH, None, "dwelling", QUERY),
        (None, None, "dwelling", NOT_ASSESSED),
    ],
)
def test_surge_protection_is_fitted_or_omitted_by_somebody(surge, by, premises, verdict):
    job = but(but(build(), "supply", surge=surge, surge_by=by), "row", premises=premises)
    assert judge("surge_protection_is_decided", job) == [("Supply", verdict)]


@pytest.mark.parametrize(
    ("decision", "by", "premises", "verdict"),
    [
        ("fitted", None, "flats", PASS),
        ("not asked for", None, "flats", PASS),
        (None, None, "flats", NOTE),
        (None, None, "dwelling", NOT_APPLICABLE),
        ("omitted after risk assessment", "C. Notional", "flats", NOTE),
        ("omitted after risk assessment", None, "flats", QUERY),
    ],
)
def test_flats_ask_for_a_decision_on_arcs(decision, by, premises, verdict):
    job = but(but(build(), "supply", arc_fault=decision, arc_fault_by=by), "row", premises=premises)
    assert judge("arc_fault_detection_is_decided", job) == [("Supply", verdict)]
