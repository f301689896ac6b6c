"""What was commissioned against what the model offers."""

import pytest
from rules.honest import build, but, judge, put

from pipeline.facts.choices import DataLink
from pipeline.facts.findings import Verdict
from pipeline.facts.rows.models import Indicator

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
CP1 = "Charge point CP1"
STATES = tuple(
    put(Indicator, model="EX-7", shows=shows, means=means)
    for shows, means in (("Steady white", "Ready"), ("Flashing red", "Fault"))
)


@pytest.mark.parametrize(
    ("link", "offered", "verdict"),
    [
        ("wireless", frozenset({DataLink.WIRELESS}), PASS),
        ("mobile", frozenset({DataLink.WIRELESS}), QUERY),
        ("wireless", None, NOT_ASSESSED),
        ("none", frozenset({DataLink.WIRELESS}), NOT_APPLICABLE),
        (None, None, NOT_APPLICABLE),
    ],
)
def test_a_data_link_is_one_that_the_model_has(link, offered, verdict):
    job = but(but(build(), "models", data_links=offered), "points", data_link=link)
    assert judge("data_links_are_ones_the_model_has", job) == [(CP1, verdict)]


@pytest.mark.parametrize(
    ("shows", "verdict"),
    [("Steady white", PASS), ("steady WHITE ", PASS), ("Flashing red", FAIL), ("Green", NOTE), (None, NOT_ASSESSED)],
)
def test_an_indicator_shows_a_state_of_the_maker_s_list(shows, verdict):
    job = but(build(indicators=STATES), "points", indicator=shows)
    assert judge("indicators_show_what_the_maker_lists", job) == [(CP1, verdict)]
    assert judge("indicators_show_what_the_maker_lists", build()) == [(CP1, NOT_APPLICABLE)]


@pytest.mark.parametrize(("lock", "verdict"), [("works", PASS), ("N/A", NOTE), (None, NOTE)])
def test_the_lock_of_a_socket_outlet_is_tried(lock, verdict):
    rule = "parts_of_a_model_were_tried"
    job = but(but(build(), "models", connection="socket-outlet"), "points", socket_lock=lock)
    assert judge(rule, job) == [(CP1, verdict)]
    assert judge(rule, build()) == [(CP1, NOT_APPLICABLE)]


def test_a_scheme_names_the_firmware_it_was_tried_with():
    rule = "parts_of_a_model_were_tried"
    assert judge(rule, but(build(), "points", scheme="LM1", firmware="1.0")) == [(CP1, PASS)]
    assert judge(rule, but(build(), "points", scheme="LM1")) == [(CP1, NOTE)]
