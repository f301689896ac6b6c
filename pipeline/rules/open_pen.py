"""A vehicle outdoors on a supply whose combined conductor can break: what keeps its body safe to touch."""

from collections.abc import Callable, Iterator

from pipeline.facts.choices import EarthingSystem, OpenPenInside, OpenPenMeasure, RuleFamily, YesNo
from pipeline.facts.findings import Verdict
from pipeline.facts.job import Job
from pipeline.facts.rows.points import Point
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, lacking, name_of, not_applicable, passed

REFERENCE = "IEC 60364-7-722, 722.411.4 (from memory)"
PHASES_INSIDE = {OpenPenInside.SINGLE_PHASE: 1, OpenPenInside.THREE_PHASE: 3}


@rule(title="A vehicle outdoors is safe if the PEN breaks", area=Area.OPEN_PEN, reference=REFERENCE)
def vehicles_outdoors_are_safe_if_the_pen_breaks(case: Case) -> Iterator[Outcome]:
    """Can a vehicle be charged outdoors from it? Blank counts as yes, and yes without a measure fails."""
    job = case.job
    for point in job.points:
        subject = name_of(point)
        if gap := lacking(subject, job.supply, "earthing_system", "phases"):
            yield gap
        elif point.vehicle_outdoors is YesNo.NO:
            yield not_applicable(subject, "No vehicle can be charged outdoors from it.")
        elif job.supply.earthing_system is EarthingSystem.TT:
            yield not_applicable(subject, "A TT supply has no PEN conductor that earths the point.")
        elif job.supply.earthing_system is EarthingSystem.TN_S:
            yield from _separate_earth(job, point)
        else:
            yield _measure(job, point)


def _separate_earth(job: Job, point: Point) -> Iterator[Outcome]:
    """On TN-S: confirmed by the operator, or a note, since a PEN conductor may lie farther up the network."""
    subject, places = name_of(point), job.supply.where("earthing_system", "tn_s_confirmed")
    if job.supply.tn_s_confirmed is YesNo.YES and point.open_pen not in (None, OpenPenMeasure.NOT_NEEDED):
        message = f"TN-S, confirmed by the operator: no measure is needed; there is one all the same: {point.open_pen}."
        yield passed(subject, message, places + point.where("open_pen"))
    elif job.supply.tn_s_confirmed is YesNo.YES:
        yield not_applicable(subject, "TN-S, confirmed by the operator.")
    elif point.open_pen not in (None, OpenPenMeasure.NOT_NEEDED):
        yield _measure(job, point)
    else:
        yield Outcome(
            Verdict.NOTE,
            subject,
            "The supply is TN-S, but the operator has not confirmed it.",
            places,
            found=f"confirmed: {job.supply.shown('tn_s_confirmed') or 'blank'}",
            expected="TN-S confirmed by the operator, or a measure against an open PEN",
            remedy="Ask the operator; if in doubt treat the supply as TN-C-S.",
        )


def _measure(job: Job, point: Point) -> Outcome:
    """The verdict on the declared measure."""
    judge = MEASURES.get(point.open_pen) if point.open_pen else None
    if judge is not None:
        return judge(job, point)
    strict = job.row.family is not RuleFamily.IEC
    return Outcome(
        Verdict.FAIL if strict else Verdict.NOTE,
        name_of(point),
        "A vehicle can be charged outdoors from a supply with a PEN conductor, and nothing is done in case it breaks.",
        point.where("open_pen", "vehicle_outdoors") + job.supply.where("earthing_system"),
        found=f"measure: {point.shown('open_pen') or 'blank'}",
        expected="a device, a TT island, an electrode with calculation, or a balanced three-phase calculation",
        remedy="Ask the electrician which measure was taken, and enter it. If there is none: fit a device against an "
        "open PEN, or earth the point by its own electrode.",
    )


def _unfit(point: Point, found: str, expected: str) -> Outcome:
    """A measure that is none on this job."""
    return Outcome(
        Verdict.FAIL,
        name_of(point),
        "The declared measure against an open PEN does not work here.",
        point.where("open_pen"),
        found=found,
        expected=expected,
        remedy="Declare the measure that was taken, or take one that works.",
    )


def _evidence(point: Point, kind: str) -> Outcome:
    """A measure that is shown, or a query where nothing shows it."""
    places = point.where("open_pen", "open_pen_evidence")
    if point.open_pen_evidence:
        return passed(name_of(point), f"Measure: {point.open_pen} ({point.open_pen_evidence}).", places)
    return Outcome(
        Verdict.QUERY,
        name_of(point),
        "Nothing shows the measure against an open PEN.",
        places,
        found="no evidence",
        expected=kind,
        remedy=f"Enter {kind}.",
    )


def _inside(job: Job, point: Point) -> Outcome:
    """A device inside the charge point, for as many phases as the supply has."""
    model = job.model(point.model)
    if model is None or model.open_pen_inside is None:
        return blank(name_of(point), model, "open_pen_inside") if model else blank(name_of(point), point, "model")
    if PHASES_INSIDE.get(model.open_pen_inside, 0) < (job.supply.phases or 0):
        return _unfit(
            point,
            f"the model has: {model.open_pen_inside}; supply with {job.supply.phases} phases",
            "a device inside for as many phases as the supply has",
        )
    places = point.where("open_pen") + model.where("open_pen_inside")
    return passed(name_of(point), f"Measure: device inside the charge point ({model.open_pen_inside}).", places)


def _device(job: Job, point: Point) -> Outcome:
    """A separate device, for as many phases as the supply has, with its serial number."""
    if gap := lacking(name_of(point), point, "open_pen_phases"):
        return gap
    if (point.open_pen_phases or 0) < (job.supply.phases or 0):
        return _unfit(
            point,
            f"device for {point.open_pen_phases} phases, supply with {job.supply.phases}",
            "a device for as many phases as the supply has",
        )
    return _evidence(point, "the device and its serial number")


def _electrode(job: Job, point: Point) -> Outcome:
    """An electrode that keeps the touch voltage low, by a calculation."""
    circuit = job.circuit(point.board, point.circuit)
    if circuit is None or job.electrode(circuit) is None:
        return _unfit(point, "no row on the sheet Earth electrodes", "the electrode with its resistance")
    return _evidence(point, "the number of the calculation")


def _balanced(job: Job, point: Point) -> Outcome:
    """A three-phase installation so balanced that the neutral point hardly moves, by a calculation."""
    if job.supply.phases != 3:
        return _unfit(point, "a single-phase supply", "a balanced three-phase installation")
    return _evidence(point, "the number of the calculation")


def _island(job: Job, point: Point) -> Outcome:
    """The point's circuit is TT, whatever the supply is; the rules on earthing judge the island itself."""
    circuit = job.circuit(point.board, point.circuit)
    system = job.earthing_of(circuit) if circuit else None
    if system is not EarthingSystem.TT:
        return _unfit(point, f"the circuit is {system or 'not known'}", "a circuit whose earthing system is TT")
    places = point.where("open_pen") + (circuit.where("earthing_system") if circuit else ())
    return passed(name_of(point), "Measure: TT island; the supply's protective conductor is not used.", places)


MEASURES: dict[OpenPenMeasure, Callable[[Job, Point], Outcome]] = {
    OpenPenMeasure.INSIDE: _inside,
    OpenPenMeasure.DEVICE: _device,
    OpenPenMeasure.ELECTRODE: _electrode,
    OpenPenMeasure.BALANCED: _balanced,
    OpenPenMeasure.ISLAND: _island,
}
