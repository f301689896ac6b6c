"""A job with every row that it refers to: alone it can be judged, printed and judged again."""

from datetime import date

from pydantic import BaseModel, ConfigDict

from pipeline.facts.choices import EarthingSystem, JobState
from pipeline.facts.findings import Finding
from pipeline.facts.rows.circuits import Board, Circuit, CircuitReadings
from pipeline.facts.rows.firm import Accuracy, Firm, Instrument, Person
from pipeline.facts.rows.inspections import Inspection, InspectionRemark, Photo
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.models import Fixing, Indicator, Model
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.supply import Electrode, LoadManagement, OtherSource, Supply


class Job(BaseModel):
    """The rows of one job and the rows of the reference sheets that they name, in the order of the workbook."""

    model_config = ConfigDict(frozen=True, arbitrary_types_allowed=True)

    row: JobRow
    firm: Firm = Firm()
    people: tuple[Person, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    accuracies: tuple[Accuracy, ...] = ()
    models: tuple[Model, ...] = ()
    fixings: tuple[Fixing, ...] = ()
    indicators: tuple[Indicator, ...] = ()
    supply: Supply = Supply()
    sources: tuple[OtherSource, ...] = ()
    electrodes: tuple[Electrode, ...] = ()
    schemes: tuple[LoadManagement, ...] = ()
    boards: tuple[Board, ...] = ()
    circuits: tuple[Circuit, ...] = ()
    readings: tuple[CircuitReadings, ...] = ()
    points: tuple[Point, ...] = ()
    inspection: Inspection = Inspection()
    remarks: tuple[InspectionRemark, ...] = ()
    photos: tuple[Photo, ...] = ()
    photo_sums: dict[str, str] = {}

    @property
    def reference(self) -> str:
        """The firm's own reference of the job."""
        return self.row.job or ""

    @property
    def tested(self) -> bool:
        """Whether the electrician has been; a job still to visit is judged on its design alone."""
        return self.row.state is JobState.TESTED

    def board(self, name: str | None) -> Board | None:
        """The board of that designation."""
        return next((each for each in self.boards if each.board == name), None)

    def circuit(self, board: str | None, name: str | None) -> Circuit | None:
        """The circuit of that board and number."""
        return next((each for each in self.circuits if (each.board, each.circuit) == (board, name)), None)

    def circuits_of(self, board: Board) -> tuple[Circuit, ...]:
        """The circuits that leave a board."""
        return tuple(each for each in self.circuits if each.board == board.board)

    def feeder(self, board: Board) -> Circuit | None:
        """The distribution circuit that feeds a board; None at the origin or where the reference leads nowhere."""
        return self.circuit(board.fed_board, board.fed_circuit) if board.fed_board else None

    def fed_boards(self, circuit: Circuit) -> tuple[Board, ...]:
        """The boards that a distribution circuit feeds."""
        key = (circuit.board, circuit.circuit)
        return tuple(each for each in self.boards if (each.fed_board, each.fed_circuit) == key)

    def path(self, circuit: Circuit) -> tuple[Circuit, ...]:
        """The circuits from the origin to this one, itself last; a loop of references ends where it closes."""
        chain = [circuit]
        while (board := self.board(chain[0].board)) and (feeder := self.feeder(board)) and feeder not in chain:
            chain.insert(0, feeder)
        return tuple(chain)

    def earthing_of_board(self, board: Board | None) -> EarthingSystem | None:
        """The type of system earthing at a board: its own, else that of what feeds it, else the supply's."""
        seen: list[Board] = []
        while board and board not in seen:
            if board.earthing_system:
                return board.earthing_system
            seen.append(board)
            feeder = self.feeder(board)
            if feeder and feeder.earthing_system:
                return feeder.earthing_system
            board = self.board(board.fed_board)
        return self.supply.earthing_system

    def earthing_of(self, circuit: Circuit) -> EarthingSystem | None:
        """The type of system earthing of a circuit: its own, else that of its board."""
        return circuit.earthing_system or self.earthing_of_board(self.board(circuit.board))

    def attempts(self, circuit: Circuit) -> tuple[CircuitReadings, ...]:
        """All attempts at testing a circuit, the first one first."""
        key = (circuit.board, circuit.circuit)
        found = [each for each in self.readings if (each.board, each.circuit) == key]
        return tuple(sorted(found, key=lambda each: each.attempt or 1))

    def latest(self, circuit: Circuit) -> CircuitReadings | None:
        """The readings that count: those of the last attempt."""
        return (self.attempts(circuit) or (None,))[-1]

    def points_on(self, circuit: Circuit) -> tuple[Point, ...]:
        """The charge points on a circuit (one, unless something is wrong)."""
        return tuple(each for each in self.points if (each.board, each.circuit) == (circuit.board, circuit.circuit))

    def points_behind(self, board: Board) -> tuple[Point, ...]:
        """The charge points on circuits of a board and of every board fed from it."""
        return tuple(
            point
            for circuit in self.circuits
            if any(step.board == board.board for step in self.path(circuit))
            for point in self.points_on(circuit)
        )

    def model(self, name: str | None) -> Model | None:
        """The charge-point model of that name."""
        return next((each for each in self.models if each.model == name), None)

    def person(self, name: str | None) -> Person | None:
        """The person of that short name."""
        return next((each for each in self.people if each.person == name), None)

    def instrument(self, name: str | None) -> Instrument | None:
        """The instrument of that short name."""
        return next((each for each in self.instruments if each.instrument == name), None)

    def electrode(self, circuit: Circuit) -> Electrode | None:
        """The electrode that earths a circuit: its own, else its board's, else the installation's."""
        for key in ((circuit.board, circuit.circuit), (circuit.board, None), (None, None)):
            for each in self.electrodes:
                if (each.board, each.circuit) == key:
                    return each
        return None


class SheetBalance(BaseModel):
    """What became of the filled rows of one sheet; `of_jobs` counts rows by the job they belong to."""

    model_config = ConfigDict(frozen=True)

    sheet: str
    filled: int
    of_jobs: dict[str, int] = {}
    used: int = 0
    not_used: int = 0


class Week(BaseModel):
    """A workbook once read: its fingerprint, its jobs, and what was found while typing its cells.

    `as_of` is the only clock that rules know.
    """

    model_config = ConfigDict(frozen=True, arbitrary_types_allowed=True)

    source: str
    sha256: str
    as_of: date
    jobs: tuple[Job, ...] = ()
    findings: tuple[Finding, ...] = ()
    balance: tuple[SheetBalance, ...] = ()
