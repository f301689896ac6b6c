"""Check values of the trade, common practice where no standard is named; each on a model of its own, all invented."""

import pytest
from rules.honest import build, but, found, model_row, put, verdicts

from pipeline.facts.findings import Verdict
from pipeline.facts.record import record_of
from pipeline.facts.rows.models import Fixing
from tests.documents.sample import AS_OF

FAIL, PASS, QUERY, NOT_ASSESSED = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOT_ASSESSED
NOTE = Verdict.NOTE
TORQUE = "terminals_are_tightened_as_the_maker_says"
FIXINGS = "fixings_of_a_set_fit_together"


def fixed(model, *sets):
    """A job with a model of that name and these sets of fixings."""
    job = but(build(models=(model_row(model=model),)), "points", model=model)
    rows = tuple(put(Fixing, number + 3, model=model, count=4, **each) for number, each in enumerate(sets))
    return job.model_copy(update={"fixings": rows})


@pytest.mark.parametrize(
    ("applied", "verdict"), [(1.2, PASS), (1.08, PASS), (1.07, FAIL), (1.32, PASS), (1.33, FAIL), (1.8, FAIL)]
)
def test_a_slotted_terminal_with_a_thread_of_3_6_to_4_1_mm_takes_1_2_newton_metres(applied, verdict):
    """IEC 60999-1, Table 4, column of slotted screws, second-hand; 1.8 N·m belongs to the next thread."""
    job = build(models=(model_row(torque=1.2, torque_tolerance=10),))
    assert verdicts(TORQUE, but(job, "points", torque=applied)) == {verdict}


def test_no_torque_of_a_table_stands_in_for_a_maker_who_gives_none():
    job = build(models=(model_row(torque=None),))
    assert verdicts(TORQUE, but(job, "points", torque=1.2)) == {NOT_ASSESSED}


def test_a_hole_has_the_nominal_diameter_of_its_plug():
    """In solid masonry: 8 mm for 8 mm."""
    assert verdicts(FIXINGS, fixed("EX-A", {"place": "wall plate", "plug_diameter": 8, "hole_diameter": 8})) == {PASS}


def test_a_hole_wider_than_its_plug_is_asked_about():
    """A plug of 8 mm turns in a hole of 10 mm."""
    job = fixed("EX-B", {"place": "wall plate", "plug_diameter": 8, "hole_diameter": 10})
    assert verdicts(FIXINGS, job) == {QUERY}


def test_a_plug_wider_than_its_hole_fails():
    job = fixed("EX-C", {"place": "wall plate", "plug_diameter": 10, "hole_diameter": 8})
    assert verdicts(FIXINGS, job) == {FAIL}


@pytest.mark.parametrize("proud", [10, 6.5, 3, None])
def test_a_hanging_screw_stays_proud_by_its_model_s_figure_and_by_no_other(proud):
    """10 mm is common, but what the papers say is the model's own figure, and nothing where its maker gives none."""
    record = record_of(fixed("EX-D", {"place": "cable hook", "proud": proud}), [], {}, AS_OF)
    shown = record["job"]["fixings"][0]["proud"]["shown"]
    assert shown == ("" if proud is None else f"{proud:g}")


def test_one_fixing_given_in_two_sizes_within_one_model_is_asked_about():
    """Page and template of the instructions contradict each other: nobody can know which to drill."""
    page, template = {"place": "wall plate", "screw_diameter": 5}, {"place": "wall plate", "screw_diameter": 6}
    subjects = _asked_about(fixed("EX-E", page, template))
    assert any("wall plate" in each for each in subjects)


def test_two_places_of_one_model_may_have_two_sizes():
    plate, hook = {"place": "wall plate", "screw_diameter": 5}, {"place": "cable hook", "screw_diameter": 6}
    assert _asked_about(fixed("EX-F", plate, hook)) == []


def _asked_about(job):
    """The subjects of queries that any rule on fixings or rows raises."""
    rules = (FIXINGS, "rows_are_entered_once", "fixings_are_given_once")
    from pipeline.rules import RULES

    known = [each for each in rules if each in RULES]
    return [each.subject for rule in known for each in found(rule, job) if each.verdict is QUERY]


# screws that spread a plug of this nominal diameter: common practice, from memory
@pytest.mark.parametrize(("plug", "thin", "thick"), [(5, 3, 4), (6, 4, 5), (8, 4.5, 6), (10, 6, 8), (12, 8, 10)])
def test_a_screw_spreads_its_plug(plug, thin, thick):
    for screw, verdict in ((thin, NOTE), (thick, NOTE), (thin - 0.1, QUERY), (thick + 0.1, QUERY)):
        job = fixed("EX-G", {"place": "wall plate", "screw_diameter": screw, "plug_diameter": plug})
        assert verdicts(FIXINGS, job) == {verdict}, screw


def test_conductors_go_on_in_the_order_protective_conductor_neutral_lines_in_phase_order():
    # common practice: nothing can become live before its protective conductor is on
    rule = "conductors_are_connected_in_their_order"
    order = ["protective conductor", "neutral", "lines in phase order"]
    kept, lost = found(rule, build()), found(rule, but(build(), "points", order_kept="no"))
    for (each,), told in ((kept, "message"), (lost, "expected")):
        places = [getattr(each, told).find(part.removeprefix("the ")) for part in order]
        assert -1 < places[0] < places[1] < places[2]
    assert (kept[0].verdict, lost[0].verdict) == (Verdict.PASS, Verdict.QUERY)
