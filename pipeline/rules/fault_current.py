"""The largest fault current at a board against its devices, and whether readings of it agree."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pipeline.facts.choices import ByWhat, EarthingSystem, YesNo
from pipeline.facts.findings import Calculation, Input, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.supply import Supply
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.intake import span_by_loop, voltage_then
from pipeline.rules.outcomes import (
    blank,
    cells,
    lacking,
    name_of,
    not_applicable,
    nought,
    passed,
    shown,
    typed,
    unmeasured,
)
from pipeline.rules.slips import Pair, advice
from pipeline.standards.common_practice.supply import three_phase_by_lines, three_phase_by_neutral
from pipeline.standards.formula import figure
from pipeline.standards.iec_60364_4_41_2005.clause_411 import fault_current

# a reserve below this, in per cent, is told: common practice
CLOSE_PERCENT = 10.0
# plausible ratios of fault currents at one place: common practice, lower near a transformer
THREE_PHASE_RATIO = (1.3, 2.2)
LINES_RATIO = (0.85, 1.9)
# a fault current against U_0 / Z_e: common practice
LEAST_OF_LOOP, MOST_OF_LOOP = 0.8, 1.25


@dataclass(frozen=True, slots=True)
class Prospective:
    """The largest fault current at a board in kiloamperes, how it was found, and its cells."""

    kiloamperes: float
    how: str
    inputs: tuple[Input, ...]


def largest_at(job: Job, board: Board) -> Prospective | Outcome:
    """The reading at the board, else what the supply can give: a figure upstream is never too small."""
    if board.fault_current and board.fault_current.measured:
        value = magnitude(board.fault_current.quantity, "kA")
        return Prospective(value, "measured at the board", (typed("I_pf", board, "fault_current"),))
    return largest_at_origin(job.supply)


def largest_at_origin(supply: Supply) -> Prospective | Outcome:
    """Three-phase as entered, else from line–line, else twice the line–neutral figure."""
    by = supply.shown("fault_current_by") or "source not stated"
    if supply.phases != 3:
        if gap := unmeasured("Supply", supply, "fault_current"):
            return gap
        # where metal parts share its way to earth, a fault to earth may be the larger one
        both = [each for each in ("fault_current", "fault_current_le") if _kiloamperes(supply, each)]
        larger = max(both or ["fault_current"], key=lambda each: _kiloamperes(supply, each))
        return Prospective(_kiloamperes(supply, larger), f"at the intake, {by}", (typed("I_pf", supply, larger),))
    if supply.fault_current_3ph and supply.fault_current_3ph.measured:
        value = magnitude(supply.fault_current_3ph.quantity, "kA")
        return Prospective(value, f"three-phase at the intake, {by}", (typed("I_3ph", supply, "fault_current_3ph"),))
    if supply.fault_current_ll and supply.fault_current_ll.measured:
        worked = three_phase_by_lines(current=supply.fault_current_ll.quantity)
        inputs = (typed("I_LL", supply, "fault_current_ll"),)
        return Prospective(magnitude(worked.quantity, "kA"), "1.155 × line to line at the intake", inputs)
    if gap := unmeasured("Supply", supply, "fault_current"):
        return gap
    worked = three_phase_by_neutral(current=supply.fault_current.quantity if supply.fault_current else None)
    inputs = (typed("I_LN", supply, "fault_current"),)
    return Prospective(magnitude(worked.quantity, "kA"), "2 × line to neutral at the intake", inputs)


def _kiloamperes(supply: Supply, attribute: str) -> float:
    """A fault current in kiloamperes, nought where none was measured."""
    reading = getattr(supply, attribute)
    return magnitude(reading.quantity, "kA") if reading and reading.measured else 0.0


@rule(
    title="The device can break the fault current",
    area=Area.FAULT_CURRENT,
    reference="IEC 60364-4-43, 434.5.1; IEC 61439-3",
)
def breaking_capacity_covers_the_fault_current(case: Case) -> Iterator[Outcome]:
    """The breaking capacity, or the rating that the board's maker declares for board and device together."""
    for circuit in case.job.circuits:
        board = case.job.board(circuit.board)
        if board is None:
            continue
        largest = largest_at(case.job, board)
        if gap := lacking(name_of(circuit), circuit, "breaking_capacity"):
            yield gap
        else:
            yield largest if isinstance(largest, Outcome) else _breaking(case, board, circuit, largest)


