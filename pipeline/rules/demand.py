"""What the supply must give: the demand that was there and the new points, phase by phase, against every rating."""

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.facts.choices import CutOutStatus
from pipeline.facts.field import Place
from pipeline.facts.findings import Calculation, Input, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.row import Row
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.loads import Load, Sum, circuit_load, in_force, sum_of
from pipeline.rules.outcomes import lacking, name_of, not_applicable, passed, shown, typed
from pipeline.standards.formula import figure

REFERENCE = "IEC 60364-1, 311.1; IEC 60364-7-722, 722.311"
PHASES = ("demand_l1", "demand_l2", "demand_l3")
# a reserve below this, in per cent, is told: common practice
CLOSE_PERCENT = 10.0
# what a cut-out of which only the carrier was read may carry, as a share of its rating: common practice
UNCONFIRMED_SHARE = 0.8
SPREAD = "The phases of single-phase points are not told and were taken as evenly loaded."


@dataclass(frozen=True, slots=True)
class Demand:
    """The largest demand of a phase after the work, in amperes, with its working; `balanced` if phases were equal."""

    amperes: float
    symbols: str
    numbers: str
    inputs: tuple[Input, ...]
    assumed: bool
    balanced: float

    def against(self, limit: float, source: str, extra: Input) -> Calculation:
        """The working against a rating in amperes."""
        return Calculation(
            self.symbols,
            self.numbers,
            figure(self.amperes, "A"),
            f"{figure(limit, 'A')} ({source})",
            margin(self.amperes, limit),
            (*self.inputs, extra),
        )


def demand_of(case: Case, *, fallback: bool = False) -> Demand | Outcome:
    """The demand of the phase that is loaded most, after the work; with `fallback` after loss of a scheme's signal."""
    return case.once(("demand", fallback), lambda: demand_of_job(case.job, fallback=fallback))


def demand_of_job(job: Job, *, fallback: bool = False) -> Demand | Outcome:
    """The same of a job outside a case, worked out anew."""
    wanted = PHASES[: job.supply.phases or 1]
    if gap := lacking("Supply", job.supply, "phases", *wanted):
        return gap
    added = sum_of(job, job.points, fallback=fallback)
    if isinstance(added, Outcome):
        return added
    before = [magnitude(getattr(job.supply, each), "A") for each in wanted]
    whole = None if fallback else _limit_at_the_intake(job)
    totals = [_total(one, more, whole) for one, more in zip(before, added.amperes, strict=False)]
    phase = totals.index(max(totals))
    inputs = (typed("I_before", job.supply, wanted[phase]), *added.inputs)
    balanced = sum(totals) / len(totals)
    symbols, numbers = _relation(added, before[phase], phase, fallback=fallback)
    if whole is not None and totals[phase] < before[phase] + added.amperes[phase]:
        most = max(before[phase], magnitude(whole.group_limit, "A"))
        symbols = f"I = min({symbols.removeprefix('I = ')}, max(I_before, I_limit))"
        numbers, inputs = f"min({numbers}, {figure(most, 'A')})", (*inputs, typed("I_limit", whole, "group_limit"))
    return Demand(totals[phase], symbols, numbers, tuple(dict.fromkeys(inputs)), added.assumed, balanced)


def _relation(added: Sum, before: float, phase: int, *, fallback: bool) -> tuple[str, str]:
    """The sum of one phase in symbols and figures, with the limit that load management sets to the points."""
    amperes, without = added.amperes[phase], added.unlimited[phase]
    start, name = f"{figure(before, 'A')} + ", f"(L{phase + 1})"
    limited = any(each.symbol == "I_limit" for each in added.inputs)
    if fallback and any(each.symbol == "I_fallback" for each in added.inputs):
        return f"I = I_before + Σmin(I_B, I_fallback) {name}", f"{start}{figure(amperes, 'A')}"
    if limited and amperes < without:
        return (
            f"I = I_before + min(ΣI_B, I_limit) {name}",
            f"{start}min({figure(without, 'A')}, {figure(amperes, 'A')})",
        )
    return f"I = I_before + ΣI_B {name}", f"{start}{figure(amperes, 'A')}"


