"""What the charge points draw: per point, per circuit, per phase."""

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from math import inf

from pipeline.facts.choices import CircuitKind, YesNo
from pipeline.facts.field import Place
from pipeline.facts.findings import Input
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.row import Row
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.supply import LoadManagement
from pipeline.rules.base import Outcome
from pipeline.rules.outcomes import blank, name_of, shown

Phases = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Load:
    """A current in amperes and the cells it comes from."""

    amperes: float
    inputs: tuple[Input, ...]

    @property
    def places(self) -> tuple[Place, ...]:
        """The cells behind it."""
        return tuple(each.place for each in self.inputs if each.place)


def point_load(job: Job, point: Point) -> Load | Outcome:
    """The design current of a point per phase: the model's rated current, or its limit where that is locked.

    Never name-plate power by voltage: 7.4 kW would give 32.17 A for a point rated 32 A.
    """
    model = job.model(point.model)
    if model is None or model.rated_current is None:
        return blank(name_of(point), model, "rated_current") if model else blank(name_of(point), point, "model")
    rated = magnitude(model.rated_current, "A")
    if point.limit_locked and point.current_limit is not None and magnitude(point.current_limit, "A") < rated:
        return Load(magnitude(point.current_limit, "A"), (_input(point, "current_limit"),))
    return Load(rated, (_input(model, "rated_current"),))


def _input(row: Row, attribute: str) -> Input:
    """A design current as it was typed."""
    return Input("I_B", shown(row, attribute), row.at.get(attribute))


def phases_loaded(job: Job, point: Point) -> tuple[int, ...] | None:
    """The phases of the supply that a point loads; None for a single-phase point of which the phase is not told.

    The number of a way tells it where it ends in L1, L2 or L3, as on three-phase boards.
    """
    circuit, model = job.circuit(point.board, point.circuit), job.model(point.model)
    if (circuit and circuit.phases == 3) and (model is None or model.phases == 3):
        return (0, 1, 2)
    if job.supply.phases != 3:
        return (0,)
    match = re.search(r"L([123])$", point.circuit or "")
    return (int(match[1]) - 1,) if match else None


@dataclass(frozen=True, slots=True)
class Sum:
    """Currents per phase of several points, and whether phases had to be assumed."""

    amperes: Phases
    inputs: tuple[Input, ...] = ()
    assumed: bool = False


def sum_of(job: Job, points: Iterable[Point], *, fallback: bool = False) -> Sum | Outcome:
    """The currents of points per phase, each scheme of load management held to its limit.

    With `fallback` each point of a scheme draws what it falls back to when the signal is lost.
    Points whose phase is not told are spread evenly, what is left over on the phase that is loaded most already.
    """
    told = sorted(points, key=lambda each: phases_loaded(job, each) is None)
    before = [_before(job, each) for each in ("demand_l1", "demand_l2", "demand_l3")]
    by_scheme: dict[str | None, list[float]] = defaultdict(lambda: [0.0, 0.0, 0.0])
    inputs: list[Input] = []
    assumed = False
    for point in told:
        load = point_load(job, point)
        if isinstance(load, Outcome):
            return load
        amperes = min(load.amperes, _fallback(job, point)) if fallback else load.amperes
        phases, own = phases_loaded(job, point), by_scheme[point.scheme]
        assumed = assumed or phases is None
        total = [sum(each[phase] for each in by_scheme.values()) for phase in range(3)]
        for phase in phases or (min(range(3), key=lambda each: (total[each], -before[each])),):
            own[phase] += amperes
        inputs.extend(load.inputs)
    return Sum(_limited(job, by_scheme, fallback=fallback), tuple(inputs), assumed)


def _before(job: Job, attribute: str) -> float:
    """The demand before of one phase in amperes, nought where it is blank."""
    amount = getattr(job.supply, attribute)
    return 0.0 if amount is None else magnitude(amount, "A")


def _fallback(job: Job, point: Point) -> float:
    """What a point draws at most when its scheme's signal is lost, in amperes; unlimited without a scheme."""
    scheme = next((each for each in job.schemes if point.scheme and each.scheme == point.scheme), None)
    return inf if scheme is None or scheme.fallback is None else magnitude(scheme.fallback, "A")


def in_force(job: Job, scheme: LoadManagement) -> bool:
    """Whether a scheme counts: declared before the visit, and afterwards only if it held its limit when tried."""
    return scheme.limit_held is YesNo.YES if job.tested else scheme.limit_held is not YesNo.NO


def _limited(job: Job, by_scheme: dict[str | None, list[float]], *, fallback: bool) -> Phases:
    """Sums per phase, each scheme held to its limit unless the signal is lost."""
    counting = [each for each in job.schemes if each.group_limit is not None and in_force(job, each)]
    limits = {each.scheme: magnitude(each.group_limit, "A") for each in counting}
    total = [0.0, 0.0, 0.0]
    for scheme, currents in by_scheme.items():
        most = limits.get(scheme) if scheme and not fallback else None
        for phase, amperes in enumerate(currents):
            total[phase] += amperes if most is None else min(amperes, most)
    return (total[0], total[1], total[2])


def circuit_load(job: Job, circuit: Circuit) -> Load | Outcome | None:
    """The design current of a circuit per phase: its point's, or all that stands behind a distribution circuit.

    None where no charge point of the job stands behind it.
    """
    if circuit.feeds is CircuitKind.DISTRIBUTION:
        points = [point for board in job.fed_boards(circuit) for point in job.points_behind(board)]
    else:
        points = list(job.points_on(circuit))
    if not points:
        return None
    found = sum_of(job, points)
    if isinstance(found, Outcome):
        return found
    return Load(max(found.amperes), found.inputs)


def circuit_phases(job: Job, circuit: Circuit) -> int:
    """Over how many phases a circuit's load spreads: three only where each of them carries some."""
    if circuit.phases != 3:
        return 1
    if circuit.feeds is CircuitKind.FINAL:
        return 3 if all(phases_loaded(job, each) == (0, 1, 2) for each in job.points_on(circuit)) else 1
    found = sum_of(job, [point for board in job.fed_boards(circuit) for point in job.points_behind(board)])
    return 3 if isinstance(found, Sum) and min(found.amperes) > 0 else 1
