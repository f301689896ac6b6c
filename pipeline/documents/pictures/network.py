"""The boards of a record and what leaves them, in the order in which a finger follows the wires.

Nothing of the record is dropped: a circuit of a board that is not described, a point on a circuit that is not there,
a board fed from nowhere each get a place of their own.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from pipeline.documents.pictures.lettering import HARD_SPACE
from pipeline.documents.texts import Json, given, plain
from pipeline.facts.choices import SourceKind, YesNo

POINTS_A_WAY = 4
_NO_UNITS = frozenset({"shown", "typed", "cell"})


def shown(row: Json, name: str) -> str:
    """A cell as documents print it; empty where nothing was recorded."""
    text = plain(row.get(name, {}).get("shown", ""))
    return text if given(text) else ""


def told(row: Json, name: str) -> str:
    """A cell with its unit, where it holds a figure; both stay on one line."""
    text = shown(row, name)
    unit = next((key for key in row.get(name, {}) if key not in _NO_UNITS), "")
    return f"{text}{HARD_SPACE}{unit}" if text and unit else text


@dataclass(slots=True)
class Way:
    """One line away from a busbar: a circuit, another source, or a point whose circuit is not on the record.

    `remark` says why a way has no circuit; `vehicles` are sources that are connected by its points alone.
    """

    number: str = ""
    circuit: Json | None = None
    source: Json | None = None
    remark: str = ""
    points: list[Json] = field(default_factory=list)
    vehicles: list[Json] = field(default_factory=list)
    electrodes: list[Json] = field(default_factory=list)
    feeds: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Block:
    """A board with its ways; `row` is empty for a board that is only named by others.

    A second row with the same designation is a block without ways.
    """

    name: str
    row: Json
    ways: list[Way]
    fed_by: tuple[str, str] = ("", "")
    electrodes: list[Json] = field(default_factory=list)
    schemes: list[Json] = field(default_factory=list)

    @property
    def at_origin(self) -> bool:
        """Whether the intake feeds it."""
        return bool(self.row) and not self.fed_by[0]


def blocks_of(record: Json) -> list[Block]:
    """All boards of a record, each behind the one that feeds it."""
    job = record["job"]
    found = []
    for name in _order(job):
        first, *more = _of_board(job["boards"], name) or [{}]
        found += [
            _block(job, name, first),
            *(Block(name, row, [], _feeder(row)) for row in more),
        ]
    return found


def _order(job: Json) -> Iterator[str]:
    """The names of the boards: from the origin down, then those that nothing leads to, then those only named."""
    fed_from = {shown(row, "board"): shown(row, "fed_board") for row in reversed(job["boards"])}
    fed_from = dict(reversed(fed_from.items()))
    waiting = [name for name, feeder in fed_from.items() if not feeder]
    seen: set[str] = set()
    for start in (*waiting, *fed_from, *_named(job)):
        stack = [start]
        while stack:
            name = stack.pop()
            if name not in seen:
                seen.add(name)
                yield name
                stack += reversed([each for each, feeder in fed_from.items() if feeder == name])


def _named(job: Json) -> Iterator[str]:
    """The boards that circuits, points, sources and electrodes name, described or not."""
    for rows in (job["circuits"], job["points"], job["sources"]):
        yield from (shown(row, "board") for row in rows)
    yield from (name for row in job["electrodes"] + job["schemes"] if (name := shown(row, "board")))


def _block(job: Json, name: str, row: Json) -> Block:
    """One board with everything that leaves it or belongs to it."""
    return Block(
        name=name,
        row=row,
        ways=list(_ways(job, name)),
        fed_by=_feeder(row),
        electrodes=[each for each in _of_board(job["electrodes"], name) if name and _end(each) not in _ends(job)],
        schemes=[each for each in _of_board(job["schemes"], name) if name],
    )


def _ways(job: Json, board: str) -> Iterator[Way]:
    """The circuits of a board with what they feed, then points without a circuit, then other sources.

    A vehicle feeds back through a charge point: it is no feeder of its own where the board has such a point.
    """
    sources = _of_board(job["sources"], board)
    vehicles = [each for each in sources if shown(each, "source") == SourceKind.VEHICLE]
    hosts = _hosts(job, board) if vehicles else []
    for way in _feeders(job, board):
        if any(each in hosts for each in way.points):
            way.vehicles = vehicles
        yield way
    for source in sources:
        if not (hosts and source in vehicles):
            yield Way(source=source)


def _hosts(job: Json, board: str) -> list[Json]:
    """The points of a board through which a vehicle can feed back by their models; all of them where no model says."""
    points = _of_board(job["points"], board)
    giving = {shown(each, "model") for each in job["models"] if shown(each, "returns_power") == YesNo.YES}
    return [each for each in points if shown(each, "model") in giving] or points


def _feeders(job: Json, board: str) -> Iterator[Way]:
    """The circuits of a board with what they feed, then points without a circuit."""
    numbers: set[str] = set()
    for circuit in _of_board(job["circuits"], board):
        number = shown(circuit, "circuit")
        if number in numbers:
            yield Way(number, circuit)
            continue
        numbers.add(number)
        yield from _circuit(job, circuit, (board, number))
    for point in _of_board(job["points"], board):
        number = shown(point, "circuit")
        if number not in numbers:
            yield Way(number, points=[point], remark="its circuit is not on the record")


def _circuit(job: Json, circuit: Json, here: tuple[str, str]) -> Iterator[Way]:
    """A circuit; where more points are on it than there should be, further ways for them."""
    points = [each for each in job["points"] if _end(each) == here]
    yield Way(
        here[1],
        circuit,
        points=points[:POINTS_A_WAY],
        electrodes=[each for each in job["electrodes"] if all(here) and _end(each) == here],
        feeds=[shown(each, "board") for each in job["boards"] if all(here) and _feeder(each) == here],
    )
    for start in range(POINTS_A_WAY, len(points), POINTS_A_WAY):
        yield Way(here[1], points=points[start : start + POINTS_A_WAY], remark="further points on it")


def _of_board(rows: list[Json], board: str) -> list[Json]:
    """The rows that name a board."""
    return [each for each in rows if shown(each, "board") == board]


def _ends(job: Json) -> set[tuple[str, str]]:
    """Board and number of every circuit."""
    return {_end(each) for each in job["circuits"] if shown(each, "circuit")}


def _end(row: Json) -> tuple[str, str]:
    """Board and circuit that a row names."""
    return shown(row, "board"), shown(row, "circuit")


def _feeder(board: Json) -> tuple[str, str]:
    """Board and circuit that feed a board; nothing for the origin."""
    return shown(board, "fed_board"), shown(board, "fed_circuit")
