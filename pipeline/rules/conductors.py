"""Whether device and cable carry the load: I_B ≤ I_n ≤ I_z, each factor shown."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pipeline.editions import CABLE_CELLS, CableRun, Capacity, Missing, Value
from pipeline.facts.choices import Grouping
from pipeline.facts.findings import Calculation, Input, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.circuits import Circuit
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.loads import Load, load_of
from pipeline.rules.outcomes import (
    blank,
    cells,
    lacking,
    name_of,
    not_applicable,
    passed,
    shown,
    tabled,
    typed,
    untabled,
)
from pipeline.standards.common_practice.supply import current_of_power
from pipeline.standards.formula import figure, upper_limit

REFERENCE = "IEC 60364-4-43, 433.1; IEC 60364-5-52, 523"
# a reserve below this, in per cent, is told: common practice
CLOSE_PERCENT = 5.0
# name-plate power may differ from rated current by rounding: common practice
POWER_PERCENT = 5.0
ON_SUPPORTS = frozenset({Grouping.TRAY, Grouping.LADDER})
# so many fully loaded devices side by side warm each other: common practice
SIDE_BY_SIDE = 2


def cable_of(case: Case, circuit: Circuit) -> CableRun | None:
    """The cable of a circuit, on the cooler of the terminals at its two ends; None while a cell is blank."""
    return case.once(("cable", id(circuit)), lambda: _cable_of(case.job, circuit))


def _cable_of(job: Job, circuit: Circuit) -> CableRun | None:
    """The same, worked out."""
    run = CableRun.of(circuit)
    if run is None:
        return None
    ends = [run.terminal_rating]
    ends += [
        model.terminal_rating
        for point in job.points_on(circuit)
        if (model := job.model(point.model)) and model.terminal_rating is not None
    ]
    return replace(run, terminal_rating=min(ends, key=lambda each: magnitude(each, "°C")))


@dataclass(frozen=True, slots=True)
class Coordination:
    """The three currents of a circuit, in amperes, and what I_z is made of."""

    load: Load
    device: float
    share: Value
    capacity: Capacity
    circuit: Circuit

    def limit(self, capacity: Value) -> float:
        """What the device may be rated at with this capacity."""
        return magnitude(capacity.quantity, "A") * float(self.share.quantity.magnitude)

    def holds(self, capacity: Value) -> bool:
        """I_B ≤ I_n ≤ I_z (or the share of it that the device allows)."""
        return meets(self.load.amperes, self.device) and meets(self.device, self.limit(capacity))

    def calculation(self) -> Calculation:
        """The working."""
        parts, limit = self.capacity, self.limit(self.capacity.effective)
        factor = "" if self.share.quantity.magnitude == 1 else f"{self.share.shown} × "
        worked, device = parts.effective.worked, figure(self.device, "A")
        return Calculation(
            f"I_B ≤ I_n ≤ {factor}I_z; {worked.symbols if worked else ''}",
            f"{figure(self.load.amperes, 'A')} ≤ {device} ≤ {factor}{worked.numbers if worked else ''}",
            device,
            f"{upper_limit(limit, 'A', self.device)} ({parts.tabulated.reference})",
            margin(self.device, limit),
            (
                *self.load.inputs,
                typed("I_n", self.circuit, "device_rating"),
                tabled("I_t", parts.tabulated),
                tabled("C_a", parts.ambient),
                tabled("C_g", parts.grouping),
                *_lying(self.circuit),
                tabled("C_i", parts.insulation),
                tabled("C_c", parts.buried),
                tabled("C_s", parts.soil),
            ),
        )


def _lying(circuit: Circuit) -> tuple[Input, ...]:
    """How grouped circuits are taken to lie; that those on a tray or ladder touch in one layer nobody entered."""
    if circuit.grouping is None:
        return ()
    layer = ", taken as a single layer, touching: confirm" if circuit.grouping in ON_SUPPORTS else ""
    place = circuit.at.get("grouping")
    return (Input("grouping", f"{shown(circuit, 'grouped')} circuits, {circuit.grouping}{layer}", place),)


@rule(title="Device and cable carry the load", area=Area.CONDUCTORS, reference=REFERENCE)
def devices_and_cables_carry_the_load(case: Case) -> Iterator[Outcome]:
    """I_B ≤ I_n ≤ I_z; load management never replaces I_n ≤ I_z."""
    for circuit in case.job.circuits:
        subject, load = name_of(circuit), load_of(case, circuit)
        run = cable_of(case, circuit)
        if load is None:
            yield not_applicable(subject, "No charge point of this job stands behind this circuit.")
        elif isinstance(load, Outcome):
            yield load
        elif run is None or circuit.device is None or circuit.device_rating is None:
            yield blank(subject, circuit, *CABLE_CELLS, "device", "device_rating")
        else:
            capacity = case.edition.cables.capacity(run)
            if isinstance(capacity, Missing):
                yield untabled(subject, capacity, circuit.where("cable", "method", "live_size", "ambient"))
                continue
            share = case.edition.cables.fuse_factor(circuit.device)
            yield _coordinated(Coordination(load, magnitude(circuit.device_rating, "A"), share, capacity, circuit))


def _coordinated(found: Coordination) -> Outcome:
    """The verdict on one circuit."""
    circuit, capacity, calculation = found.circuit, found.capacity, found.calculation()
    places = cells(*calculation.inputs) + circuit.where("live_size", "method", "grouped", "ambient")
    holds, unburied = found.holds(capacity.effective), found.holds(capacity.unburied)
    expected = f"load ≤ device ≤ {calculation.limit}"
    currents = f"load {figure(found.load.amperes, 'A')}, device {figure(found.device, 'A')}"
    if not holds:
        doubtful = unburied and meets(found.load.amperes, found.device)
        return Outcome(
            Verdict.QUERY if doubtful else Verdict.FAIL,
            name_of(circuit),
            "The cable carries the device's rating only without the factor for burial."
            if doubtful
            else "The device is rated below its load."
            if not meets(found.load.amperes, found.device)
            else "The cable is too small for the device.",
            places,
            found=f"{currents}, cable {capacity.effective.shown}"
            f"{f' (without that factor {capacity.unburied.shown})' if doubtful else ''}",
            expected=expected,
            remedy="Look the factor up, or choose a larger cable."
            if doubtful
            else "Choose a larger cable or another device, or lock the point's limit lower.",
            calculation=calculation,
        )
    reserve = min(calculation.margin or 0.0, margin(found.load.amperes, found.device) or 0.0)
    good = passed(
        name_of(circuit), "Device and cable carry the load.", places, calculation, capacity.effective.confidence
    )
    if good.verdict is Verdict.PASS and not reaches(reserve, CLOSE_PERCENT):
        return replace(
            good,
            verdict=Verdict.NOTE,
            message="Device and cable carry the load with hardly a reserve.",
            found=currents,
            expected=expected,
            remedy="Nothing; the signatory sees how much is left.",
        )
    return good


@rule(title="Devices side by side have a reserve", area=Area.CONDUCTORS, reference="common practice")
def devices_side_by_side_have_a_reserve(case: Case) -> Iterator[Outcome]:
    """Two or more devices in one board that carry their full rating for hours warm each other."""
    for board in case.job.boards:
        loaded = [each for each in case.job.circuits_of(board) if _fully_loaded(case, each)]
        if len(loaded) < SIDE_BY_SIDE:
            yield passed(name_of(board), "No devices that carry their full rating stand side by side.")
        else:
            yield Outcome(
                Verdict.QUERY,
                name_of(board),
                "Several devices in this board carry their full rating for hours.",
                tuple(place for each in loaded for place in each.where("device_rating")),
                found=f"circuits {', '.join(str(each.circuit) for each in loaded)}",
                expected="a reserve, or spacers between the devices",
                remedy="Choose the next larger device if the cable allows it, or fit spacers and have it accepted.",
            )


def _fully_loaded(case: Case, circuit: Circuit) -> bool:
    """Whether the load of a circuit is all that its device may carry."""
    load = load_of(case, circuit)
    if not isinstance(load, Load) or circuit.device_rating is None:
        return False
    return meets(magnitude(circuit.device_rating, "A"), load.amperes)


@rule(title="Power and current of a model agree", area=Area.CONDUCTORS, reference="common practice, P = U × I")
def power_and_current_of_a_model_agree(case: Case) -> Iterator[Outcome]:
    """Power by voltage and phases differs from the rated current by rounding only."""
    supply = case.job.supply
    for model in case.job.models:
        subject = f"Model {model.model or '?'}"
        if model.rated_power is None:
            yield not_applicable(subject, "The maker's rated power is not entered.")
            continue
        if gap := lacking(subject, model, "rated_current", "phases") or lacking(subject, supply, "voltage"):
            yield gap
            continue
        worked = current_of_power(power=model.rated_power, phases=model.phases or 1, u_0=supply.voltage)
        rated = magnitude(model.rated_current, "A")
        off = 100 * abs(magnitude(worked.quantity, "A") - rated) / rated
        inputs = (typed("P", model, "rated_power"), typed("I_n", model, "rated_current"))
        calculation = Calculation(
            worked.symbols, worked.numbers, worked.shown, f"{shown(model, 'rated_current')} ± 5 %"
        )
        calculation = replace(calculation, inputs=inputs)
        if meets(off, POWER_PERCENT):
            yield passed(subject, "Rated power and current agree.", cells(*inputs), calculation)
        else:
            yield Outcome(
                Verdict.QUERY,
                subject,
                "Rated power and rated current of the model do not agree.",
                cells(*inputs),
                found=f"{shown(model, 'rated_power')} means {worked.shown} per phase",
                expected=f"{shown(model, 'rated_current')} within {POWER_PERCENT:g} %",
                remedy="Compare both, and the phases, with the maker's data plate.",
                calculation=calculation,
            )


@rule(title="The circuit has the phases of its model", area=Area.CONDUCTORS, reference="the maker's instructions")
def circuits_have_the_phases_of_their_model(case: Case) -> Iterator[Outcome]:
    """A three-phase model on a single-phase circuit is odd, a circuit with more phases than its supply wrong."""
    for point in case.job.points:
        model, circuit = case.job.model(point.model), case.job.circuit(point.board, point.circuit)
        if model is None or circuit is None or model.phases is None or circuit.phases is None:
            continue
        places = circuit.where("phases") + model.where("phases")
        if circuit.phases >= model.phases:
            yield passed(name_of(point), f"Circuit with {circuit.phases} phases, model with {model.phases}.", places)
        else:
            yield Outcome(
                Verdict.QUERY,
                name_of(point),
                "The model has more phases than its circuit.",
                places,
                found=f"circuit {circuit.phases}, model {model.phases}",
                expected="as many phases in the circuit as in the model",
                remedy="Mend the phases, or show that the model may be connected so.",
            )
