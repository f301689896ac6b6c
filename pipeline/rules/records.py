"""What was written down: counted, entered once, and leading somewhere."""

from collections import defaultdict
from collections.abc import Callable, Iterator

from pipeline.facts.choices import CircuitKind, JobState, NewOrExisting, WorkKind
from pipeline.facts.field import Needed, Place
from pipeline.facts.findings import Verdict
from pipeline.facts.job import Job
from pipeline.facts.row import Row
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, lacking, name_of, not_applicable, passed
from pipeline.rules.twins import twins_of

PRACTICE = "common practice"
NO_POINT = "none"


def _counted(case: Case, attribute: str, part: str, what: str) -> Iterator[Outcome]:
    """The typed control total against the rows that arrived; of rows that stand twice either count will do."""
    row, rows = case.job.row, getattr(case.job, part)
    typed = len(getattr(case.whole, part))
    if gap := lacking("Job", row, attribute):
        yield gap
    elif getattr(row, attribute) in {len(rows), typed}:
        yield passed("Job", f"{len(rows)} {what} counted on site and as many rows read.", row.where(attribute))
    else:
        yield Outcome(
            Verdict.FAIL,
            "Job",
            f"The number of {what} counted on site is not the number of rows typed.",
            row.where(attribute),
            found=f"{row.shown(attribute)} counted, {typed} {'row' if typed == 1 else 'rows'} typed",
            expected="the same number twice",
            remedy=f"Compare the site sheet with the rows: one is lost or entered twice, or {what} were miscounted.",
        )


@rule(title="Number of circuits equals the rows", area=Area.RECORDS, reference=PRACTICE)
def circuits_equal_their_control_total(case: Case) -> Iterator[Outcome]:
    """The strongest guard against a lost row."""
    yield from _counted(case, "circuits_total", "circuits", "circuits")


@rule(title="Number of charge points equals the rows", area=Area.RECORDS, reference=PRACTICE)
def points_equal_their_control_total(case: Case) -> Iterator[Outcome]:
    """The strongest guard against a lost row."""
    yield from _counted(case, "points_total", "points", "charge points")


@rule(title="No row is entered twice", area=Area.RECORDS, reference=PRACTICE)
def rows_are_entered_once(case: Case) -> Iterator[Outcome]:
    """Boards, circuits, points, attempts at testing and the rest: one row for one key."""
    twice = twins_of(case.whole)
    for rows in twice:
        yield Outcome(
            Verdict.FAIL,
            name_of(rows[0]),
            f"{len(rows)} rows have the same name: {', '.join(each for each in rows[0].key() if each)}.",
            tuple(place for row in rows for place in _key_places(row)),
            found=f"{len(rows)} rows",
            expected="one row",
            remedy=f"Delete the copy, or mend the name that tells them apart.{_again(rows[0])}",
        )
    if not twice:
        yield passed("Job", "Each row is entered once.")


def _again(row: Row) -> str:
    """What to do about a second test, which looks like a copy of the first."""
    return " A second test is attempt 2." if isinstance(row, CircuitReadings) else ""


def _key_places(row: Row) -> tuple[Place, ...]:
    """The last cell of the key that somebody typed in this row: the one that should tell two rows apart."""
    keys = [name for name, field in row.fields().items() if field.key and getattr(row, name) is not None]
    own = row.where("job")
    here = [place for place in row.where(*keys) if place.sheet == own[0].sheet] if own else []
    return tuple(here[-1:]) or row.where(*keys[-1:])


@rule(title="Rows refer to rows that are there", area=Area.RECORDS, reference=PRACTICE)
def references_lead_to_a_row_of_the_job(case: Case) -> Iterator[Outcome]:
    """The board of a circuit, the circuit of a point or reading, the feeder of a board, the scheme of a point."""
    lost: dict[tuple[str, str], list[tuple[Row, tuple[str, ...]]]] = defaultdict(list)
    for row, attributes, sheet in (*_lost_boards(case.job), *_lost_circuits(case.job), *_lost_schemes(case.job)):
        lost[sheet, CALLED[sheet](*(row.shown(each) or "?" for each in attributes))].append((row, attributes))
    for (sheet, name), rows in lost.items():
        known = [CALLED[sheet](*(name or "?" for name in each.key()[1:])) for each in getattr(case.job, PARTS[sheet])]
        yield Outcome(
            Verdict.FAIL,
            name_of(rows[0][0]),
            f"The sheet {sheet} has no {name} for this job, but it is named here.",
            tuple(place for row, attributes in rows for place in row.where(*attributes)),
            found=name,
            expected=f"one of this job's rows on the sheet {sheet}: {', '.join(known) or 'there is none'}",
            remedy="Mend the spelling here, or add the row that is missing there.",
        )
    if not lost:
        yield passed("Job", "Each reference between the rows of this job leads to a row.")


