"""Whether RCDs trip in time, and their button works."""

from collections.abc import Iterator

from pipeline.editions import Missing, Value
from pipeline.facts.choices import Function, HalfTest, RcdDelay, Works
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Verdict, WhenMissing
from pipeline.facts.quantities import magnitude
from pipeline.facts.reading import number_read
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.instruments import band, spread, uncertain
from pipeline.rules.outcomes import blank, name_of, not_applicable, passed, shown, tabled, typed, unmeasured, untabled

REFERENCE = "IEC 60364-6, 6.4.3.8"
# columns and their test current as a multiple of I_Δn
MULTIPLES = {"rcd_time": 1, "rcd_time_180": 1, "rcd_time_5": 5}
# no mechanism trips faster, in milliseconds: common practice
HARDLY_POSSIBLE = 5.0
# the two half-waves of one RCD lie half a period apart at most, and a weak magnet adds to both: times that differ by
# more than this factor and by more than so many milliseconds are not of one device. Common practice
HALVES_FACTOR, HALVES_MS = 3.0, 60.0
# at five times the current a time falls to a third or a fifth, of a worn device to a tenth: common practice
SOONER_FACTOR = 10.0
MOVED = "Compare both with the site sheet: a point moved by one place, or seconds for milliseconds; else test again."


def _tested(case: Case) -> Iterator[tuple[Circuit, CircuitReadings]]:
    """Circuits with an RCD at their head or in their charge point, and the readings that count."""
    for circuit in case.job.circuits:
        row = case.job.latest(circuit)
        has = circuit.rcd_type is not None or any(each.rcd_type for each in case.job.points_on(circuit))
        if row and has:
            yield circuit, row


@rule(title="RCDs are tested", area=Area.RCD, reference=REFERENCE, needed=Needed.TEST)
def rcds_are_tested(case: Case) -> Iterator[Outcome]:
    """One test with alternating current at I_Δn is required, whatever the type."""
    for circuit, row in _tested(case):
        if any(reading and reading.measured for reading in (row.rcd_time, row.rcd_time_180)):
            yield passed(name_of(circuit), "The RCD was tested at its rated residual current.", row.where("rcd_time"))
        elif row.rcd_time is None and row.rcd_time_180 is None:
            yield blank(name_of(circuit), row, "rcd_time")
        else:
            yield Outcome(
                Verdict.NOT_ASSESSED,
                name_of(circuit),
                "Not assessed: the RCD was not tested at its rated residual current.",
                row.where("rcd_time", "rcd_time_180"),
                found=shown(row, "rcd_time") or shown(row, "rcd_time_180"),
                expected="a break time at I_Δn",
                remedy="Test the RCD and enter the time.",
            )


@rule(title="RCDs trip in time", area=Area.RCD, reference=REFERENCE, needed=Needed.TEST)
def rcds_trip_in_time(case: Case) -> Iterator[Outcome]:
    """Within the limit of their type, not in no time; a delayed one not too early."""
    for circuit, row in _tested(case):
        for attribute, multiple in MULTIPLES.items():
            reading = getattr(row, attribute)
            if reading is None or not reading.measured:
                continue
            limit, least = times(case, circuit, multiple)
            if isinstance(limit, Missing) or isinstance(least, Missing):
                reason = limit if isinstance(limit, Missing) else least
                yield untabled(name_of(circuit), reason) if isinstance(reason, Missing) else blank("", row)
            else:
                yield _judged(case, (circuit, row, attribute), limit, least)


def times(case: Case, circuit: Circuit, multiple: int) -> tuple[Value | Missing, Value | Missing | None]:
    """Longest break time at a multiple of I_Δn, and the time for which a delayed RCD must hold."""
    delay = circuit.rcd_delay or RcdDelay.NONE
    least = case.edition.protection.rcd_least_time(multiple, circuit.rcd_standard) if delay is RcdDelay.S else None
    return case.edition.protection.rcd_time(delay, multiple, circuit.rcd_standard), least


