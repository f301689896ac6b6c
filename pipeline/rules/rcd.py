"""Residual current protection: each point's own, what stands before it, and whether it trips in time."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pipeline.facts.choices import DcDetection, RcdPlace, RcdType, YesNo
from pipeline.facts.field import Place
from pipeline.facts.findings import Verdict
from pipeline.facts.job import Job
from pipeline.facts.row import Row
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.models import Model
from pipeline.facts.rows.points import Point
from pipeline.rules.base import Area, Case, Outcome, meets, rule
from pipeline.rules.outcomes import blank, lacking, name_of, not_applicable, passed

REFERENCE = "IEC 60364-7-722, 722.531"
# what each type detects grows in this order (IEC 60755)
ORDER = (RcdType.AC, RcdType.A, RcdType.F, RcdType.B)


@dataclass(frozen=True, slots=True)
class PointRcd:
    """The RCD of a charge point, wherever it is."""

    row: Row
    type: RcdType | None
    rating: Any
    poles: int | None
    attributes: tuple[str, str, str]

    @property
    def places(self) -> tuple[Place, ...]:
        """Its cells."""
        return self.row.where(*self.attributes)


def rcd_of(job: Job, point: Point) -> PointRcd | None:
    """The point's own RCD: inside it, or at the head of its circuit; None where the place is blank."""
    circuit = job.circuit(point.board, point.circuit)
    names = ("rcd_type", "rcd_rating", "rcd_poles")
    if point.rcd_place is RcdPlace.INSIDE:
        return PointRcd(point, point.rcd_type, point.rcd_rating, point.rcd_poles, names)
    if point.rcd_place is RcdPlace.BOARD and circuit is not None:
        return PointRcd(circuit, circuit.rcd_type, circuit.rcd_rating, circuit.rcd_poles, names)
    return None


@rule(title="Each charge point has its own RCD", area=Area.RCD, reference=REFERENCE)
def each_point_has_its_own_rcd(case: Case) -> Iterator[Outcome]:
    """At most 30 mA, all live conductors, not type AC."""
    for point in case.job.points:
        found = rcd_of(case.job, point)
        if found is None:
            yield lacking(name_of(point), point, "rcd_place") or blank(name_of(point), point, "rcd_place")
        elif found.type is None and found.rating is None:
            yield _bad(point, found, "no RCD is recorded", "an RCD of its own")
        elif gap := lacking(name_of(point), found.row, *found.attributes):
            yield gap
        else:
            yield _own(case, point, found)


def _own(case: Case, point: Point, found: PointRcd) -> Outcome:
    """The verdict on a point's RCD."""
    most = case.edition.charging.point_rcd()
    model, circuit = case.job.model(point.model), case.job.circuit(point.board, point.circuit)
    phases = (circuit.phases if circuit else None) or 1
    poles = 4 if phases == 3 else 2
    wrong = (
        (found.type is RcdType.AC, "type AC", "type A, F or B"),
        (not meets(found.rating, most.quantity), f"{found.row.shown('rcd_rating')} mA", f"at most {most.shown}"),
        ((found.poles or 0) < poles, f"{found.poles} poles", f"{poles} poles, which break all live conductors"),
    )
    odd = (
        (found.type is RcdType.UNREAD, "its type was not read", "type A, F or B"),
        (*_asked_for(found, model), "as the model's maker asks"),
        (_not_there(point, model), "the model has no RCD inside, by the sheet Models", "one place of the RCD"),
    )
    for judge, table in ((_bad, wrong), (_asked, odd)):
        for is_so, what, expected in table:
            if is_so:
                return judge(point, found, what, expected)
    rated = f"type {found.type}, {found.row.shown('rcd_rating')} mA, {found.poles} poles"
    return passed(name_of(point), f"Its own RCD: {rated}.", found.places, confidence=most.confidence)


def _asked_for(found: PointRcd, model: Model | None) -> tuple[bool, str]:
    """Whether the model's maker asks for a type that detects more, and what is there instead."""
    wanted = model.upstream_rcd if model else None
    return _less(found.type, wanted), f"type {found.type}, the model asks for type {wanted}"


def _not_there(point: Point, model: Model | None) -> bool:
    """Whether the RCD is said to be inside a model that has none."""
    return point.rcd_place is RcdPlace.INSIDE and model is not None and model.rcd_inside is not YesNo.YES


def _less(given: RcdType | None, wanted: RcdType | None) -> bool:
    """Whether a type detects less than the one asked for."""
    if given not in ORDER or wanted not in ORDER:
        return False
    return ORDER.index(given) < ORDER.index(wanted)


def _bad(point: Point, found: PointRcd, what: str, expected: str) -> Outcome:
    """An RCD that does not protect a charge point."""
    return Outcome(
        Verdict.FAIL,
        name_of(point),
        f"The charge point lacks its residual current protection: {what}.",
        found.places + point.where("rcd_place"),
        found=what,
        expected=expected,
        remedy="Fit a suitable RCD, or mend the cells.",
    )


def _asked(point: Point, found: PointRcd, what: str, expected: str) -> Outcome:
    """An RCD that somebody must look at."""
    return Outcome(
        Verdict.QUERY,
        name_of(point),
        "The charge point's RCD is not the one that is expected.",
        found.places + point.where("rcd_place"),
        found=what,
        expected=expected,
        remedy="Read the RCD's marking and the maker's instructions, and mend the cells or the RCD.",
    )


