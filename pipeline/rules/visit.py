"""What is asked for at a visit: each cell still to be filled in, with the value to expect there and its limit.

Nothing is judged here. Each limit is the one that the rule of that reading holds it against, so that the sheet which
the electrician carries and the check of what is written on it agree.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.editions import Missing, Value
from pipeline.facts.choices import Confirmed, Connection, NewOrExisting, RuleFamily
from pipeline.facts.field import Needed
from pipeline.facts.quantities import magnitude
from pipeline.facts.reading import Reading
from pipeline.facts.row import Row
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.sources import OtherSource
from pipeline.facts.rows.supply import Supply
from pipeline.facts.sheets import BY_ROW
from pipeline.rules.base import Case, Outcome
from pipeline.rules.bonding import BONDING_OHM
from pipeline.rules.commissioning import MOST_DELAY
from pipeline.rules.conductors import cable_of
from pipeline.rules.continuity import cold_resistance, line_alone, plausible
from pipeline.rules.earthing import fault_rcd
from pipeline.rules.fault_current import largest_at
from pipeline.rules.insulation import EXISTING, NEW
from pipeline.rules.insulation import READINGS as INSULATION
from pipeline.rules.loop_impedance import cold_limit, device_limit, earth_loop
from pipeline.rules.outcomes import name_of, shown
from pipeline.rules.tripping import HARDLY_POSSIBLE, MULTIPLES, times
from pipeline.rules.workmanship import span, torque_asked
from pipeline.standards.formula import figure, upper_limit

# cells that a visit fills in beside those without which a tested job is held
ALSO: dict[type[Row], frozenset[str]] = {
    JobRow: frozenset({"limitations", "departures", "defects", "defects_danger", "defects_told"}),
    Supply: frozenset(
        {"supply_number", "voltage_l2", "voltage_l3", "ze", "ze_by", "ze_date", "fault_current", "fault_current_ll"}
        | {"fault_current_3ph", "fault_current_by", "tails_length", "meter", "bonding_continuity"}
    ),
    Electrode: frozenset({"measured_on", "instrument", "supply_earth_stops", "armour_isolated", "separation"}),
    Board: frozenset({"fault_current", "board_zs", "insulation"}),
    CircuitReadings: frozenset(
        {"r1_r2", "rcd_time", "rcd_time_180", "rcd_button", "sequence", "ambient", "limitation_reason", "remarks"}
    ),
    Point: frozenset(
        {"open_pen_evidence", "limit_locked", "level", "fixings_other", "torque", "torque_tool", "cable_diameter"}
        | {"data_link", "link_test", "firmware", "duty_cycle", "proximity", "dc_test", "self_test", "socket_lock"}
        | {"default_hours", "random_delay"}
    ),
}
# measured with the circuit dead, or with voltage on it; everything else is looked at
DEAD = frozenset(
    {"r1_r2", "insulation_voltage", "insulation_ll", "insulation_le", "point_connected", "polarity", "insulation"}
    | {"bonding_continuity", "resistance", "torque"}
)
LIVE = frozenset(
    {"voltage_l1", "voltage_l2", "voltage_l3", "ze", "fault_current", "fault_current_le", "fault_current_ll"}
    | {"fault_current_3ph", "board_zs", "zs", "rcd_time", "rcd_time_180", "rcd_button", "sequence", "pilot_states"}
    | {"duty_cycle", "dc_test", "self_test", "socket_lock", "emergency_stop", "indicator", "charge_power", "link_test"}
)
SEVERAL_PHASES = frozenset({"voltage_l2", "voltage_l3", "fault_current_ll", "fault_current_3ph", "sequence"})
OF_SOCKET = frozenset({"proximity", "socket_lock"})
IN_BRITAIN = frozenset({"default_hours", "random_delay"})
OF_RCD = frozenset({"rcd_time", "rcd_time_180", "rcd_button"})
# choices for which the example of their field is what a sound job shows
FOUND_ANEW = frozenset({"ze_by", "ze_date", "fault_current_by", "limit_locked"})
# known before the visit and found anew there; the design holds up to what was entered
DECLARED = frozenset({"ze", "fault_current", "fault_current_ll", "fault_current_3ph"})
AS_EXAMPLE = frozenset(
    {"polarity", "point_connected", "zs_source", "rcd_button", "earthing_connected", "level", "fixings"}
    | {"strain_relief", "entry_sealed", "covers", "reaches", "trip_hazard", "link_test", "pilot_states", "dc_test"}
    | {"existing_adequate"}
)
IN_TURN = (
    (JobRow, "row"),
    (Supply, "supply"),
    (OtherSource, "sources"),
    (Electrode, "electrodes"),
    (LoadManagement, "schemes"),
    (Board, "boards"),
)


@dataclass(frozen=True, slots=True)
class Asked:
    """One cell to fill in at a visit: sheet and row, the column's heading, how it is found, and what to expect."""

    sheet: str
    row: str
    column: str
    how: str
    expected: str = ""
    limit: str = ""


