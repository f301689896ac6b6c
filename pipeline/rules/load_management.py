"""Load management: whether its limit can be held where it measures, and with its fallback was tried."""

from collections.abc import Iterator

from pipeline.facts.choices import YesNo
from pipeline.facts.findings import Calculation, Input, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude, quantity
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.supply import Supply
from pipeline.rules.base import Area, Case, Outcome, margin, meets, rule
from pipeline.rules.demand import PHASES, Demand, demand_of
from pipeline.rules.loads import Sum, sum_of
from pipeline.rules.outcomes import (
    blank,
    cells,
    distinct,
    lacking,
    name_of,
    not_applicable,
    passed,
    shown,
    tabled,
    typed,
)
from pipeline.standards.formula import figure

LIMITED = "IEC 60364-7-722, 722.311"


@rule(title="A limit can be held where its sensor measures", area=Area.DEMAND, reference=LIMITED)
def limits_can_be_held_where_their_sensor_measures(case: Case) -> Iterator[Outcome]:
    """A sensor holds the current that flows through it: all of its points, and at the intake the other loads as well.

    By the pilot a point is turned down to 6 A, not below; what a scheme must switch off, somebody has to answer for.
    """
    for scheme in case.job.schemes:
        if scheme.board is not None and case.job.board(scheme.board) is None:
            yield blank(name_of(scheme), scheme, "board")
        elif gap := lacking(name_of(scheme), scheme, "group_limit"):
            yield gap
        elif unseen := _unseen(case.job, scheme):
            yield _not_seen(scheme, unseen)
        else:
            yield _above_the_supply(case.job, scheme) or _held_at_the_sensor(case, scheme)


def sees_the_whole_site(job: Job, scheme: LoadManagement) -> bool:
    """Whether everything that the supply feeds flows past a scheme's sensor: at the intake, or its only board."""
    first = [each for each in job.boards if each.fed_board is None]
    return scheme.board is None or (len(first) == 1 and first[0].board == scheme.board)


def _of(job: Job, scheme: LoadManagement) -> list[Point]:
    """The charge points of a scheme."""
    return [each for each in job.points if scheme.scheme and each.scheme == scheme.scheme]


def _unseen(job: Job, scheme: LoadManagement) -> list[Point]:
    """Points of a scheme whose current does not flow past its sensor."""
    board = job.board(scheme.board)
    return [each for each in _of(job, scheme) if each not in job.points_behind(board)] if board else []


def _not_seen(scheme: LoadManagement, unseen: list[Point]) -> Outcome:
    """The verdict on a sensor that some of its points do not pass."""
    return Outcome(
        Verdict.QUERY,
        name_of(scheme),
        f"The sensor does not see {', '.join(str(each.point) for each in unseen)}, so that its limit cannot hold them.",
        scheme.where("board") + tuple(place for each in unseen for place in each.where("scheme", "board")),
        found=f"sensor at board {scheme.board}",
        expected="a sensor before every point of the scheme",
        remedy="Enter the board at whose incoming line the sensor is, or take those points out of the scheme.",
    )


def _above_the_supply(job: Job, scheme: LoadManagement) -> Outcome | None:
    """A limit of the whole site that lies above what the supply can carry protects nothing; None where it does not."""
    told = _ratings(job)
    if not told or not sees_the_whole_site(job, scheme) or meets(scheme.group_limit, quantity(told[0][0], "A")):
        return None
    most, what, rated = told[0]
    return Outcome(
        Verdict.QUERY,
        name_of(scheme),
        f"The sensor sees the whole site, and the limit is above what {what} can carry.",
        cells(typed("I_limit", scheme, "group_limit"), rated),
        found=shown(scheme, "group_limit"),
        expected=f"at most {figure(most, 'A')} ({what})",
        remedy="Set the limit to what the supply can carry, or enter the board whose incoming line the sensor is on.",
    )