@rule(title="Smooth d.c. residual current is dealt with", area=Area.RCD, reference=REFERENCE)
def dc_residual_current_is_dealt_with(case: Case) -> Iterator[Outcome]:
    """Type B, or type A or F together with a 6 mA device."""
    for point in case.job.points:
        found, model = rcd_of(case.job, point), case.job.model(point.model)
        if model is None:
            yield blank(name_of(point), point, "model")
        elif model.dc_detection is None:
            yield blank(name_of(point), model, "dc_detection")
        elif found is None or found.type is None:
            yield not_applicable(name_of(point), "Told where the point's own RCD is missing.")
        else:
            yield _smooth_dc(point, found, model)


def _smooth_dc(point: Point, found: PointRcd, model: Model) -> Outcome:
    """The verdict on what opens at a smooth d.c. residual current."""
    if found.type is not RcdType.B and model.dc_detection is DcDetection.NONE:
        what = f"nothing opens on smooth d.c. (RCD type {found.type}, none inside)"
        return _bad(point, found, what, "type B, or a 6 mA device with type A or F")
    part = "RCD of type B" if found.type is RcdType.B else f"{model.dc_detection} inside"
    places = found.places + model.where("dc_detection")
    return passed(name_of(point), f"Smooth d.c. residual current: {part}.", places)


@dataclass(frozen=True, slots=True)
class Before:
    """An RCD that stands before one or more charge points."""

    row: Board | Circuit
    points: tuple[Point, ...]
    declaration: str


def _before(job: Job) -> Iterator[Before]:
    """Common RCDs of boards, RCDs of distribution circuits, RCDs at the head of circuits of points with their own."""
    for board in job.boards:
        if board.rcd_type is not None:
            yield Before(board, job.points_behind(board), board.rcd_declaration or "")
    for circuit in job.circuits:
        if circuit.rcd_type is not None and (points := _behind(job, circuit)):
            board_of = job.board(circuit.board) or Board()
            yield Before(circuit, points, board_of.rcd_declaration or "")


def _behind(job: Job, circuit: Circuit) -> tuple[Point, ...]:
    """The points behind a circuit's RCD that have one of their own beside it."""
    fed = [point for board in job.fed_boards(circuit) for point in job.points_behind(board)]
    inside = [each for each in job.points_on(circuit) if each.rcd_place is RcdPlace.INSIDE]
    return (*fed, *inside)


@rule(
    title="RCDs upstream stand smooth d.c.",
    area=Area.RCD,
    reference="IEC 60364-5-53, 531.3.3; IEC 60364-7-722, 722.531",
)
def rcds_upstream_stand_smooth_dc(case: Case) -> Iterator[Outcome]:
    """Type A bears one point with 6 mA detection; what more points leak together needs type B or a maker's word."""
    found = False
    for before in _before(case.job):
        found = True
        yield _upstream(case.job, before)
    if not found:
        yield not_applicable("Job", "No RCD stands before several circuits or before a point's own.")


def _upstream(job: Job, before: Before) -> Outcome:
    """The verdict on one upstream RCD."""
    kind, places = before.row.rcd_type, before.row.where("rcd_type", "rcd_declaration")
    names = ", ".join(str(each.point) for each in before.points) or "none"
    if kind is RcdType.AC:
        return _blind(before, f"type AC before charge points: {names}")
    if kind is RcdType.UNREAD:
        verdict, message, remedy = Verdict.QUERY, "The type of the upstream RCD was not read.", "Read the type."
    elif len(before.points) == 1 and kind is not RcdType.B and job.model(before.points[0].model) is None:
        return blank(name_of(before.row), before.points[0], "model")
    elif _bears(job, before):
        return passed(name_of(before.row), f"Upstream RCD type {kind} before charge points: {names}.", places)
    else:
        verdict = Verdict.QUERY if before.declaration else Verdict.FAIL
        message = "Smooth d.c. of the charge points behind it can blind the upstream RCD."
        remedy = "Fit type B upstream, or have the signatory read the maker's declaration."
    return Outcome(
        verdict,
        name_of(before.row),
        message,
        places,
        found=f"type {kind} before charge points: {names}; declared: {before.declaration or 'nothing'}",
        expected="type B, or a maker's declaration that it suits",
        remedy=remedy,
    )


def _bears(job: Job, before: Before) -> bool:
    """Whether the type bears what the points behind it leak: B any, A or F one point with a 6 mA device."""
    if before.row.rcd_type is RcdType.B or not before.points:
        return True
    return len(before.points) == 1 and not _is_b(job, before.points[0])


def _blind(before: Before, found: str) -> Outcome:
    """The verdict on an upstream RCD of type AC: a failure where a charge point stands behind it."""
    harms = bool(before.points)
    return Outcome(
        Verdict.FAIL if harms else Verdict.NOTE,
        name_of(before.row),
        "The upstream RCD is of type AC, which smooth d.c. blinds."
        if harms
        else "An RCD of type AC is in another board of this job.",
        before.row.where("rcd_type"),
        found=found,
        expected="type A before one point, type B before more",
        remedy="Replace it, or take the charge points off it.",
    )


def _is_b(job: Job, point: Point) -> bool:
    """Whether a point may leak more smooth d.c. than type A bears, as those without a 6 mA device do."""
    model = job.model(point.model)
    return model is None or model.dc_detection is not DcDetection.SIX_MA
