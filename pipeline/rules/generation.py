"""Generation adds to the supply on the load side: what a board and a cable must carry when both feed them."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pipeline.editions import Missing
from pipeline.facts.choices import YesNo
from pipeline.facts.field import Place
from pipeline.facts.findings import Calculation, Input, Verdict
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.points import Point
from pipeline.rules.base import Area, Case, Outcome, margin, meets, rule
from pipeline.rules.conductors import cable_of
from pipeline.rules.demand import demand_of
from pipeline.rules.outcomes import cells, lacking, name_of, not_applicable, passed, tabled, typed
from pipeline.standards.common_practice.supply import current_of_power
from pipeline.standards.formula import figure

REFERENCE = "IEC 60364-5-55, 551.7.2 (from memory)"


@dataclass(frozen=True, slots=True)
class Sum:
    """The device before a place and the generation into it, in amperes, with their cells."""

    device: float
    generation: float
    inputs: tuple[Input, ...]

    @property
    def total(self) -> float:
        """What both can feed together."""
        return self.device + self.generation

    def against(self, limit: float, symbol: str, extra: Input) -> Calculation:
        """The working against a rating or a capacity in amperes."""
        return Calculation(
            f"I_n + I_g ≤ {symbol}",
            f"{figure(self.device, 'A')} + {figure(self.generation, 'A')} ≤ {figure(limit, 'A')}",
            figure(self.total, "A"),
            f"{figure(limit, 'A')} ({symbol})",
            margin(self.total, limit),
            (*self.inputs, extra),
        )


@rule(title="A board carries supply and generation", area=Area.SOURCES, reference=REFERENCE)
def boards_carry_supply_and_generation(case: Case) -> Iterator[Outcome]:
    """I_n + I_g ≤ the rating of the board: the device upstream does not see what comes from the other side."""
    fed = {each.board: each for source in case.job.sources if (each := case.job.board(source.board))}
    for board in fed.values():
        total = _into(case, board)
        gap = lacking(name_of(board), board, "main_switch_rating")
        yield gap or (total if isinstance(total, Outcome) else _board(case, board, total))
    if not fed:
        yield not_applicable("Job", "No source is connected to a board of this job.")


def _into(case: Case, board: Board) -> Sum | Outcome:
    """The device before a board, and the sources connected to it."""
    supply, feeder = case.job.supply, case.job.feeder(board)
    row, attribute = (feeder, "device_rating") if feeder else (supply, "cutout_rating")
    if gap := lacking(name_of(row), row, attribute) or lacking("Supply", supply, "voltage"):
        return gap
    inputs, amperes = [typed("I_n", row, attribute)], 0.0
    for source in case.job.sources:
        if source.board != board.board:
            continue
        if gap := lacking(name_of(source), source, "rating", "phases"):
            return gap
        worked = current_of_power(power=source.rating, phases=source.phases or 1, u_0=supply.voltage)
        amperes += magnitude(worked.quantity, "A")
        inputs.append(typed("P_g", source, "rating"))
    return Sum(magnitude(getattr(row, attribute), "A"), amperes, tuple(inputs))


def _board(case: Case, board: Board, total: Sum) -> Outcome:
    """The verdict on a board that is fed from both sides."""
    rating = magnitude(board.main_switch_rating, "A")
    calculation = total.against(rating, "I_nA", typed("I_nA", board, "main_switch_rating"))
    places = cells(*calculation.inputs)
    if meets(total.total, rating):
        return passed(name_of(board), "The board carries supply and generation together.", places, calculation)
    demand = demand_of(case)
    known = not isinstance(demand, Outcome) and meets(demand.amperes, rating)
    return Outcome(
        Verdict.QUERY,
        name_of(board),
        "The device upstream and the generation together are more than the board's rating"
        f"{', though the demand as assessed stays below it' if known else ''}.",
        places,
        found=calculation.result,
        expected=f"at most {calculation.limit}",
        remedy="Put a smaller device before the board, or take a board with a higher rating.",
        calculation=calculation,
    )


@rule(title="A cable carries supply and generation", area=Area.SOURCES, reference=REFERENCE)
def cables_carry_supply_and_generation(case: Case) -> Iterator[Outcome]:
    """I_n + I_g ≤ I_z where a point sends power back and something else is on its circuit.

    Alone on it a point takes or gives, so that the cable never carries both: the larger of the two decides.
    """
    found = False
    for point in case.job.points:
        model, circuit = case.job.model(point.model), case.job.circuit(point.board, point.circuit)
        if model is None or circuit is None or model.returns_power is not YesNo.YES:
            continue
        found = True
        gap = lacking(name_of(point), model, "rated_current") or lacking(name_of(circuit), circuit, "device_rating")
        returned = magnitude(model.rated_current, "A") if model.rated_current is not None else 0.0
        yield gap or _cable(case, (point, circuit), returned, typed("I_g", model, "rated_current"))
    if not found:
        yield not_applicable("Job", "No charge point of this job sends power back.")


def _cable(case: Case, where: tuple[Point, Circuit], returned: float, source: Input) -> Outcome:
    """The verdict on the cable of a point that sends power back."""
    point, circuit = where
    run = cable_of(case, circuit)
    capacity = case.edition.cables.capacity(run) if run else None
    if capacity is None or isinstance(capacity, Missing):
        return not_applicable(name_of(circuit), "Told where the capacity of the cable is judged.")
    device = magnitude(circuit.device_rating, "A")
    total = Sum(device, returned, (typed("I_n", circuit, "device_rating"), source))
    limit = magnitude(capacity.effective.quantity, "A")
    alone = len(case.job.points_on(circuit)) == 1
    carried = max(device, returned) if alone else total.total
    calculation = total.against(limit, "I_z", tabled("I_z", capacity.effective))
    if alone:
        calculation = replace(
            calculation,
            symbols="max(I_n, I_g) ≤ I_z",
            numbers=f"max({figure(device, 'A')}, {figure(returned, 'A')}) ≤ {figure(limit, 'A')}",
            result=figure(carried, "A"),
            margin=margin(carried, limit),
        )
    places: tuple[Place, ...] = cells(*calculation.inputs)
    if meets(carried, limit):
        only = f": only {point.point} is on it, which takes or gives" if alone else " together"
        message = f"The cable carries supply and generation{only}."
        return passed(name_of(circuit), message, places, calculation, capacity.effective.confidence)
    return Outcome(
        Verdict.QUERY,
        name_of(circuit),
        "What the device lets through or the point sends back is more than the cable's capacity."
        if alone
        else "Device and generation together are more than the cable's capacity.",
        places,
        found=calculation.result,
        expected=f"at most {calculation.limit}",
        remedy="Choose a larger cable.",
        calculation=calculation,
    )
