"""A job with every row that it refers to: alone it can be judged, printed and judged again."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from functools import cached_property
from typing import Any, Self, TypeVar

from pydantic import BaseModel, ConfigDict
from pydantic import Field as PydanticField

from pipeline.facts.choices import EarthingSystem, JobState
from pipeline.facts.findings import Finding
from pipeline.facts.rows.answers import Answer
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.firm import Accuracy, Firm, Instrument, Person
from pipeline.facts.rows.inspections import Inspection, InspectionRemark, Photo
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.models import Fixing, Indicator, Model
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.sources import OtherSource
from pipeline.facts.rows.supply import Supply

Key = tuple[str | None, ...]
Named = TypeVar("Named")
# looked up by name for every circuit of a job: worked out once, and never carried over into a changed copy
INDICES = (
    *("_board_of", "_circuit_of", "_readings_of", "_points_of", "_circuits_of"),
    *("_model_of", "_instrument_of", "_path_of", "_points_behind"),
)


def _first(rows: Iterable[tuple[Key, Named]]) -> dict[Key, Named]:
    """Rows by their key, the first of several."""
    found: dict[Key, Named] = {}
    for key, row in rows:
        found.setdefault(key, row)
    return found


def _all(rows: Iterable[tuple[Key, Named]]) -> dict[Key, tuple[Named, ...]]:
    """Rows by their key, all of them in their order."""
    found: dict[Key, list[Named]] = defaultdict(list)
    for key, row in rows:
        found[key].append(row)
    return {key: tuple(each) for key, each in found.items()}


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

    def model_copy(self, *, update: Any = None, deep: bool = False) -> Self:
        """A copy with other parts; what was looked up in this one is looked up anew in it."""
        copied = super().model_copy(update=update, deep=deep)
        for name in INDICES:
            copied.__dict__.pop(name, None)
        return copied

    @cached_property
    def _board_of(self) -> dict[Key, Board]:
        """Boards by their designation."""
        return _first(((each.board,), each) for each in self.boards)

    @cached_property
    def _circuit_of(self) -> dict[Key, Circuit]:
        """Circuits by board and number."""
        return _first(((each.board, each.circuit), each) for each in self.circuits)

    @cached_property
    def _circuits_of(self) -> dict[Key, tuple[Circuit, ...]]:
        """Circuits by their board."""
        return _all(((each.board,), each) for each in self.circuits)

    @cached_property
    def _readings_of(self) -> dict[Key, tuple[CircuitReadings, ...]]:
        """Attempts at testing by board and circuit, the first one first."""
        found = _all(((each.board, each.circuit), each) for each in self.readings)
        return {key: tuple(sorted(rows, key=lambda each: each.attempt or 1)) for key, rows in found.items()}

    @cached_property
    def _points_of(self) -> dict[Key, tuple[Point, ...]]:
        """Charge points by board and circuit."""
        return _all(((each.board, each.circuit), each) for each in self.points)

    @cached_property
    def _model_of(self) -> dict[Key, Model]:
        """Charge-point models by their names."""
        return _first(((each.model,), each) for each in self.models)

    @cached_property
    def _instrument_of(self) -> dict[Key, Instrument]:
        """Instruments by their names."""
        return _first(((each.instrument,), each) for each in self.instruments)

    @cached_property
    def _path_of(self) -> dict[Key, tuple[Circuit, ...]]:
        """The path of each circuit from the origin, by board and number."""
        return {key: self._path(circuit) for key, circuit in self._circuit_of.items()}

    @cached_property
    def _points_behind(self) -> dict[Key, tuple[Point, ...]]:
        """The charge points behind each board, by its designation, in the order of their circuits."""
        pairs = (
            ((board,), point)
            for circuit in self.circuits
            for board in {step.board for step in self.path(circuit)}
            for point in self.points_on(circuit)
        )
        return _all(pairs)

    @property
    def reference(self) -> str:
        """The firm's own reference of the job."""
        return self.row.job or ""

    @cached_property
    def tested(self) -> bool:
        """Whether the electrician has been; a job still to visit is judged on its design alone."""
        return self.row.state is JobState.TESTED

    def board(self, name: str | None) -> Board | None:
        """The board of that designation."""
        return self._board_of.get((name,))

    def circuit(self, board: str | None, name: str | None) -> Circuit | None:
        """The circuit of that board and number."""
        return self._circuit_of.get((board, name))

    def circuits_of(self, board: Board) -> tuple[Circuit, ...]:
        """The circuits that leave a board."""
        return self._circuits_of.get((board.board,), ())

    def feeder(self, board: Board) -> Circuit | None:
        """The distribution circuit that feeds a board; None at the origin or where the reference leads nowhere."""
        return self.circuit(board.fed_board, board.fed_circuit) if board.fed_board else None

    def fed_boards(self, circuit: Circuit) -> tuple[Board, ...]:
        """The boards that a distribution circuit feeds."""
        key = (circuit.board, circuit.circuit)
        return tuple(each for each in self.boards if (each.fed_board, each.fed_circuit) == key)

    def path(self, circuit: Circuit) -> tuple[Circuit, ...]:
        """The circuits from the origin to this one, itself last; a loop of references ends where it closes."""
        key = (circuit.board, circuit.circuit)
        return self._path_of[key] if self._circuit_of.get(key) is circuit else self._path(circuit)

    def _path(self, circuit: Circuit) -> tuple[Circuit, ...]:
        """The same, followed anew."""
        chain = [circuit]
        while (board := self.board(chain[0].board)) and (feeder := self.feeder(board)):
            if any(feeder is each for each in chain):
                break
            chain.insert(0, feeder)
        return tuple(chain)

    def earthing_of_board(self, board: Board | None) -> EarthingSystem | None:
        """The type of system earthing at a board: its own, else that of what feeds it, else the supply's."""
        seen: set[str | None] = set()
        while board and board.board not in seen:
            if board.earthing_system:
                return board.earthing_system
            seen.add(board.board)
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
        return self._readings_of.get((circuit.board, circuit.circuit), ())

    def latest(self, circuit: Circuit) -> CircuitReadings | None:
        """The readings that count: those of the last attempt."""
        return (self.attempts(circuit) or (None,))[-1]

    def points_on(self, circuit: Circuit) -> tuple[Point, ...]:
        """The charge points on a circuit (one, unless something is wrong)."""
        return self._points_of.get((circuit.board, circuit.circuit), ())

    def points_behind(self, board: Board) -> tuple[Point, ...]:
        """The charge points on circuits of a board and of every board fed from it."""
        return self._points_behind.get((board.board,), ())

    def model(self, name: str | None) -> Model | None:
        """The charge-point model of that name."""
        return self._model_of.get((name,))

    def person(self, name: str | None) -> Person | None:
        """The person of that short name."""
        return next((each for each in self.people if each.person == name), None)

    def instrument(self, name: str | None) -> Instrument | None:
        """The instrument of that short name."""
        return self._instrument_of.get((name,))

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

    `as_of` is the only clock that rules know; `content` is the file itself, for the copy with corrections.
    """

    model_config = ConfigDict(frozen=True, arbitrary_types_allowed=True)

    source: str
    sha256: str
    as_of: date
    jobs: tuple[Job, ...] = ()
    content: bytes = PydanticField(default=b"", repr=False)
    findings: tuple[Finding, ...] = ()
    balance: tuple[SheetBalance, ...] = ()
    answers: tuple[Answer, ...] = ()
    people: tuple[Person, ...] = ()