def asked_for(case: Case) -> tuple[Asked, ...]:
    """Every cell that a visit fills in, in the order of the workbook's sheets, rows and columns."""
    return tuple(_all(case))


def _all(case: Case) -> Iterator[Asked]:
    """The cells, sheet by sheet."""
    job = case.job
    for _, part in IN_TURN:
        rows = getattr(job, part)
        for row in rows if isinstance(rows, tuple) else (rows,):
            yield from _of(case, row)
    for circuit in job.circuits:
        if circuit.new is not NewOrExisting.EXISTING:
            row = job.latest(circuit) or CircuitReadings(board=circuit.board, circuit=circuit.circuit)
            yield from _of(case, row)
    for point in job.points:
        yield from _of(case, point)
    yield from _of(case, job.inspection)


def _of(case: Case, row: Row) -> Iterator[Asked]:
    """The cells of one row, in the order of its columns."""
    kind = type(row)
    also = ALSO.get(kind, frozenset())
    keys = [name for name, field in row.fields().items() if field.key]
    place = case.job.reference if keys == ["job"] else name_of(row)
    for name, field in row.fields().items():
        if not field.key and (field.needed is Needed.TEST or name in also) and _applies(case, row, name):
            how = "dead" if name in DEAD and kind is not Supply else "live" if name in LIVE else "look"
            yield Asked(BY_ROW[kind].title, place, field.heading, how, *_expectation(case, row, name))


def _applies(case: Case, row: Row, name: str) -> bool:
    """Whether a cell is still open and has a meaning for this job."""
    circuit = _circuit(case, row)
    points = case.job.points_on(circuit) if circuit else ()
    if name in SEVERAL_PHASES:
        phases = circuit.phases if circuit else case.job.supply.phases
        return phases is not None and phases > 1
    if name in OF_RCD:
        return circuit is not None and bool(circuit.rcd_type or any(each.rcd_type for each in points))
    if name in OF_SOCKET:
        return any(_has_socket(case, each) for each in points)
    if name in IN_BRITAIN:
        return case.job.row.family is RuleFamily.UK
    known = getattr(row, name)
    return known is None or isinstance(known, Reading) or name in FOUND_ANEW


def _has_socket(case: Case, point: Point) -> bool:
    """Whether a charge point has a socket-outlet."""
    model = case.job.model(point.model)
    return model is not None and model.connection is Connection.SOCKET


def _circuit(case: Case, row: Row) -> Circuit | None:
    """The circuit that a row of readings or a charge point belongs to."""
    return case.job.circuit(row.board, row.circuit) if isinstance(row, CircuitReadings | Point) else None


def _expectation(case: Case, row: Row, name: str) -> tuple[str, str]:
    """The value to expect in a cell and the limit to hold it against; empty where nothing is known before."""
    match row:
        case Supply():
            found = _at_the_intake(case, row, name)
        case Electrode():
            found = _electrode(case, row, name)
        case Board():
            found = _board(case, row, name)
        case CircuitReadings():
            circuit = _circuit(case, row)
            found = _reading(case, circuit, name) if circuit else None
        case Point():
            found = _point(case, row, name)
        case _:
            found = None
    if found is not None:
        return found
    return (str(row.fields()[name].example) if name in AS_EXAMPLE else "", "")


def _at_the_intake(case: Case, supply: Supply, name: str) -> tuple[str, str] | None:
    """At the intake the design holds up to what was entered before the visit."""
    if name.startswith("voltage_l"):
        lowest, highest = case.edition.testing.voltage_band()
        return shown(supply, "voltage"), f"{lowest.shown} to {highest.shown}"
    if name in {"ze_by", "fault_current_by"}:
        return "measured", ""
    if name == "bonding_continuity":
        return "", f"about {BONDING_OHM} Ω or less"
    value = getattr(supply, name)
    if name in DECLARED and value is not None and value.measured:
        return f"up to {shown(supply, name)}", f"{shown(supply, name)}, by which the design was checked"
    return None


