"""What the charge points draw: per point, per circuit, per phase."""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import inf

from pipeline.facts.choices import CircuitKind, YesNo
from pipeline.facts.field import Place
from pipeline.facts.findings import Input
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.row import Row
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.points import Point
from pipeline.rules.base import Case, Outcome, meets
from pipeline.rules.outcomes import blank, name_of, shown

Phases = tuple[float, float, float]
# on three-phase boards the number of a way ends with its phase: common practice
WAY_PHASE = re.compile(r"L([123])$")


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
    match = WAY_PHASE.search(point.circuit or "")
    return (int(match[1]) - 1,) if match else None


@dataclass(frozen=True, slots=True)
class Sum:
    """Currents per phase of several points, whether phases had to be assumed, and the currents without any limit."""

    amperes: Phases
    inputs: tuple[Input, ...]
    assumed: bool
    unlimited: Phases


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
    inputs += _fallbacks_shown(job, by_scheme) if fallback else _limits_shown(job, by_scheme)
    one, two, three = (sum(each[phase] for each in by_scheme.values()) for phase in range(3))
    return Sum(_limited(job, by_scheme, fallback=fallback), tuple(inputs), assumed, (one, two, three))


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


def _counting(job: Job) -> dict[str | None, LoadManagement]:
    """The schemes that count, by their names."""
    return {each.scheme: each for each in job.schemes if each.group_limit is not None and in_force(job, each)}


def _limits_shown(job: Job, by_scheme: Mapping[str | None, list[float]]) -> tuple[Input, ...]:
    """The limits that hold the currents of schemes down, as they were typed."""
    found = [(each, by_scheme[name]) for name, each in _counting(job).items() if name and name in by_scheme]
    return tuple(
        Input("I_limit", shown(each, "group_limit"), each.at.get("group_limit"))
        for each, currents in found
        if not meets(max(currents), magnitude(each.group_limit, "A"))
    )


def _fallbacks_shown(job: Job, by_scheme: Mapping[str | None, list[float]]) -> tuple[Input, ...]:
    """What each point of a scheme falls back to, as it was typed."""
    rows = [each for each in job.schemes if each.scheme in by_scheme and each.fallback is not None]
    return tuple(Input("I_fallback", shown(each, "fallback"), each.at.get("fallback")) for each in rows)


def _limited(job: Job, by_scheme: Mapping[str | None, list[float]], *, fallback: bool) -> Phases:
    """Sums per phase, each scheme held to its limit unless the signal is lost."""
    limits = {name: magnitude(each.group_limit, "A") for name, each in _counting(job).items()}
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
    points = _points_behind(job, circuit)
    if not points:
        return None
    found = sum_of(job, points)
    if isinstance(found, Outcome):
        return found
    return Load(max(found.amperes), found.inputs)


def load_of(case: Case, circuit: Circuit) -> Load | Outcome | None:
    """The same, worked out once a case: several rules ask for it."""
    return case.once(("load", id(circuit)), lambda: circuit_load(case.job, circuit))


def alone_on_a_phase(job: Job, circuit: Circuit) -> Load | Outcome:
    """The largest current of a circuit on one phase while the others carry nothing: single-phase vehicles alone.

    A vehicle on one phase of a three-phase point stands on the first one that reaches the point: the phase that the
    number of the point's way ends with. Points whose way tells none may all stand on the same phase.
    """
    by_scheme: dict[str | None, list[float]] = defaultdict(lambda: [0.0, 0.0, 0.0])
    inputs: list[Input] = []
    for point in _points_behind(job, circuit):
        load = point_load(job, point)
        if isinstance(load, Outcome):
            return load
        own = by_scheme[point.scheme]
        for phase in _first_phase(point):
            own[phase] += load.amperes
        inputs.extend(load.inputs)
    limited = _limited(job, by_scheme, fallback=False)
    return Load(max(limited), (*inputs, *_limits_shown(job, by_scheme)))


def alone_of(case: Case, circuit: Circuit) -> Load | Outcome:
    """The same, worked out once a case."""
    return case.once(("alone", id(circuit)), lambda: alone_on_a_phase(case.job, circuit))


def phases_of(case: Case, circuit: Circuit) -> int:
    """Over how many phases a circuit's load spreads, worked out once a case."""
    return case.once(("phases", id(circuit)), lambda: circuit_phases(case.job, circuit))


def _first_phase(point: Point) -> tuple[int, ...]:
    """The phase that a single-phase vehicle loads at a point; each of them where the number of the way tells none."""
    match = WAY_PHASE.search(point.circuit or "")
    return (int(match[1]) - 1,) if match else (0, 1, 2)


def _points_behind(job: Job, circuit: Circuit) -> list[Point]:
    """The points that a circuit serves: its own, or all behind a distribution circuit."""
    if circuit.feeds is CircuitKind.DISTRIBUTION:
        return [point for board in job.fed_boards(circuit) for point in job.points_behind(board)]
    return list(job.points_on(circuit))


def circuit_phases(job: Job, circuit: Circuit) -> int:
    """Over how many phases a circuit's load spreads: three only where each of them carries some."""
    if circuit.phases != 3:
        return 1
    if circuit.feeds is CircuitKind.FINAL:
        return 3 if all(phases_loaded(job, each) == (0, 1, 2) for each in job.points_on(circuit)) else 1
    found = sum_of(job, _points_behind(job, circuit))
    return 3 if isinstance(found, Sum) and min(found.amperes) > 0 else 1
