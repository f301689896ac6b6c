"""The largest fault current to earth that a circuit can see: at its board, as measured, and at its far end."""

from dataclasses import dataclass, replace
from typing import Any

from pipeline.facts.choices import ByWhat, EarthingSystem
from pipeline.facts.findings import Confidence, Input
from pipeline.facts.job import Job
from pipeline.facts.quantities import quantity
from pipeline.facts.rows.circuits import Circuit
from pipeline.rules.base import Case, Outcome
from pipeline.rules.fault_current import largest_at
from pipeline.rules.loop_impedance import earth_loop
from pipeline.rules.outcomes import blank, name_of, not_applicable, nought, tabled, typed, unmeasured
from pipeline.standards.formula import figure
from pipeline.standards.iec_60364_4_41_2005.clause_411 import fault_current


@dataclass(frozen=True, slots=True)
class Fault:
    """A current of a fault to earth and the figures it comes from; `least` is the smallest one in the same circuit."""

    current: Any
    numbers: str
    figures: tuple[Input, ...]
    confidence: Confidence = Confidence.CONFIRMED
    least: Any = None


def largest_fault(case: Case, circuit: Circuit) -> Fault | Outcome:
    """The largest of what can flow at the board, through the loop as measured, and at the far end while it is cold."""
    if case.job.supply.voltage is None:
        return blank("Supply", case.job.supply, "voltage")
    far, board = _far_fault(case, circuit), _board_fault(case.job, circuit)
    if isinstance(far, Outcome) or isinstance(board, Outcome):
        return far if isinstance(far, Outcome) else board if isinstance(board, Outcome) else _no_board(circuit)
    found = [each for each in (board, _measured_fault(case.job, circuit), far) if each is not None]
    currents = [each.current for each in found]
    return replace(found[currents.index(max(currents))], least=min(currents))


def _far_fault(case: Case, circuit: Circuit) -> Fault | Outcome:
    """A fault at the far end by design: the cold loop, on TT the electrode alone."""
    job, u_0 = case.job, case.job.supply.voltage
    if job.earthing_of(circuit) is not EarthingSystem.TT:
        loop = earth_loop(case, circuit, warm=False)
        if isinstance(loop, Outcome):
            return loop
        worked = fault_current(u_0=u_0, z_s=loop.quantity)
        figures = (tabled("Z_s, cold", loop),)
        return Fault(worked.quantity, f"I = {worked.numbers} = {worked.shown}", figures, loop.confidence)
    electrode = job.electrode(circuit)
    if electrode is None:
        return not_applicable(name_of(circuit), "Told where the electrode is missing.")
    attribute = "resistance" if job.tested or electrode.expected is None else "expected"
    subject = name_of(electrode)
    if gap := unmeasured(subject, electrode, attribute) or nought(subject, electrode, attribute):
        return gap
    value = getattr(electrode, attribute)
    worked = fault_current(u_0=u_0, z_s=getattr(value, "quantity", value))
    return Fault(worked.quantity, f"I = {worked.numbers} = {worked.shown}", (typed("R_A", electrode, attribute),))


def _measured_fault(job: Job, circuit: Circuit) -> Fault | None:
    """What flows through the loop as it was measured, or None where no figure stands."""
    row = job.latest(circuit)
    if row is None or row.zs is None or not row.zs.measured or not row.zs.quantity.magnitude:
        return None
    worked = fault_current(u_0=job.supply.voltage, z_s=row.zs.quantity)
    return Fault(worked.quantity, f"I = {worked.numbers} = {worked.shown}", (typed("Z_s", row, "zs"),))


def _board_fault(job: Job, circuit: Circuit) -> Fault | Outcome | None:
    """What can flow at the circuit's board; None on TT, and before the visit where only the operator's most is known.

    On three phases the figure is that of all three, more than a fault to earth can reach.
    """
    board = job.board(circuit.board)
    if job.earthing_of(circuit) is EarthingSystem.TT:
        return None
    if board is None:
        return _no_board(circuit)
    read = board.fault_current is not None and board.fault_current.measured
    if not job.tested and not read and job.supply.fault_current_by is ByWhat.ENQUIRY:
        return None
    largest = largest_at(job, board)
    if isinstance(largest, Outcome):
        return largest
    return Fault(
        quantity(1000 * largest.kiloamperes, "A"),
        f"I = {figure(largest.kiloamperes, 'kA')}, {largest.how}",
        largest.inputs,
    )


def _no_board(circuit: Circuit) -> Outcome:
    """A circuit whose board is not in the job."""
    return blank(name_of(circuit), circuit, "board")