Lost = tuple[Row, tuple[str, ...], str]
PARTS = {"Boards": "boards", "Circuits": "circuits", "Load management": "schemes"}
# what a row of these sheets is called, by the names in it
CALLED: dict[str, Callable[..., str]] = {
    "Boards": "board {}".format,
    "Circuits": "circuit {1} of board {0}".format,
    "Load management": "scheme {}".format,
}


def _lost_boards(job: Job) -> Iterator[Lost]:
    """Rows that name a board that the job does not have."""
    known = {each.board for each in job.boards}
    rows: tuple[Row, ...] = (*job.circuits, *job.electrodes, *job.sources, *job.schemes)
    for row in rows:
        board = getattr(row, "board", None)
        if board is not None and board not in known:
            yield row, ("board",), "Boards"


def _lost_circuits(job: Job) -> Iterator[Lost]:
    """Rows that name a circuit that the job does not have."""
    known = {(each.board, each.circuit) for each in job.circuits}
    for row, (board, circuit) in _naming_circuits(job):
        key = (getattr(row, board), getattr(row, circuit))
        if key not in known and key[1]:
            yield row, (board, circuit), "Circuits"


def _naming_circuits(job: Job) -> Iterator[tuple[Row, tuple[str, str]]]:
    """Rows that name a circuit, with the two cells that do."""
    rows: tuple[Row, ...] = (*job.readings, *job.points, *job.electrodes)
    yield from ((each, ("board", "circuit")) for each in rows)
    yield from ((each, ("fed_board", "fed_circuit")) for each in job.boards)


def _lost_schemes(job: Job) -> Iterator[Lost]:
    """Points in a load management scheme that is not described."""
    known = {each.scheme for each in job.schemes}
    for point in job.points:
        if point.scheme is not None and point.scheme not in known:
            yield point, ("scheme",), "Load management"


@rule(title="Boards are chained from the intake", area=Area.RECORDS, reference=PRACTICE)
def boards_are_fed_from_the_intake(case: Case) -> Iterator[Outcome]:
    """Following what feeds a board ends at the intake and not in a circle."""
    for board in case.job.boards:
        seen = [board]
        while (feeder := case.job.board(seen[-1].fed_board)) and feeder not in seen:
            seen.append(feeder)
        if feeder:
            yield Outcome(
                Verdict.FAIL,
                name_of(board),
                "The boards feed each other in a circle.",
                board.where("fed_board"),
                found=" from ".join(str(each.board) for each in [*seen, feeder]),
                expected="a chain that begins at the intake",
                remedy="Leave 'Fed from' blank for the board at the intake and mend the others.",
            )
        else:
            yield passed(name_of(board), "The board is fed from the intake.", board.where("fed_board"))


@rule(
    title="One final circuit serves one charge point",
    area=Area.RECORDS,
    reference="IEC 60364-7-722, 722.314 (from memory)",
)
def final_circuits_serve_one_point(case: Case) -> Iterator[Outcome]:
    """A point has its own final circuit; a new final circuit has its point."""
    for circuit in case.job.circuits:
        points, final = case.job.points_on(circuit), circuit.feeds is CircuitKind.FINAL
        if circuit.feeds is None:
            yield blank(name_of(circuit), circuit, "feeds")
        elif final and not points and circuit.new is NewOrExisting.EXISTING:
            yield not_applicable(name_of(circuit), "An existing circuit without a charge point of this job.")
        else:
            yield _served(circuit, points, right=len(points) == int(final))


def _served(circuit: Circuit, points: tuple[Point, ...], *, right: bool) -> Outcome:
    """The verdict on the points of a circuit."""
    names = ", ".join(str(each.point) for each in points) or NO_POINT
    if right:
        return passed(name_of(circuit), f"Charge points on this circuit: {names}.", circuit.where("circuit"))
    return Outcome(
        Verdict.FAIL,
        name_of(circuit),
        "Each charge point needs a final circuit of its own." if points else "This circuit serves no charge point.",
        (*circuit.where("feeds"), *(place for each in points for place in each.where("circuit"))),
        found=f"{circuit.shown('feeds')}; charge points: {names}",
        expected="one charge point on each final circuit, none on a distribution circuit",
        remedy="Mend board and circuit on the sheet Charge points, or add the row that is missing.",
    )


