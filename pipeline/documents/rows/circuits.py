"""Boards, circuits and readings, each with what belongs to it from other sheets."""

from pipeline.documents.rows.findings import permitted
from pipeline.documents.texts import BLANK, Json, Texts, given, joined, plain, shown
from pipeline.facts.field import Field
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.readings import CircuitReadings

FIELDS: dict[str, dict[str, Field]] = {
    "boards": {
        **Board.fields(),
        "heading": Field("Board"),
        "fed_from": Field("Fed from"),
        "earthing": Field("Earthing system"),
        "upstream_rcd": Field("RCD before several circuits"),
    },
    "circuits": {
        **Circuit.fields(),
        "earthing": Field("Earthing system"),
        "serves": Field("Serves"),
        "name": Field("Circuit"),
        "heading": Field("Circuit"),
    },
    "results": {
        **CircuitReadings.fields(),
        "description": Field("Description"),
        "zs_permitted": Field("Zs permitted", "Ω"),
        "name": Field("Circuit"),
    },
}
RING = ("ring_r1", "ring_rn", "ring_r2")
FIELDS["earlier"] = FIELDS["results"]
FIELDS["new_circuits"] = FIELDS["circuits"]


def circuit_lists(record: Json) -> dict[str, tuple[Texts, ...]]:
    """Boards, circuits, the readings that count, and the attempts before them."""
    job = record["job"]
    circuits = tuple(_circuit(each, job) for each in job["circuits"])
    latest, earlier = _attempts(job)
    return {
        "boards": tuple(_board(each, job) for each in job["boards"]),
        "circuits": circuits,
        "new_circuits": tuple(each for each in circuits if each["new"] != "existing"),
        "results": tuple(_result(each, record) for each in latest),
        "earlier": tuple(_result(each, record) for each in earlier),
        "energies": tuple(each for each in circuits if given(each["let_through"])),
        "rings": tuple(_result(each, record) for each in job["readings"] if any(each[name]["shown"] for name in RING)),
    }


def circuit_name(row: Json) -> str:
    """A circuit as people say it: its board and its number."""
    board, circuit = plain(row["board"]["shown"]), plain(row["circuit"]["shown"])
    return joined([f"board {board}" if given(board) else BLANK, f"circuit {circuit}" if given(circuit) else BLANK])


def board_words(name: str, job: Json) -> str:
    """A board for people who do not know its designation: what it is, where, and its designation."""
    row = next((each for each in job["boards"] if each["board"]["shown"] == name), None)
    words = joined([plain(row["description"]["shown"]), plain(row["place"]["shown"])]) if row else BLANK
    return joined([words, f"(board {name})"], " ") if name else BLANK


def earthing_of_board(name: str, job: Json) -> str:
    """The type of system earthing at a board: its own, else that of what feeds it, else the supply's."""
    seen: set[str] = set()
    while name and name not in seen:
        seen.add(name)
        board = next((each for each in job["boards"] if each["board"]["shown"] == name), None)
        if board is None:
            break
        feeder = next((each for each in job["circuits"] if _feeds(each, board)), None)
        for row in (board, feeder):
            if row and row["earthing_system"]["shown"]:
                return plain(row["earthing_system"]["shown"])
        name = board["fed_board"]["shown"]
    return plain(job["supply"]["earthing_system"]["shown"])


def _feeds(circuit: Json, board: Json) -> bool:
    """Whether a circuit is the one that feeds a board."""
    return (circuit["board"]["shown"], circuit["circuit"]["shown"]) == (
        board["fed_board"]["shown"],
        board["fed_circuit"]["shown"],
    )


def _board(row: Json, job: Json) -> Texts:
    """A board with where it is fed from and its type of system earthing."""
    texts = shown(row)
    fed = joined([texts["fed_board"], texts["fed_circuit"]], ", circuit ")
    current = f"{texts['rcd_rating']} mA" if given(texts["rcd_rating"]) else BLANK
    kind = f"type {texts['rcd_type']}" if given(texts["rcd_type"]) else BLANK
    delay = f"delay {texts['rcd_delay']}" if given(texts["rcd_delay"]) else BLANK
    return texts | {
        "heading": f"Board {joined([texts['board'], texts['description'], texts['place']])}",
        "fed_from": fed if given(fed) else "intake",
        "earthing": earthing_of_board(row["board"]["shown"], job),
        "upstream_rcd": joined([kind, current, delay]),
    }


def _circuit(row: Json, job: Json) -> Texts:
    """A circuit with what it serves and its type of system earthing."""
    texts = shown(row)
    points = [f"charge point {plain(each['point']['shown'])}" for each in job["points"] if _same(each, row)]
    boards = [f"board {plain(each['board']['shown'])}" for each in job["boards"] if _feeds(row, each)]
    own = texts["earthing_system"]
    return texts | {
        "earthing": own if given(own) else earthing_of_board(row["board"]["shown"], job),
        "serves": joined(points + boards),
        "name": circuit_name(row),
        "heading": joined([circuit_name(row), texts["description"]], ": ").replace("board", "Board", 1),
    }


def _same(one: Json, other: Json) -> bool:
    """Whether two rows name the same circuit."""
    return all(one[name]["shown"] == other[name]["shown"] for name in ("board", "circuit"))


def latest_readings(job: Json) -> list[Json]:
    """The readings that count: of each circuit the last attempt."""
    return _attempts(job)[0]


def _attempts(job: Json) -> tuple[list[Json], list[Json]]:
    """The readings of the last attempt at each circuit, blanks where there is none, and the attempts before it."""
    latest: list[Json] = []
    earlier: list[Json] = []
    ordered = sorted(job["readings"], key=lambda row: row["attempt"]["shown"] or "1")
    for circuit in job["circuits"]:
        attempts = [each for each in ordered if _same(each, circuit)]
        latest.append(attempts[-1] if attempts else _no_reading(circuit))
        earlier += attempts[:-1]
    return latest, earlier


def _no_reading(circuit: Json) -> Json:
    """A row without readings, so that no circuit is left out of the results."""
    blank: Json = {name: {"shown": ""} for name in CircuitReadings.fields()}
    return blank | {"board": circuit["board"], "circuit": circuit["circuit"]}


def _result(row: Json, record: Json) -> Texts:
    """Readings with the circuit's description and the loop impedance that its protection permits."""
    circuit = next(each for each in record["job"]["circuits"] if _same(each, row))
    return shown(row) | {
        "description": plain(circuit["description"]["shown"]),
        "zs_permitted": permitted(record, row),
        "name": circuit_name(row),
    }
