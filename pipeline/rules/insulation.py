"""Insulation resistance: a new circuit reads far more than the limit, and 500 V finds what 250 V hides."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pipeline.editions import Missing, Value
from pipeline.facts.choices import Function, NewOrExisting, WorkKind, YesNo
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.reading import number_read
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import Area, Case, Outcome, reaches, rule, surplus
from pipeline.rules.instruments import band, spread, uncertain
from pipeline.rules.outcomes import (
    blank,
    lacking,
    name_of,
    not_applicable,
    passed,
    shown,
    tabled,
    typed,
    unmeasured,
    untabled,
)
from pipeline.standards.formula import figure

REFERENCE = "IEC 60364-6, 6.4.3.3"
READINGS = ("insulation_ll", "insulation_le")


@dataclass(frozen=True, slots=True)
class Steps:
    """Readings below these, in megohms, are asked about or told: common practice."""

    query: float
    note: float


# a cable fresh from the drum reads hundreds of megohms; an old one may be damp
NEW = Steps(query=10.0, note=50.0)
EXISTING = Steps(query=2.0, note=2.0)


@rule(title="Insulation resistance is high enough", area=Area.INSULATION, reference=REFERENCE, needed=Needed.TEST)
def insulation_resistance_is_high_enough(case: Case) -> Iterator[Outcome]:
    """Live to live and live to earth, against the limit and against what such a circuit reads."""
    limit = case.edition.testing.insulation_resistance()
    for circuit in case.job.circuits:
        row = case.job.latest(circuit)
        if row is None:
            continue
        for attribute in READINGS:
            if gap := unmeasured(name_of(circuit), row, attribute):
                yield gap
            elif isinstance(limit, Missing):
                yield untabled(name_of(circuit), limit)
            else:
                yield _judged(case, circuit, (row, attribute), limit)


def _judged(case: Case, circuit: Circuit, cell: tuple[CircuitReadings, str], limit: Value) -> Outcome:
    """The verdict on one reading; one above the instrument's range counts as the end of that range."""
    row, attribute = cell
    reading = getattr(row, attribute)
    value, least = magnitude(reading.quantity, "MΩ"), magnitude(limit.quantity, "MΩ")
    off = band(case.job, row, Function.INSULATION, reading, "MΩ")
    steps = EXISTING if circuit.new is NewOrExisting.EXISTING else NEW
    title = row.fields()[attribute].title
    calculation = Calculation(
        "R_iso ≥ R_iso,min",
        f"{shown(row, attribute)} ≥ {limit.shown}",
        shown(row, attribute),
        f"{limit.shown} ({limit.reference})",
        surplus(value, least),
        (typed("R_iso", row, attribute), *spread(off, "MΩ"), tabled("R_iso,min", limit)),
    )
    good = passed(name_of(circuit), f"{title} is high enough.", row.where(attribute), calculation, limit.confidence)
    if reaches(value - off, steps.note):
        return good
    verdict, message = Verdict.NOTE, f"{title} is low for a new circuit."
    if not reaches(value, least):
        verdict, message = Verdict.FAIL, f"{title} is below the limit."
    elif not reaches(value - off, least):
        verdict, message = Verdict.QUERY, uncertain(title, off, "MΩ")
    elif not reaches(value, steps.query):
        verdict = Verdict.QUERY
    return replace(
        good,
        verdict=verdict,
        message=message,
        found=shown(row, attribute),
        expected=f"at least {limit.shown}; such a circuit reads {figure(steps.note, 'MΩ')} or more",
        remedy="Dry out or find the damage, and test again; look whether something was still connected.",
    )


@rule(title="Insulation is tested at its voltage", area=Area.INSULATION, reference=REFERENCE, needed=Needed.TEST)
def insulation_is_tested_at_its_voltage(case: Case) -> Iterator[Outcome]:
    """500 V before the point is connected; afterwards only if the model allows, and at the model's voltage."""
    wanted = case.edition.testing.insulation_voltage()
    for circuit in case.job.circuits:
        row = case.job.latest(circuit)
        if row is None:
            continue
        if gap := lacking(name_of(circuit), row, "insulation_voltage", "point_connected"):
            yield gap
        elif isinstance(wanted, Missing):
            yield untabled(name_of(circuit), wanted)
        elif row.point_connected is YesNo.YES:
            yield from _connected(case.job, circuit, row)
        elif reaches(row.insulation_voltage, wanted.quantity):
            yield passed(
                name_of(circuit),
                f"Insulation tested at {shown(row, 'insulation_voltage')}, the point not connected.",
                row.where("insulation_voltage", "point_connected"),
                confidence=wanted.confidence,
            )
        else:
            yield Outcome(
                Verdict.QUERY,
                name_of(circuit),
                "The insulation was tested at too low a voltage.",
                row.where("insulation_voltage"),
                found=shown(row, "insulation_voltage"),
                expected=f"{wanted.shown} ({wanted.reference}), with nothing connected that it could harm",
                remedy="Disconnect what could be harmed and test again.",
            )