def _total(before: float, added: float, whole: LoadManagement | None) -> float:
    """One phase: the sum, unless a scheme that measures at the intake keeps the whole site below its limit."""
    return before + added if whole is None else min(before + added, max(before, magnitude(whole.group_limit, "A")))


def _limit_at_the_intake(job: Job) -> LoadManagement | None:
    """The scheme with the lowest limit whose sensor at the intake sees the whole site; its place must be told."""
    schemes = [
        each
        for each in job.schemes
        if each.board is None and each.sensor_place and each.group_limit is not None and in_force(job, each)
    ]
    if not schemes or not all(each.scheme for each in job.points):
        return None
    return min(schemes, key=lambda each: magnitude(each.group_limit, "A"))


def _judged(case: Case, row: Row, attribute: str, what: str) -> Iterator[Outcome]:
    """The demand after the work against one rating."""
    demand = demand_of(case)
    if isinstance(demand, Outcome):
        yield demand
        return
    limit = magnitude(getattr(row, attribute), "A")
    calculation = demand.against(limit, what, typed("I_n", row, attribute))
    places = tuple(each.place for each in calculation.inputs if each.place)
    spread = f" {SPREAD}" if demand.assumed else ""
    if not meets(demand.amperes, limit):
        unsure = demand.assumed and meets(demand.balanced, limit)
        yield Outcome(
            Verdict.QUERY if unsure else Verdict.FAIL,
            "Supply",
            f"The demand with the new points is more than {what} can carry.{spread}",
            places,
            found=calculation.result,
            expected=f"at most {figure(limit, 'A')}",
            remedy="End the circuit's number with L1, L2 or L3, so that its phase is known."
            if unsure
            else "Limit the points by load management, lower their limit, or have the supply enlarged.",
            calculation=calculation,
        )
    elif spread or not reaches(calculation.margin, CLOSE_PERCENT):
        yield Outcome(
            Verdict.NOTE,
            "Supply",
            f"The demand with the new points is within what {what} can carry.{spread}",
            places,
            found=calculation.result,
            expected=f"at most {figure(limit, 'A')}",
            remedy="Nothing; the signatory sees how much is left.",
            calculation=calculation,
        )
    else:
        yield passed("Supply", f"The demand with the new points is within what {what} can carry.", places, calculation)


@rule(title="The demand fits the cut-out", area=Area.DEMAND, reference=REFERENCE)
def demand_fits_the_cut_out(case: Case) -> Iterator[Outcome]:
    """Demand before and new points against the supply's fuse."""
    gap = lacking("Supply", case.job.supply, "cutout_rating")
    yield from (gap,) if gap else _judged(case, case.job.supply, "cutout_rating", "the cut-out")


@rule(title="An unsure cut-out has a reserve", area=Area.DEMAND, reference="common practice")
def unsure_cut_outs_have_a_reserve(case: Case) -> Iterator[Outcome]:
    """A rating that was only read on the carrier may belong to a smaller fuse."""
    supply = case.job.supply
    if gap := lacking("Supply", supply, "cutout_rating", "cutout_status"):
        yield gap
        return
    if supply.cutout_status is CutOutStatus.CONFIRMED:
        yield passed("Supply", "The rating of the cut-out is confirmed.", supply.where("cutout_status"))
        return
    demand = demand_of(case)
    if isinstance(demand, Outcome):
        yield demand
        return
    limit = UNCONFIRMED_SHARE * magnitude(supply.cutout_rating, "A")
    calculation = demand.against(limit, "80 % of an unconfirmed rating", typed("I_n", supply, "cutout_rating"))
    if meets(demand.amperes, limit):
        yield passed("Supply", "The demand is below 80 % of the unconfirmed rating.", (), calculation)
    else:
        yield Outcome(
            Verdict.QUERY,
            "Supply",
            "The rating of the cut-out is not confirmed and more than 80 % of it is used.",
            supply.where("cutout_rating", "cutout_status"),
            found=f"{calculation.result}; rating {supply.shown('cutout_status')}",
            expected=f"at most {figure(limit, 'A')}, or a confirmed rating",
            remedy="Have the network operator confirm the rating of the cut-out.",
            calculation=calculation,
        )