def _held_at_the_sensor(case: Case, scheme: LoadManagement) -> Outcome:
    """The verdict on a limit: what flows past the sensor when each point draws the least that a pilot allows."""
    job, least = case.job, case.edition.charging.least_current()
    whole = sees_the_whole_site(job, scheme)
    wanted = PHASES[: job.supply.phases or 1] if whole else ()
    if gap := lacking("Supply", job.supply, *wanted):
        return gap
    before = [magnitude(getattr(job.supply, each), "A") for each in wanted] or [0.0, 0.0, 0.0]
    lowest = {"scheme": None, "current_limit": least.quantity, "limit_locked": "the pilot"}
    points = sum_of(job, [each.with_values(**lowest) for each in _of(job, scheme)])
    if isinstance(points, Outcome):
        return points
    totals = [one + more for one, more in zip(before, points.amperes, strict=False)]
    phase, limit = totals.index(max(totals)), magnitude(scheme.group_limit, "A")
    other = (typed("I_before", job.supply, wanted[phase]),) if whole else ()
    start = f"{figure(before[phase], 'A')} + " if whole else ""
    inputs: tuple[Input, ...] = (*other, tabled("I_min", least), typed("I_limit", scheme, "group_limit"))
    calculation = Calculation(
        f"I = {'I_before + ' if whole else ''}ΣI_min (L{phase + 1})",
        f"{start}{points.amperes[phase] / magnitude(least.quantity, 'A'):g} × {least.shown}",
        figure(totals[phase], "A"),
        f"{figure(limit, 'A')} (limit of {scheme.scheme})",
        margin(totals[phase], limit),
        inputs,
    )
    if meets(totals[phase], limit):
        seen = "the whole site" if whole else "its points alone"
        return passed(
            name_of(scheme),
            f"The limit can be held where the sensor sees {seen}.",
            cells(*inputs),
            calculation,
            least.confidence,
        )
    return Outcome(
        Verdict.QUERY,
        name_of(scheme),
        "The sensor sees the rest of the site as well, and beside it the points cannot be turned down to this limit."
        if whole
        else "The points cannot all be turned down to this limit.",
        cells(*inputs),
        found=f"{calculation.result} with each point at {least.shown}",
        expected=f"at most {figure(limit, 'A')}",
        remedy="If the sensor is on the cable to the points, enter the board that this cable feeds. "
        "Else raise the limit to what the supply can give, or show that the scheme switches points off."
        if whole
        else "Raise the limit, or show that the scheme switches points off.",
        calculation=calculation,
    )


@rule(title="Load management keeps its limit", area=Area.DEMAND, reference=LIMITED)
def load_management_keeps_its_limit(case: Case) -> Iterator[Outcome]:
    """Declared, and in a tested job tried: limit and fallback held, with points enough to reach the limit."""
    for scheme in case.job.schemes:
        if gap := lacking(name_of(scheme), scheme, "group_limit", "fallback"):
            yield gap
        elif case.job.tested:
            yield _tried(case.job, scheme)
        else:
            yield Outcome(
                Verdict.NOTE,
                name_of(scheme),
                "The demand counts on this scheme, which is to be tried at commissioning.",
                scheme.where("group_limit"),
                found=shown(scheme, "group_limit"),
                expected="limit and fallback tried",
                remedy="Try both when the points are commissioned.",
            )


def _tried(job: Job, scheme: LoadManagement) -> Outcome:
    """The verdict on a scheme after commissioning."""
    tests = ("limit_held", "fallback_held", "sensor_checked")
    if gap := lacking(name_of(scheme), scheme, *tests, "tested_points"):
        return gap
    places = scheme.where(*tests, "tested_points")
    broken = [scheme.fields()[each].title for each in tests if getattr(scheme, each) is YesNo.NO]
    needed = _points_needed(job, scheme)
    if broken:
        return Outcome(
            Verdict.FAIL,
            name_of(scheme),
            f"Not held: {', '.join(broken)}.",
            places,
            found="no",
            expected="yes",
            remedy="Put the scheme right and try again, or set each point to a current that needs no scheme.",
        )
    if (scheme.tested_points or 0) < needed:
        return Outcome(
            Verdict.QUERY,
            name_of(scheme),
            "Too few points were charging to reach the limit.",
            places,
            found=f"{scheme.tested_points} points",
            expected=f"{needed} points",
            remedy="Try again with more vehicles or adapters, or have the signatory accept it.",
        )
    return passed(name_of(scheme), "Limit and fallback held when they were tried.", places)