def _breaking(case: Case, board: Board, circuit: Circuit, largest: Prospective) -> Outcome:
    """The verdict on one device."""
    own = magnitude(circuit.breaking_capacity, "kA")
    calculation = _against(largest, own, "breaking capacity of the device", typed("I_cn", circuit, "breaking_capacity"))
    places = cells(*calculation.inputs)
    if not meets(largest.kiloamperes, own):
        return _backed_up(case, board, circuit, largest)
    if not reaches(calculation.margin, CLOSE_PERCENT):
        return Outcome(
            Verdict.NOTE,
            name_of(circuit),
            "The device can break the fault current with hardly a reserve.",
            places,
            found=f"{calculation.result} ({largest.how})",
            expected=f"at most {calculation.limit}",
            remedy="Nothing; the signatory sees how much is left.",
            calculation=calculation,
        )
    return passed(name_of(circuit), f"The device can break the fault current ({largest.how}).", places, calculation)


def _against(largest: Prospective, limit: float, what: str, extra: Input) -> Calculation:
    """A fault current against a rating in kiloamperes."""
    return Calculation(
        "I_pf ≤ I_cn",
        f"{figure(largest.kiloamperes, 'kA')} ≤ {figure(limit, 'kA')}",
        figure(largest.kiloamperes, "kA"),
        f"{figure(limit, 'kA')} ({what})",
        margin(largest.kiloamperes, limit),
        (*largest.inputs, extra),
    )


def _backed_up(case: Case, board: Board, circuit: Circuit, largest: Prospective) -> Outcome:
    """The verdict on a device below the fault current: by the conditional rating that the board's maker declares."""
    rated = magnitude(board.conditional_rating, "kA") if board.conditional_rating is not None else 0.0
    extra = typed("I_cc", board, "conditional_rating")
    declared = board.conditional_source is not None and meets(largest.kiloamperes, rated)
    places = cells(*largest.inputs, extra) + circuit.where("breaking_capacity") + board.where("conditional_source")
    _, most = case.edition.protection.conditional_rating()
    cutout = case.job.supply.cutout_rating
    backed = cutout is not None and meets(cutout, most.quantity)
    if declared and backed and board.mixed_makes is None:
        return blank(name_of(circuit), board, "mixed_makes")
    if declared and backed and board.mixed_makes is YesNo.NO:
        calculation = _against(largest, rated, f"conditional rating, {board.conditional_source}", extra)
        return passed(
            name_of(circuit),
            f"Board and device together are rated for the fault current ({board.conditional_source}).",
            places,
            calculation,
        )
    why = "no conditional rating with its source is declared for the board"
    if declared:
        why = (
            "the board holds devices of mixed makes"
            if backed
            else f"the cut-out is not known to be {most.shown} or less"
        )
    return Outcome(
        Verdict.QUERY if declared else Verdict.FAIL,
        name_of(circuit),
        f"The fault current is more than the device can break, and {why}.",
        places,
        found=f"{figure(largest.kiloamperes, 'kA')} ({largest.how})",
        expected=f"at most {shown(circuit, 'breaking_capacity')}, or a declared rating of board and device together",
        remedy="Fit a device with a higher breaking capacity, or enter what the board's maker declares and where.",
        calculation=_against(
            largest,
            magnitude(circuit.breaking_capacity, "kA"),
            "breaking capacity of the device",
            typed("I_cn", circuit, "breaking_capacity"),
        ),
    )