def _connected(job: Job, circuit: Circuit, row: CircuitReadings) -> Iterator[Outcome]:
    """The verdict where the point was connected during the test."""
    for point in job.points_on(circuit):
        model = job.model(point.model)
        places = row.where("point_connected", "insulation_voltage")
        if model is None:
            yield blank(name_of(point), point, "model")
        elif (
            model.insulation_test is YesNo.YES
            and model.insulation_voltage is not None
            and reaches(model.insulation_voltage, row.insulation_voltage)
        ):
            yield passed(name_of(point), "The model may be tested connected at this voltage.", places)
        else:
            yield Outcome(
                Verdict.QUERY,
                name_of(point),
                "The insulation was tested with the charge point connected, which its maker does not allow so.",
                places + model.where("insulation_test", "insulation_voltage"),
                found=f"tested at {shown(row, 'insulation_voltage')}",
                expected=f"tested before it is connected; allowed: {model.shown('insulation_test') or 'not stated'}",
                remedy="Test again with the point disconnected, and check the point for damage.",
            )


@rule(title="The whole board is insulated", area=Area.INSULATION, reference=REFERENCE, needed=Needed.TEST)
def boards_are_insulated(case: Case) -> Iterator[Outcome]:
    """A board as a whole, where it was measured; what was there before may be the cause of a low figure."""
    limit, new = case.edition.testing.insulation_resistance(), case.job.row.work is WorkKind.NEW_INSTALLATION
    for board in case.job.boards:
        if board.insulation is None or not board.insulation.measured:
            yield not_applicable(name_of(board), "The insulation of the whole board was not measured.")
        elif isinstance(limit, Missing):
            yield untabled(name_of(board), limit)
        else:
            yield _whole_board(board, limit, NEW if new else EXISTING)


def _whole_board(board: Board, limit: Value, steps: Steps) -> Outcome:
    """The verdict on one board: a failure only where the whole of it is new."""
    value = number_read(board.insulation, "MΩ")
    least = magnitude(limit.quantity, "MΩ")
    calculation = Calculation(
        "R_iso ≥ R_iso,min",
        f"{shown(board, 'insulation')} ≥ {limit.shown}",
        shown(board, "insulation"),
        f"{limit.shown} ({limit.reference})",
        surplus(value, least),
        (typed("R_iso", board, "insulation"), tabled("R_iso,min", limit)),
    )
    message, places = "The insulation of the whole board is high enough.", board.where("insulation")
    good = passed(name_of(board), message, places, calculation, limit.confidence)
    if reaches(value, steps.note):
        return good
    below = not reaches(value, least)
    verdict = Verdict.NOTE if reaches(value, steps.query) else Verdict.QUERY
    return replace(
        good,
        verdict=Verdict.FAIL if below and steps is NEW else verdict,
        message=f"The insulation of the whole board is {'below the limit' if below else 'low'}.",
        found=shown(board, "insulation"),
        expected=f"at least {limit.shown}; a sound board reads {figure(steps.note, 'MΩ')} or more",
        remedy="Switch the circuits off one by one until the figure rises, and find the damage.",
    )


@rule(title="Board and circuits agree on insulation", area=Area.INSULATION, reference=REFERENCE, needed=Needed.TEST)
def board_and_circuits_agree_on_insulation(case: Case) -> Iterator[Outcome]:
    """A whole board reads not far less than its circuits in parallel, where all of them are listed."""
    for board in case.job.boards:
        if board.insulation is None or not board.insulation.measured:
            yield not_applicable(name_of(board), "The insulation of the whole board was not measured.")
            continue
        together = _in_parallel(case.job, board)
        if together is None or 2 * magnitude(board.insulation.quantity, "MΩ") >= together:
            yield passed(name_of(board), "The board's insulation does not contradict its circuits.")
        else:
            yield Outcome(
                Verdict.QUERY,
                name_of(board),
                "The whole board reads far less than its circuits together.",
                board.where("insulation"),
                found=shown(board, "insulation"),
                expected=f"about {figure(together, 'MΩ')}",
                remedy="Find what else was connected, or measure the circuits again.",
            )


def _in_parallel(job: Job, board: Board) -> float | None:
    """What a board's circuits give together, in megohms; None where not all of them are known and measured."""
    rows = [job.latest(each) or CircuitReadings() for each in job.circuits_of(board)]
    readings = [row.insulation_le for row in rows]
    singles = [magnitude(each.quantity, "MΩ") for each in readings if each and each.measured]
    known = job.row.work is WorkKind.NEW_INSTALLATION and len(singles) == len(rows)
    return 1 / sum(1 / each for each in singles) if known and singles and all(singles) else None