def _judged(case: Case, cell: tuple[Circuit, CircuitReadings, str], limit: Value, least: Value | None) -> Outcome:
    """The verdict on one break time."""
    circuit, row, attribute = cell
    reading, title = getattr(row, attribute), row.fields()[attribute].title
    value, most = magnitude(reading.quantity, "ms"), magnitude(limit.quantity, "ms")
    lowest = magnitude(least.quantity, "ms") if least else 0.0
    off = band(case.job, row, Function.RCD, reading, "ms")
    calculation = Calculation(
        "t ≤ t_max" if least is None else "t_min ≤ t ≤ t_max",
        f"{f'{least.shown} ≤ ' if least else ''}{shown(row, attribute)} ≤ {limit.shown}",
        shown(row, attribute),
        f"{f'{least.shown} to ' if least else ''}{limit.shown} ({limit.reference})",
        margin(value, most),
        (
            typed("t", row, attribute),
            *spread(off, "ms"),
            tabled("t_max", limit),
            *([tabled("t_min", least)] if least else []),
        ),
    )
    verdict, message = Verdict.PASS, ""
    if value <= 0:
        verdict, message = Verdict.FAIL, f"{title}: no RCD trips in no time."
    elif not meets(value, most):
        verdict, message = Verdict.FAIL, f"{title}: the RCD trips too late."
    elif not reaches(value, lowest):
        verdict, message = Verdict.FAIL, f"{title}: the delayed RCD trips too early."
    elif value < HARDLY_POSSIBLE:
        verdict, message = Verdict.QUERY, f"{title}: hardly any RCD trips so fast."
    elif not meets(value + off, most) or not reaches(value - off, lowest):
        verdict, message = Verdict.QUERY, uncertain(title, off, "ms")
    if verdict is Verdict.PASS:
        good = f"{title}: the RCD trips in time."
        return passed(name_of(circuit), good, row.where(attribute), calculation, limit.confidence)
    low = f"{max(lowest, HARDLY_POSSIBLE):g} ms"
    return Outcome(
        verdict,
        name_of(circuit),
        message,
        row.where(attribute) + circuit.where("rcd_delay"),
        found=shown(row, attribute),
        expected=f"{low} to {limit.shown}",
        remedy="Test again; if it is so, replace the RCD." if value > 0 else "Test, and enter the time that was shown.",
        calculation=calculation,
    )


@rule(
    title="RCDs upstream are tested",
    area=Area.RCD,
    reference=REFERENCE,
    needed=Needed.TEST,
    when_missing=WhenMissing.PRINT,
)
def rcds_upstream_are_tested(case: Case) -> Iterator[Outcome]:
    """An RCD in a board before several circuits has its own break time; where none is told, that is said."""
    for board in case.job.boards:
        if board.rcd_type is None:
            yield not_applicable(name_of(board), "No RCD stands in this board before several circuits.")
        elif gap := unmeasured(name_of(board), board, "rcd_time", aid=True):
            yield gap
        else:
            yield _before_circuits(case, board)


def _before_circuits(case: Case, board: Board) -> Outcome:
    """The verdict on the break time of an RCD in a board: not too late, and of a delayed one not too early."""
    delay = board.rcd_delay or RcdDelay.NONE
    limit = case.edition.protection.rcd_time(delay, 1)
    least = case.edition.protection.rcd_least_time(1) if delay is RcdDelay.S else None
    if isinstance(limit, Missing) or isinstance(least, Missing):
        return untabled(name_of(board), limit if isinstance(limit, Missing) else least)  # type: ignore[arg-type]
    span = f"{f'{least.shown} to ' if least else ''}{limit.shown}"
    calculation = Calculation(
        "t ≤ t_max" if least is None else "t_min ≤ t ≤ t_max",
        f"{f'{least.shown} ≤ ' if least else ''}{shown(board, 'rcd_time')} ≤ {limit.shown}",
        shown(board, "rcd_time"),
        f"{span} ({limit.reference})",
        margin(board.rcd_time.quantity, limit.quantity) if board.rcd_time else None,
        (typed("t", board, "rcd_time"), tabled("t_max", limit), *([tabled("t_min", least)] if least else [])),
    )
    value = number_read(board.rcd_time, "ms")
    late = not meets(value, magnitude(limit.quantity, "ms"))
    early = least is not None and not reaches(value, magnitude(least.quantity, "ms"))
    places = board.where("rcd_time", "rcd_delay")
    if value >= HARDLY_POSSIBLE and not late and not early:
        message = "The RCD before several circuits trips in time."
        return passed(name_of(board), message, places, calculation, limit.confidence)
    return Outcome(
        Verdict.QUERY if 0 < value < HARDLY_POSSIBLE and not early else Verdict.FAIL,
        name_of(board),
        "No RCD trips in no time."
        if value <= 0
        else "The RCD before several circuits trips too late."
        if late
        else "The delayed RCD before several circuits trips too early."
        if early
        else "Hardly any RCD trips so fast.",
        places,
        found=shown(board, "rcd_time"),
        expected=span if least else f"at most {limit.shown}",
        remedy="Test again; if it is so, replace the RCD.",
        calculation=calculation,
    )