@rule(title="Fault current and Ze agree", area=Area.FAULT_CURRENT, reference="common practice")
def fault_current_agrees_with_ze(case: Case) -> Iterator[Outcome]:
    """Both measured at one place, one follows from the other; on TT, or by enquiry, it does not."""
    supply = case.job.supply
    if supply.earthing_system is EarthingSystem.TT or {supply.ze_by, supply.fault_current_by} != {ByWhat.MEASURED}:
        yield not_applicable("Supply", "Ze and fault current were not both measured on a TN supply.")
        return
    gap = unmeasured("Supply", supply, "ze", "fault_current") or lacking("Supply", supply, "voltage")
    yield gap or nought("Supply", supply, "ze") or _by_loop(case)


def _by_loop(case: Case) -> Outcome:
    """The verdict on a fault current by the loop; where the earth has its own conductor, no upper bound follows."""
    supply = case.job.supply
    ze, found = (getattr(supply, each).quantity for each in ("ze", "fault_current"))
    nominal: Any = supply.voltage
    volts = (nominal, voltage_then(supply))
    span = span_by_loop(case, "fault_current", volts, (LEAST_OF_LOOP, MOST_OF_LOOP))
    combined = supply.earthing_system is EarthingSystem.TN_C_S
    inputs = span.inputs
    calculation = Calculation(
        f"{LEAST_OF_LOOP} × U_0 / (Z_e + ±) − ± ≤ I_pf"
        + (f" ≤ {MOST_OF_LOOP} × U / (Z_e − ±) + ±" if combined else ""),
        f"{span.low} ≤ {shown(supply, 'fault_current')}" + (f" ≤ {span.high}" if combined else ""),
        shown(supply, "fault_current"),
        f"from {span.low}{f' to {span.high}' if combined else ''} (common practice)",
        None,
        inputs,
    )
    ampere = magnitude(found, "kA")
    if reaches(ampere, span.least) and (not combined or meets(ampere, span.most)):
        return passed("Supply", "Fault current and Ze agree.", cells(*inputs), calculation)
    follows = fault_current(u_0=nominal, z_s=ze).quantity
    pair = Pair("fault current", magnitude(found, "kA"), "by Ze", magnitude(follows, "kA"), "kA")
    return _odd_ratio("Fault current and Ze do not agree.", cells(*inputs), calculation, pair)


def _odd_ratio(message: str, places: Any, calculation: Calculation, pair: Pair) -> Outcome:
    """A query on two figures that should follow from each other."""
    return Outcome(
        Verdict.QUERY,
        "Supply",
        message,
        places,
        found=pair.said,
        expected=calculation.limit,
        remedy=advice(
            pair.slips(),
            "Compare both with the site sheet: a digit slipped, or they were measured at different places.",
        ),
        calculation=calculation,
    )


@rule(title="Fault currents of a three-phase supply agree", area=Area.FAULT_CURRENT, reference="common practice")
def three_phase_fault_currents_agree(case: Case) -> Iterator[Outcome]:
    """Three-phase and line–line figures stand in known ratios to the line–neutral one."""
    supply = case.job.supply
    base = supply.fault_current
    if base is None or not base.measured or nought("Supply", supply, "fault_current"):
        return
    for attribute, (least, most) in {"fault_current_3ph": THREE_PHASE_RATIO, "fault_current_ll": LINES_RATIO}.items():
        other = getattr(supply, attribute)
        if other is None or not other.measured:
            continue
        ratio = magnitude(other.quantity, "kA") / magnitude(base.quantity, "kA")
        inputs = (typed("I", supply, attribute), typed("I_LN", supply, "fault_current"))
        calculation = Calculation(
            "I / I_LN",
            f"{shown(supply, attribute)} / {shown(supply, 'fault_current')}",
            figure(ratio, ""),
            f"{least} to {most} (common practice)",
            None,
            inputs,
        )
        title = supply.fields()[attribute].title
        if reaches(ratio, least) and meets(ratio, most):
            yield passed("Supply", f"'{title}' fits the line-to-neutral figure.", cells(*inputs), calculation)
        else:
            kiloamperes = (magnitude(each.quantity, "kA") for each in (other, base))
            pair = Pair("this", next(kiloamperes), "line to neutral", next(kiloamperes), "kA")
            message = f"'{title}' does not fit the line-to-neutral figure."
            yield _odd_ratio(message, cells(*inputs), calculation, pair)