def _points_needed(job: Job, scheme: LoadManagement) -> int:
    """How many points must charge at once before the scheme has anything to limit."""
    points = [each for each in job.points if each.scheme == scheme.scheme]
    limit, total = magnitude(scheme.group_limit, "A"), 0.0
    for count, point in enumerate(points, start=1):
        added = sum_of(job, [point.with_values(scheme=None)])
        total += 0.0 if isinstance(added, Outcome) else max(added.amperes)
        if not meets(total, limit):
            return count
    return len(points)


@rule(title="The fallback fits the supply", area=Area.DEMAND, reference=LIMITED)
def fallback_fits_the_supply(case: Case) -> Iterator[Outcome]:
    """When the signal is lost each point falls back to its own current, and all of them must still fit."""
    supply = case.job.supply
    if not case.job.schemes:
        yield not_applicable("Supply", "No load management is declared.")
        return
    if supply.cutout_rating is None:
        yield blank("Supply", supply, "cutout_rating")
        return
    demand = demand_of(case, fallback=True)
    if isinstance(demand, Outcome):
        yield demand
        return
    yield _fallen_back(case.job, demand, *_ratings(case.job)[0])
    yield from _feeders_fallen_back(case.job)


def _ratings(job: Job) -> list[tuple[float, str, Input]]:
    """The ratings of what the whole site flows through, the lowest first: cut-out, agreed capacity, main switch."""
    first = [each for each in job.boards if each.fed_board is None]
    rows: list[tuple[Supply | Board, str, str]] = [
        (job.supply, "cutout_rating", "the cut-out"),
        (job.supply, "agreed_capacity", "the agreed capacity"),
        *((each, "main_switch_rating", f"the main switch of board {each.board}") for each in first if len(first) == 1),
    ]
    told = [
        (magnitude(rating, "A"), what, typed("I_n", row, attribute))
        for row, attribute, what in rows
        if (rating := getattr(row, attribute)) is not None
    ]
    return sorted(told, key=lambda each: each[0])


def _fallen_back(job: Job, demand: Demand, limit: float, what: str, extra: Input) -> Outcome:
    """The verdict on what is drawn once the signal is lost."""
    calculation = demand.against(limit, what, extra)
    places = tuple(place for each in job.schemes for place in each.where("fallback"))
    if meets(demand.amperes, limit):
        return passed("Supply", "What the points fall back to fits the supply.", places, calculation)
    return Outcome(
        Verdict.FAIL,
        "Supply",
        f"When the signal is lost, the points draw more than {what} can carry.",
        places,
        found=calculation.result,
        expected=f"at most {figure(limit, 'A')}",
        remedy="Set a lower current for the loss of signal.",
        calculation=calculation,
    )


def _feeders_fallen_back(job: Job) -> Iterator[Outcome]:
    """The same behind each distribution circuit that feeds points of a scheme: its device must bear what they draw."""
    for circuit in job.circuits:
        points = [point for board in job.fed_boards(circuit) for point in job.points_behind(board)]
        if circuit.device_rating is None or not any(each.scheme for each in points):
            continue
        drawn = sum_of(job, points, fallback=True)
        yield drawn if isinstance(drawn, Outcome) else _feeder_fallen_back(circuit, drawn)


def _feeder_fallen_back(circuit: Circuit, drawn: Sum) -> Outcome:
    """The verdict on one distribution circuit once the signal is lost."""
    amperes, rating = max(drawn.amperes), magnitude(circuit.device_rating, "A")
    calculation = Calculation(
        "Σmin(I_B, I_fallback) ≤ I_n",
        f"{figure(amperes, 'A')} ≤ {figure(rating, 'A')}",
        figure(amperes, "A"),
        f"{figure(rating, 'A')} (the device of the distribution circuit)",
        margin(amperes, rating),
        distinct((*drawn.inputs, typed("I_n", circuit, "device_rating"))),
    )
    if meets(amperes, rating):
        message = "What the points fall back to fits their distribution circuit."
        return passed(name_of(circuit), message, cells(*calculation.inputs), calculation)
    return Outcome(
        Verdict.FAIL,
        name_of(circuit),
        "When the signal is lost, the points draw more than their distribution circuit can carry.",
        cells(*calculation.inputs),
        found=calculation.result,
        expected=f"at most {figure(rating, 'A')}",
        remedy="Set a lower current for the loss of signal.",
        calculation=calculation,
    )
