"""Other sources than the public supply, and power that flows back: devices, common RCDs, notices."""

from collections.abc import Iterator

from pipeline.facts.choices import Consent, Directions, SourceKind, YesNo
from pipeline.facts.field import Needed
from pipeline.facts.findings import Verdict
from pipeline.facts.job import Job
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.sources import OtherSource
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, name_of, not_applicable, passed

REFERENCE = "IEC 60364-5-55, 551.7 (from memory)"
NONE_THERE = "The public supply is the only source."


def _reversible(job: Job) -> tuple[Circuit, ...]:
    """Circuits through which power can flow both ways: of points that return power, and feeders of source boards."""
    found: dict[tuple[str | None, str | None], Circuit] = {}
    for point in job.points:
        model, circuit = job.model(point.model), job.circuit(point.board, point.circuit)
        if model and circuit and model.returns_power is YesNo.YES:
            found.update(((each.board, each.circuit), each) for each in job.path(circuit))
    for source in job.sources:
        board = job.board(source.board)
        feeder = job.feeder(board) if board else None
        if feeder:
            found.update(((each.board, each.circuit), each) for each in job.path(feeder))
    return tuple(found.values())


@rule(title="Devices suit current in both directions", area=Area.SOURCES, reference=REFERENCE)
def devices_suit_both_directions(case: Case) -> Iterator[Outcome]:
    """Where power can flow back, a device marked for one direction may fail to open."""
    circuits = _reversible(case.job)
    if not circuits:
        yield not_applicable("Job", "No power flows back through the circuits of this job.")
    for circuit in circuits:
        if circuit.directions is Directions.BOTH:
            yield passed(name_of(circuit), "The device suits both directions.", circuit.where("directions"))
        else:
            yield Outcome(
                Verdict.FAIL if circuit.directions is Directions.ONE else Verdict.QUERY,
                name_of(circuit),
                "Power can flow back through this device, and it is not shown to suit both directions.",
                circuit.where("directions"),
                found=circuit.shown("directions") or "blank",
                expected="both directions",
                remedy="Read the device's marking; fit one without 'in' and 'out' terminals where it has them.",
            )


@rule(title="Sources do not share an RCD with a point", area=Area.SOURCES, reference=REFERENCE)
def sources_do_not_share_an_rcd_with_a_point(case: Case) -> Iterator[Outcome]:
    """Behind one RCD, a source keeps a tripped circuit alive or keeps the RCD from tripping."""
    if not case.job.sources:
        yield not_applicable("Job", NONE_THERE)
    for source in case.job.sources:
        shared = [each for each in _upstream_rcds(case.job, source) if case.job.points_behind(each)]
        if shared:
            yield Outcome(
                Verdict.QUERY,
                name_of(source),
                "This source and a charge point may stand behind the same RCD.",
                (*source.where("board"), *(place for each in shared for place in each.where("rcd_type"))),
                found=f"upstream RCD in board {', '.join(str(each.board) for each in shared)}",
                expected="no RCD before both",
                remedy="Move one of them off that RCD, or clear the RCD's cells if it stands before neither.",
            )
        else:
            yield passed(name_of(source), "No RCD stands before this source and a charge point.", source.where("board"))


def _upstream_rcds(job: Job, source: OtherSource) -> Iterator[Board]:
    """The boards with a common RCD from a source's board to the intake."""
    board, seen = job.board(source.board), set[str | None]()
    while board and board.board not in seen:
        seen.add(board.board)
        if board.rcd_type is not None:
            yield board
        board = job.board(board.fed_board)


@rule(
    title="Two sources are announced",
    area=Area.SOURCES,
    reference="IEC 60364-5-51, 514 (from memory)",
    needed=Needed.TEST,
)
def two_sources_are_announced(case: Case) -> Iterator[Outcome]:
    """A notice at each place of isolation, and the place itself written down."""
    vehicles = _unannounced_vehicles(case.job)
    if not case.job.sources and not vehicles:
        yield not_applicable("Job", NONE_THERE)
    for point in vehicles:
        yield Outcome(
            Verdict.QUERY,
            name_of(point),
            "A vehicle can send power back from this point, and is not entered as a source.",
            point.where("model"),
            found="no row on the sheet Other sources",
            expected="a row 'vehicle' with its place of isolation and its notices",
            remedy="Add the row, and fit a notice at each place of isolation.",
        )
    for source in case.job.sources:
        if source.notices_fitted is None or source.isolator_place is None:
            yield blank(name_of(source), source, "notices_fitted", "isolator_place")
        elif source.notices_fitted is YesNo.YES:
            yield passed(name_of(source), f"Isolated at: {source.isolator_place}.", source.where("notices_fitted"))
        else:
            yield Outcome(
                Verdict.QUERY,
                name_of(source),
                "No notice warns of the second source.",
                source.where("notices_fitted"),
                found="no",
                expected="a notice at each place of isolation",
                remedy="Print the notice of this pack and fit it.",
            )


def _unannounced_vehicles(job: Job) -> tuple[Point, ...]:
    """Points through which a vehicle can feed back, where no vehicle is entered as a source."""
    if any(each.source is SourceKind.VEHICLE for each in job.sources):
        return ()
    models = {each.model for each in job.models if each.returns_power is YesNo.YES}
    return tuple(each for each in job.points if each.model in models)


@rule(title="Sources have their consent", area=Area.SOURCES, reference="common practice")
def sources_have_their_consent(case: Case) -> Iterator[Outcome]:
    """What the operator said to a source, and whether it runs without the grid, is told."""
    for source in case.job.sources:
        settled = source.consent in (Consent.GIVEN, Consent.NOT_NEEDED)
        if settled and source.island_mode is YesNo.NO:
            yield passed(name_of(source), f"Consent: {source.consent}.", source.where("consent"))
        else:
            yield Outcome(
                Verdict.NOTE,
                name_of(source),
                "This source has no settled consent, or can run without the grid.",
                source.where("consent", "island_mode"),
                found=f"consent: {source.shown('consent') or 'blank'}, "
                f"runs without the grid: {source.shown('island_mode') or 'blank'}",
                expected="consent given or not needed; earthing checked for running without the grid",
                remedy="Have the signatory look at the source's papers and at the earthing without the grid.",
            )