@rule(title="Tested circuits have readings", area=Area.RECORDS, reference="IEC 60364-6, 6.4.3", needed=Needed.TEST)
def new_circuits_have_readings(case: Case) -> Iterator[Outcome]:
    """Every new circuit, and every existing one that a point of this job stands on, was tested."""
    for circuit in case.job.circuits:
        subject = name_of(circuit)
        if case.job.attempts(circuit):
            yield passed(subject, "The circuit has a row of readings.")
        elif circuit.new is NewOrExisting.EXISTING and not case.job.points_on(circuit):
            yield not_applicable(subject, "An existing circuit that only feeds this work.")
        else:
            yield Outcome(
                Verdict.FAIL,
                subject,
                "A tested job must have readings for this circuit.",
                circuit.where("circuit"),
                found="no row",
                expected="a row with its readings on the sheet Readings",
                remedy="Enter the readings, or set the job to 'to visit'.",
            )


@rule(title="Jobs to visit have no test results yet", area=Area.RECORDS, reference=PRACTICE)
def jobs_to_visit_have_no_test_results(case: Case) -> Iterator[Outcome]:
    """A job that is still to be visited is judged on its design alone: its readings would go unread."""
    job = case.job
    rows = [row for row in (*job.readings, job.inspection) if _has_results(row)]
    if job.row.state is not JobState.TO_VISIT or not rows:
        yield passed("Job", "Test results and the state of the job agree.", job.row.where("state"))
        return
    sheets = ", ".join(dict.fromkeys(place.sheet for row in rows for place in row.where("job")))
    yield Outcome(
        Verdict.FAIL,
        "Job",
        "The job is still to be visited, but there are test results for it. None is judged, not even a dangerous one.",
        (*job.row.where("state"), *(place for row in rows for place in row.where("job"))),
        found=f"'{job.row.shown('state')}', with rows on {sheets}",
        expected="test results only for a job that is tested",
        remedy="Set State to 'tested' once the electrician has been; else take the rows out.",
    )


def _has_results(row: Row) -> bool:
    """Whether anything was typed into a row besides its name; what a default fills does not count."""
    own = {place.sheet for place in row.where("job")}
    return any(not row.fields()[name].key and row.at[name].sheet in own for name in row.typed)


@rule(title="Supply and inspection are described", area=Area.RECORDS, reference="IEC 60364-6, 6.4.4")
def single_rows_are_there(case: Case) -> Iterator[Outcome]:
    """A job has its row on Supplies and, once tested, on Inspections."""
    wanted: list[tuple[Row, str]] = [(case.job.supply, "Supplies")]
    if case.job.tested:
        wanted.append((case.job.inspection, "Inspections"))
    for row, sheet in wanted:
        if any(getattr(row, name) is not None for name in row.fields()):
            yield passed("Job", f"The job has its row on the sheet {sheet}.")
        else:
            yield Outcome(
                Verdict.FAIL,
                "Job",
                f"The job has no row on the sheet {sheet}.",
                case.job.row.where("job"),
                found="no row",
                expected=f"one row on the sheet {sheet} with this job's reference",
                remedy=f"Add the row on the sheet {sheet}.",
            )


@rule(title="The kind of work fits the circuits", area=Area.RECORDS, reference="IEC 60364-6, 6.4.4")
def kind_of_work_fits_the_circuits(case: Case) -> Iterator[Outcome]:
    """It chooses the certificate: minor works only where no circuit is new."""
    row = case.job.row
    if gap := lacking("Job", row, "work"):
        yield gap
        return
    new = [each for each in case.job.circuits if each.new is NewOrExisting.NEW]
    if (row.work is WorkKind.NO_NEW_CIRCUIT) is bool(new):
        yield Outcome(
            Verdict.QUERY,
            "Job",
            "The kind of work does not fit the circuits, so the wrong certificate would be made.",
            (*row.where("work"), *_new_cells(new)),
            found=f"{row.shown('work')}, with {len(new)} new circuits",
            expected="a new circuit exactly where the kind of work says so",
            remedy="Mend the kind of work, or 'New or existing' of the circuits.",
        )
    else:
        yield passed("Job", f"Kind of work: {row.shown('work')}, with {len(new)} new circuits.", row.where("work"))


def _new_cells(circuits: list[Circuit]) -> tuple[Place, ...]:
    """Where circuits are said to be new."""
    return tuple(place for each in circuits for place in each.where("new"))