@rule(title="RCDs hold at half their current", area=Area.RCD, reference=REFERENCE, needed=Needed.TEST)
def rcds_hold_at_half_their_current(case: Case) -> Iterator[Outcome]:
    """Judged where the test was made: one that trips at ½ I_Δn trips without a fault."""
    for circuit, row in _tested(case):
        if row.rcd_half is HalfTest.HOLDS:
            yield passed(name_of(circuit), "The RCD holds at half its rated current.", row.where("rcd_half"))
        elif row.rcd_half is HalfTest.TRIPS:
            yield Outcome(
                Verdict.FAIL,
                name_of(circuit),
                "The RCD trips at half its rated current.",
                row.where("rcd_half"),
                found="trips",
                expected="holds",
                remedy="Look for leakage of the circuit and test again with it disconnected; else replace the RCD.",
            )
        else:
            yield not_applicable(name_of(circuit), "The RCD was not tested at half its rated current.")


@rule(title="More current trips an RCD sooner", area=Area.RCD, reference="common practice", needed=Needed.TEST)
def more_current_trips_an_rcd_sooner(case: Case) -> Iterator[Outcome]:
    """At five times I_Δn an RCD is faster than at I_Δn, and not beyond belief; else columns or points were mistaken."""
    for circuit, row in _tested(case):
        usual, sooner = _milliseconds(row, "rcd_time"), _milliseconds(row, "rcd_time_5")
        if usual is None or sooner is None:
            yield not_applicable(name_of(circuit), "The RCD was not tested at five times its rated current as well.")
        elif not meets(sooner, usual):
            message, remedy = "The RCD is slower at five times its rated current.", "Look whether the two were swapped."
            yield _unlike(circuit, row, ("rcd_time", "rcd_time_5"), message, remedy)
        elif circuit.rcd_delay is not RcdDelay.S and not meets(usual, SOONER_FACTOR * sooner):
            message = "The RCD is more than ten times slower at its rated current than at five times."
            yield _unlike(circuit, row, ("rcd_time", "rcd_time_5"), message, MOVED)
        else:
            places = row.where("rcd_time", "rcd_time_5")
            yield passed(name_of(circuit), "The RCD is faster at five times its rated current.", places)


@rule(title="Both half-waves trip an RCD alike", area=Area.RCD, reference="common practice", needed=Needed.TEST)
def both_half_waves_trip_an_rcd_alike(case: Case) -> Iterator[Outcome]:
    """One device has one speed: a time far from that of the other half-wave has its point or its unit mistaken."""
    for circuit, row in _tested(case):
        times = _milliseconds(row, "rcd_time"), _milliseconds(row, "rcd_time_180")
        if times[0] is None or times[1] is None:
            yield not_applicable(name_of(circuit), "The RCD was not tested on both half-waves.")
            continue
        short, long = sorted((times[0], times[1]))
        if meets(long, HALVES_FACTOR * short) or meets(long - short, HALVES_MS):
            yield passed(name_of(circuit), "Both half-waves trip the RCD alike.", row.where("rcd_time", "rcd_time_180"))
        else:
            message = "The times of the two half-waves are not those of one RCD."
            yield _unlike(circuit, row, ("rcd_time", "rcd_time_180"), message, MOVED)


def _milliseconds(row: CircuitReadings, attribute: str) -> float | None:
    """A break time that was measured."""
    reading = getattr(row, attribute)
    return magnitude(reading.quantity, "ms") if reading and reading.measured else None


def _unlike(circuit: Circuit, row: CircuitReadings, pair: tuple[str, str], message: str, remedy: str) -> Outcome:
    """A query on two break times that do not go together."""
    titles = [f"{row.fields()[each].title} {shown(row, each)}" for each in pair]
    return Outcome(
        Verdict.QUERY,
        name_of(circuit),
        message,
        row.where(*pair),
        found="; ".join(titles),
        expected="times of one RCD, shorter at the larger current",
        remedy=remedy,
    )


@rule(title="The RCD's button works", area=Area.RCD, reference="IEC 60364-6, 6.4.3.10", needed=Needed.TEST)
def buttons_of_rcds_work(case: Case) -> Iterator[Outcome]:
    """The button that the client will press every six months."""
    for circuit, row in _tested(case):
        if circuit.rcd_type is None:
            yield not_applicable(name_of(circuit), "The RCD is inside the charge point and has its own test.")
        elif row.rcd_button is None:
            yield blank(name_of(circuit), row, "rcd_button")
        elif row.rcd_button is Works.WORKS:
            yield passed(name_of(circuit), "The RCD's button works.", row.where("rcd_button"))
        else:
            yield Outcome(
                Verdict.FAIL if row.rcd_button is Works.FAILED else Verdict.QUERY,
                name_of(circuit),
                "The RCD's button failed." if row.rcd_button is Works.FAILED else "The RCD's button was not pressed.",
                row.where("rcd_button"),
                found=row.rcd_button,
                expected="works",
                remedy="Press it under voltage; if the RCD stays on, replace it.",
            )
