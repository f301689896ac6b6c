"""What a record prints under a pass or a note holds as it stands on the page, figure by figure."""

import re

import pytest
from proof.generator import draw
from proof.relations import broken, number
from proof.typing_in import typed_job
from rules.honest import found
from rules.test_each_row import CASES

from pipeline.demo.__main__ import write_demo
from pipeline.demo.week import TODAY
from pipeline.facts.findings import Calculation, Confidence, Verdict
from pipeline.rules import check_job
from pipeline.run import Options, judge
from pipeline.standards.table import weakest

HOLDS = (Verdict.PASS, Verdict.NOTE)
LEADING = re.compile(r"^(?:at least |about |>|<)?(-?\d+(?:\.\d+)? ?[^\s(,]*)")
SPAN = re.compile(r"^(?:from )?(-?[\d.]+ \S+) to (-?[\d.]+ \S+)")
# its result stands between two limits, or is told beside its limit, so that no single margin says how far it is
ASIDE = frozenset({"r1_r2_fits_the_cable", "terminals_are_tightened_as_the_maker_says"})


def false_relations(findings):
    """Each pass or note whose printed relation, or whose result against its limit, does not hold as printed."""
    told = (each for each in findings if each.verdict in HOLDS and each.calculation)
    return [f"{each.job} {each.rule}: {what}" for each in told for what in _false(each.rule, each.calculation)]


def _false(rule, calculation):
    """What does not hold of one working."""
    yield from broken(calculation.numbers)
    if calculation.margin is None:
        return
    if calculation.margin < -1e-6:
        yield f"margin {calculation.margin} of {calculation.result} to {calculation.limit}"
    result, limit = (_leading(each) for each in (calculation.result, calculation.limit))
    if span := SPAN.match(calculation.limit):
        least, most = (number(each) for each in span.groups())
        if not least <= result <= most:
            yield f"{calculation.result} outside {calculation.limit}"
        return
    if result is None or limit is None or rule in ASIDE:
        return
    if result > limit * (1 + 1e-9) and not _from_below(calculation, result, limit):
        yield f"{calculation.result} against at most {calculation.limit}"
    if result < limit * (1 - 1e-9) and calculation.limit.startswith("at least"):
        yield f"{calculation.result} against {calculation.limit}"


def _leading(text):
    """The first figure of a result or limit, in base units."""
    found = LEADING.match(text)
    return number(found[1]) if found else None


def _from_below(calculation, result, limit):
    """Whether the margin is one to a limit that is to be reached."""
    return calculation.limit.startswith("at least") or calculation.margin == pytest.approx(
        100 * (result / limit - 1), abs=0.5, rel=0.01
    )


@pytest.fixture(scope="module")
def week(tmp_path_factory):
    """All findings of the demo week."""
    folder = tmp_path_factory.mktemp("demo")
    _, jobs = judge(Options(write_demo(folder), folder / "outputs", as_of=TODAY), print)
    return [each for job in jobs for each in job.findings]


def test_no_pass_or_note_of_the_demo_week_prints_what_does_not_hold(week):
    assert false_relations(week) == []


def test_no_pass_or_note_at_the_limit_of_any_row_of_the_checks_prints_what_does_not_hold():
    for case in CASES:
        rule, job, _ = case.values
        assert false_relations(found(rule, job)) == [], case.id


@pytest.mark.parametrize("kind", ["domestic", "workplace", "bays"])
def test_no_pass_or_note_of_a_drawn_job_prints_what_does_not_hold(kind):
    for drawn in (draw(seed, kind) for seed in range(12)):
        job, _ = typed_job(drawn.sheets, drawn.as_of)
        assert false_relations(check_job(job, drawn.edition, drawn.as_of)) == [], f"{kind} {drawn.number}"


GRADES = {"Figure carried over.": Confidence.CARRIED_OVER, "Figure from memory.": Confidence.MEMORY}


def test_every_pass_and_note_is_as_sure_as_the_least_sure_figure_of_its_working(week):
    worked = [each for each in week if each.verdict in HOLDS and each.calculation and each.calculation.inputs]
    for each in worked:
        least = weakest(one.confidence for one in each.calculation.inputs)
        said = next((grade for text, grade in GRADES.items() if each.message.endswith(text)), None)
        assert each.verdict is Verdict.NOTE or least not in GRADES.values(), (each.rule, least)
        assert said is None or said is least, (each.rule, said, least)


def test_a_relation_that_does_not_hold_as_printed_is_noticed(week):
    named = {each.rule for each in week if each.verdict not in HOLDS and each.calculation}
    assert "measured_zs_is_within_its_limit" in named
    (judged,) = [each for each in week if each.verdict is Verdict.FAIL and each.rule in named and "Zs" in each.message]
    assert broken(judged.calculation.numbers)


@pytest.mark.parametrize(
    ("printed", "false"),
    [
        ("63 A + 15.94 A ≤ 63 A", True),
        ("63 A + 15.94 A ≤ 80 A", False),
        ("max(20 A, 16 A) ≤ 32 A", False),
        ("0.90 Ω ≤ 0.8 × 0.95 × 230 V / 200 A", True),
        ("0.87 Ω ≤ 0.8 × 0.95 × 230 V / 200 A", False),
        ("216.2 V ≤ 254 V ≤ 253 V", True),
        ("|2.0 N·m − 2.3 N·m| = 0.3 N·m ≤ 0.2 N·m", True),
        ("-25 °C ≤ -25 °C, 46 °C ≤ 45 °C", True),
        ("500 kA ≤ 6 kA", True),
        ("200 mΩ ≤ 0.35 Ω", False),
    ],
)
def test_a_printed_relation_is_worked_out_with_its_units(printed, false):
    assert bool(broken(printed)) is false


def test_a_margin_below_nought_under_a_note_is_noticed():
    note = Calculation("I ≤ I_n", "", "1.1 Ω", "1.09 Ω (Table 41.3)", 0.2)
    assert list(_false("any", note)) == ["1.1 Ω against at most 1.09 Ω (Table 41.3)"]