@rule(title="The demand fits the agreed capacity", area=Area.DEMAND, reference=REFERENCE)
def demand_fits_the_agreed_capacity(case: Case) -> Iterator[Outcome]:
    """Where a capacity per phase is agreed with the operator."""
    if case.job.supply.agreed_capacity is None:
        yield not_applicable("Supply", "No capacity is agreed.")
    else:
        yield from _judged(case, case.job.supply, "agreed_capacity", "the agreed capacity")


@rule(title="The demand fits the main switch", area=Area.DEMAND, reference=REFERENCE)
def demand_fits_the_main_switch(case: Case) -> Iterator[Outcome]:
    """The main switch of the board at the intake carries the whole site; behind several boards, each its own part."""
    at_intake = [each for each in case.job.boards if each.fed_board is None]
    for board in at_intake:
        if gap := lacking(name_of(board), board, "main_switch_rating"):
            yield gap
        elif len(at_intake) == 1:
            yield from _judged(case, board, "main_switch_rating", f"the main switch of board {board.board}")
        else:
            yield _points_only(case.job, board)


def _points_only(job: Job, board: Board) -> Outcome:
    """A board of several at the intake: what else it carries is not known, so only its points are compared."""
    added = sum_of(job, job.points_behind(board))
    if isinstance(added, Outcome):
        return added
    load = Load(max(added.amperes), added.inputs)
    return _switch(board, "main_switch_rating", load, "the charge points behind it")


@rule(title="Switches carry what stands behind them", area=Area.DEMAND, reference="IEC 60364-5-53, 536.5")
def switches_carry_what_stands_behind_them(case: Case) -> Iterator[Outcome]:
    """Rated current at least that of the device upstream, or the sum downstream."""
    job = case.job
    for board in job.boards:
        feeder = job.feeder(board)
        if feeder is None or board.main_switch_rating is None:
            continue
        load = circuit_load(job, feeder)
        yield _covered(board, "main_switch_rating", feeder, load)
    for circuit in job.circuits:
        if circuit.switch_rating is not None:
            yield _covered(circuit, "switch_rating", circuit, circuit_load(job, circuit))


def _covered(row: Row, attribute: str, upstream: Circuit, load: Load | Outcome | None) -> Outcome:
    """The verdict on a switch by the device before it, else by what it carries."""
    rating = getattr(row, attribute)
    if upstream.device_rating is not None and reaches(rating, upstream.device_rating):
        return passed(
            name_of(row),
            f"The switch ({shown(row, attribute)}) is rated for the device before it.",
            row.where(attribute) + upstream.where("device_rating"),
        )
    if isinstance(load, Outcome):
        return load
    return _switch(row, attribute, load or Load(0.0, ()), "what stands behind it")


def _switch(row: Row, attribute: str, load: Load, what: str) -> Outcome:
    """The verdict on a switch by the current that it carries."""
    amperes, rating = load.amperes, magnitude(getattr(row, attribute), "A")
    calculation = Calculation(
        "ΣI_B",
        figure(amperes, "A"),
        figure(amperes, "A"),
        f"{figure(rating, 'A')} (rated current of the switch)",
        margin(amperes, rating),
        (*load.inputs, typed("I_n", row, attribute)),
    )
    places: tuple[Place, ...] = row.where(attribute)
    if meets(amperes, rating):
        return passed(name_of(row), f"The switch carries {what}.", places, calculation)
    return Outcome(
        Verdict.FAIL,
        name_of(row),
        f"The switch is rated below {what}.",
        places,
        found=figure(rating, "A"),
        expected=f"at least {figure(amperes, 'A')}",
        remedy="Fit a switch with a higher rated current, or put a smaller device before it.",
        calculation=calculation,
    )


@rule(title="The demand before has a method", area=Area.DEMAND, reference="IEC 60364-1, 311.1")
def demand_before_has_a_method(case: Case) -> Iterator[Outcome]:
    """A demand that nobody knows how it was found cannot be relied on."""
    supply = case.job.supply
    if supply.demand_by is not None:
        yield passed("Supply", f"Demand before: {supply.demand_by}.", supply.where("demand_by"))
    else:
        yield Outcome(
            Verdict.QUERY,
            "Supply",
            "Nobody says how the demand before was found.",
            supply.where("demand_by"),
            found="blank",
            expected=", ".join(supply.choices("demand_by")),
            remedy="Choose how the demand was found.",
        )
