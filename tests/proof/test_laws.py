"""What physics and honesty demand of every figure: more cable never helps, a unit changes nothing, nothing crashes."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from proof.generator import draw
from proof.typing_in import typed_job
from rules.honest import TODAY, bays, build, but, three_phase_tt

from pipeline.editions import CableRun, Load, Missing, edition
from pipeline.errors import PipelineError
from pipeline.facts.choices import CableType, Grouping, Insulation, Method
from pipeline.facts.choices import ProtectiveConductor as Cpc
from pipeline.facts.job import Job
from pipeline.facts.quantities import Quantity, magnitude, quantity
from pipeline.facts.reading import Reading
from pipeline.facts.row import Kind, Row
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.supply import Supply
from pipeline.rules import check_job, check_week
from pipeline.rules.base import Case
from pipeline.rules.loop_impedance import earth_loop
from pipeline.rules.voltage_drop import total_drop

EDITIONS = ("uk_2018_a2", "uk_2018_a4", "iec")
SIZES = (1.5, 2.5, 4, 6, 10, 16, 25, 35, 50)
# many combinations have no figure in the tables: those prove nothing and are drawn anew
TABLED = [HealthCheck.too_slow, HealthCheck.filter_too_much]
few = settings(max_examples=40, deadline=None, suppress_health_check=TABLED)

runs = st.builds(
    CableRun,
    cable=st.sampled_from((CableType.FLAT_TWIN, CableType.MULTICORE, CableType.ARMOURED)),
    insulation=st.sampled_from(Insulation),
    phases=st.sampled_from((1, 3)),
    live_size=st.sampled_from(SIZES).map(lambda each: quantity(each, "mm²")),
    cpc=st.sampled_from(Cpc),
    cpc_size=st.sampled_from(SIZES).map(lambda each: quantity(each, "mm²")),
    length=st.floats(0.5, 400).map(lambda each: quantity(each, "m")),
    method=st.sampled_from((Method.C, Method.C, Method.E, Method.D1, Method.D2, Method.LOFT_100)),
    grouped=st.integers(1, 12),
    ambient=st.floats(10, 60).map(lambda each: quantity(each, "°C")),
    insulation_run=st.sampled_from((0, 0, 0, 50, 120, 600)).map(lambda each: quantity(each, "mm")),
    terminal_rating=st.sampled_from((70, 90)).map(lambda each: quantity(each, "°C")),
    grouping=st.sampled_from(Grouping),
)


def amperes(name, run):
    """I_z in amperes, None where the edition has no figure."""
    found = edition(name).cables.capacity(run)
    return None if isinstance(found, Missing) else magnitude(found.effective.quantity, "A")


def both(name, run, other):
    """I_z of two runs; a case that one of them has no figure for proves nothing."""
    one, two = amperes(name, run), amperes(name, other)
    assume(one is not None and two is not None)
    return one, two


@few
@given(run=runs, size=st.sampled_from(SIZES), name=st.sampled_from(EDITIONS))
def test_a_larger_conductor_never_carries_less(run, size, name):
    small, large = sorted((run.live_size, quantity(size, "mm²")))
    less, more = both(name, replace(run, live_size=small), replace(run, live_size=large))
    assert less <= more


@few
@given(run=runs, warmer=st.floats(0, 30), name=st.sampled_from(EDITIONS))
def test_a_warmer_place_never_carries_more(run, warmer, name):
    hot = quantity(magnitude(run.ambient, "°C") + warmer, "°C")
    cool, warm = both(name, run, replace(run, ambient=hot))
    assert warm <= cool


@few
@given(run=runs, more=st.integers(0, 8), name=st.sampled_from(EDITIONS))
def test_more_circuits_beside_it_never_let_a_cable_carry_more(run, more, name):
    alone, together = both(name, run, replace(run, grouped=run.grouped + more))
    assert together <= alone


@few
@given(run=runs, cold=st.floats(-10, 40), warmer=st.floats(0, 40), name=st.sampled_from(EDITIONS))
def test_copper_never_conducts_better_when_warm(run, cold, warmer, name):
    factors = [edition(name).cables.factor_at(quantity(each, "°C")) for each in (cold, cold + warmer)]
    assert factors[0].quantity <= factors[1].quantity


@few
@given(run=runs, more=st.floats(0, 200), current=st.floats(6, 100), name=st.sampled_from(EDITIONS))
def test_a_longer_cable_never_drops_less_nor_has_a_smaller_loop(run, more, current, name):
    book, longer = edition(name), replace(run, length=run.length + quantity(more, "m"))
    loops = [book.cables.warm_pair_resistance(each) for each in (run, longer)]
    assume(not any(isinstance(each, Missing) for each in loops))
    assert loops[0].quantity <= loops[1].quantity * (1 + 1e-12)
    load = [Load(each, quantity(current, "A"), 1) for each in (run, longer)]
    drops = [book.drops.drop(each, quantity(230, "V")) for each in load]
    assume(not any(isinstance(each, Missing) for each in drops))
    assert drops[0].share.quantity <= drops[1].share.quantity * (1 + 1e-12)


@few
@given(number=st.integers(0, 60), more=st.floats(0.5, 60), kind=st.sampled_from(("domestic", "workplace", "bays")))
def test_a_longer_circuit_of_a_job_never_has_a_smaller_sum_from_the_origin(number, more, kind):
    drawn = draw(number, kind)
    job, _ = typed_job(drawn.sheets, drawn.as_of)
    longer = but(job, "circuits", length=magnitude(job.circuits[0].length, "m") + more)
    for circuit, other in zip(job.circuits, longer.circuits, strict=True):
        before, after = (Case(each, drawn.edition, TODAY) for each in (job, longer))
        assert earth_loop(before, circuit, warm=True).quantity <= earth_loop(after, other, warm=True).quantity
        assert total_drop(before, circuit).percent <= total_drop(after, other).percent


# the same reading in another unit of its kind, as somebody may type it
OTHER_UNITS = {"Ω": ("mΩ", 1000), "kA": ("A", 1000), "ms": ("s", 0.001), "MΩ": ("kΩ", 1000)}
SHEETS = {CircuitReadings: ("r1_r2", "zs", "rcd_time", "rcd_time_180"), Supply: ("ze", "fault_current")}


@few
@given(number=st.integers(0, 60), data=st.data())
def test_no_verdict_flips_under_a_change_of_unit(number, data):
    drawn = draw(number)
    row = data.draw(st.sampled_from(sorted(SHEETS, key=str)))
    attribute = data.draw(st.sampled_from(SHEETS[row]))
    value = data.draw(st.sampled_from((0.02, 0.16, 0.35, 0.874, 1.0925, 3.1, 24.0, 300.0, 301.0)))
    unit, factor = OTHER_UNITS[row.fields()[attribute].unit]
    plain, other = drawn.sheets.copied(), drawn.sheets.copied()
    plain[row][0][attribute] = value
    other[row][0][attribute] = f"{value * factor:.8f}".rstrip("0").rstrip(".") + f" {unit}"
    said = [_said(each, drawn) for each in (plain, other)]
    assert said[0] == said[1]


def _said(sheets, drawn):
    """Every verdict on a job: rule, subject, verdict, with those of its cells."""
    job, of_cells = typed_job(sheets, drawn.as_of)
    found = [*of_cells, *check_job(job, drawn.edition, drawn.as_of)]
    return sorted((each.rule, each.subject, str(each.verdict)) for each in found)


def test_a_quantity_in_another_unit_is_the_same_quantity():
    """Beyond the parsers: a reading that holds milliohms is judged as one that holds ohms."""
    job = build()
    row = job.readings[0].with_values(zs=Reading(typed="390 mΩ", quantity=quantity(390, "mΩ")))
    other = job.model_copy(update={"readings": (row,)})
    verdicts = [
        [(each.rule, each.subject, each.verdict) for each in check_job(each, edition("uk_2018_a2"), TODAY)]
        for each in (job, other)
    ]
    assert verdicts[0] == verdicts[1]


PARTS = [name for name in Job.model_fields if name not in ("row", "photo_sums")]
ODD = (0.0, -0.0, -1.0, 1e-12, 1e12, -1e12)


def odd_values(row: type[Row], attribute: str):
    """Blank, nought, negative, huge; any choice; strange texts."""
    match row.kind(attribute):
        case Kind.AMOUNT | Kind.READING as kind:
            field = row.fields()[attribute]
            # what is impossible in a column never leaves the reader: the cell is refused and counts as blank
            low, high = field.hard or (-1e12, 1e12)
            amounts = [quantity(each, field.unit) for each in (*ODD, low, high) if low <= each <= high]
            if kind is Kind.READING:
                amounts = [Reading(typed="?", quantity=each) for each in amounts]
            return st.sampled_from((None, *amounts))
        case Kind.INTEGER:
            low, high = row.fields()[attribute].hard or (-1, 500)
            return st.sampled_from((None, *(each for each in (0, -1, 1, 2, 3, 500) if low <= each <= high)))
        case Kind.CHOICE:
            return st.none() | st.sampled_from(list(row.choice_type(attribute)))
        case Kind.TEXT:
            return st.none() | st.sampled_from(("", "?", "MAIN", "9", "1L4", "none"))
        case _:
            return st.none()


@st.composite
def odd_jobs(draw_from):
    """An honest job with parts emptied or doubled and cells of any of its rows exchanged for odd ones."""
    job = draw_from(st.sampled_from((build(), three_phase_tt(), bays(3))))
    for part in draw_from(st.lists(st.sampled_from(PARTS), max_size=2)):
        whole = getattr(job, part)
        emptied = () if isinstance(whole, tuple) else type(whole)()
        job = job.model_copy(
            update={part: draw_from(st.sampled_from((emptied, whole + whole)))}
            if isinstance(whole, tuple)
            else {part: emptied}
        )
    for _ in range(draw_from(st.integers(0, 6))):
        part = draw_from(st.sampled_from(["row", *PARTS]))
        whole = getattr(job, part)
        rows = whole if isinstance(whole, tuple) else (whole,)
        if not rows or not isinstance(rows[0], Row):
            continue
        attribute = draw_from(st.sampled_from(list(rows[0].fields())))
        changed = rows[0].with_values(**{attribute: draw_from(odd_values(type(rows[0]), attribute))})
        job = job.model_copy(update={part: (changed, *rows[1:]) if isinstance(whole, tuple) else changed})
    return job


def judged(job, name):
    """Everything that is said of a job; only our own error may come out of it."""
    try:
        return [*check_job(job, edition(name), TODAY), *check_week([job, build()])]
    except PipelineError:
        return []


@few
@given(job=odd_jobs(), name=st.sampled_from(EDITIONS))
def test_no_odd_job_raises_anything_but_our_own_error(job, name):
    judged(job, name)


@pytest.mark.long
@settings(max_examples=3000, deadline=None, suppress_health_check=list(HealthCheck))
@given(job=odd_jobs(), name=st.sampled_from(EDITIONS))
def test_no_odd_job_among_thousands_raises_anything_but_our_own_error(job, name):
    judged(job, name)


def test_the_odd_amounts_are_amounts():
    assert all(isinstance(quantity(each, "Ω"), Quantity) for each in ODD)