def _electrode(case: Case, electrode: Electrode, name: str) -> tuple[str, str] | None:
    """The designer's estimate, and U_L / I_Δn of the RCDs that rely on this electrode, the smallest one."""
    if name != "resistance":
        return None
    circuits = [each for each in case.job.circuits if case.job.electrode(each) is electrode]
    rcds = [rcd for each in circuits if (rcd := fault_rcd(case.job, each))]
    limits = [case.edition.protection.largest_electrode_resistance(each.rating) for each in rcds]
    least = min(limits, key=lambda each: magnitude(each.quantity, "Ω"), default=None)
    return shown(electrode, "expected"), _most(least)


def _board(case: Case, board: Board, name: str) -> tuple[str, str] | None:
    """At a board the fault current is at most what the devices were chosen for."""
    if name != "fault_current":
        return None
    largest = largest_at(case.job, board)
    if isinstance(largest, Outcome):
        return None
    most = figure(largest.kiloamperes, "kA")
    return f"up to {most}", f"{most}, by which the devices were chosen"


def _reading(case: Case, circuit: Circuit, name: str) -> tuple[str, str] | None:
    """A reading of a circuit against the limit of its rule."""
    if name in MULTIPLES:
        longest, least = times(case, circuit, MULTIPLES[name])
        low = _text(least) if isinstance(least, Value) else figure(HARDLY_POSSIBLE, "ms")
        return f"above {low}", _most(longest)
    if name in INSULATION:
        steps = EXISTING if circuit.new is NewOrExisting.EXISTING else NEW
        return f"above {figure(steps.note, 'MΩ')}", _least(case.edition.testing.insulation_resistance())
    if name == "sequence":
        return Confirmed.CONFIRMED, ""
    if name == "insulation_voltage":
        return _text(case.edition.testing.insulation_voltage()), ""
    find = {"r1_r2": _continuity, "zs": _loop}.get(name)
    return find(case, circuit) if find else None


def _continuity(case: Case, circuit: Circuit) -> tuple[str, str] | None:
    """R1+R2 of the cable at 20 °C, and up to where a reading still fits it."""
    run = cable_of(case, circuit)
    cold = cold_resistance(case, run, "r1_r2") if run else None
    if run is None or not isinstance(cold, Value):
        return None
    least, most = plausible(circuit, magnitude(cold.quantity, "Ω"), line_alone(case, run))
    return f"{cold.shown} at 20 °C", f"{figure(least, 'Ω')} to {figure(most, 'Ω')}"


def _loop(case: Case, circuit: Circuit) -> tuple[str, str] | None:
    """The cold loop as designed against the device's limit; on TT that through the electrode, against the RCD's."""
    if rcd := fault_rcd(case.job, circuit):
        electrode = case.job.electrode(circuit)
        estimate = shown(electrode, "expected") if electrode else ""
        limit = case.edition.protection.largest_electrode_resistance(rcd.rating)
        return f"about {estimate}" if estimate else "", _most(limit)
    loop, most = earth_loop(case, circuit, warm=False), device_limit(case, circuit)
    expected = f"up to {loop.shown}" if isinstance(loop, Value) else ""
    return expected, f"at most {upper_limit(cold_limit(case, most), 'Ω')}" if isinstance(most, Value) else ""


def _point(case: Case, point: Point, name: str) -> tuple[str, str] | None:
    """What the maker of the model asks for, and what is set."""
    model = case.job.model(point.model)
    if name == "random_delay":
        return "", f"at most {figure(MOST_DELAY, 's')}"
    if model is None:
        return None
    ranges = {"height": ("height_lowest", "height_highest"), "cable_diameter": ("entry_smallest", "entry_largest")}
    if limits := ranges.get(name):
        known = all(getattr(model, each) is not None for each in limits)
        return ("", span(model, limits, point.fields()[name].unit)) if known else None
    if name == "torque" and model.torque is not None and model.torque_tolerance is not None:
        return shown(model, "torque"), torque_asked(model)
    if name == "charge_power" and model.rated_power is not None:
        return f"up to {shown(model, 'rated_power')}", ""
    return None


def _text(value: Value | Missing | None) -> str:
    """A figure as printed; nothing where there is none."""
    return value.shown if isinstance(value, Value) else ""


def _most(value: Value | Missing | None) -> str:
    """An upper limit in words."""
    return f"at most {value.upper()}" if isinstance(value, Value) else ""


def _least(value: Value | Missing | None) -> str:
    """A lower limit in words."""
    return f"at least {value.lower()}" if isinstance(value, Value) else ""
