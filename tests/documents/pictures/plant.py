"""Records of invented installations, made by hand cell by cell, and a reader of the pictures that were drawn of them.

The reader takes texts with their places out of an Enhanced Metafile by the published layout of its records, not by
the module that writes them.
"""

import struct
from dataclasses import dataclass
from typing import Any

from pipeline.documents.pictures import Picture
from pipeline.documents.pictures.lettering import Lettering, width
from pipeline.facts.row import Row
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.models import Model
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.sources import OtherSource
from pipeline.facts.rows.supply import Supply

Json = dict[str, Any]
Line = list[tuple[float, float]]
EMPTY_LISTS = ("models", "sources", "electrodes", "schemes", "boards", "circuits", "readings", "points")


def row(kind: type[Row], line: int = 3, **shown: object) -> Json:
    """A row of the record: the fields' own examples, except where another text is given."""
    unknown = shown.keys() - kind.fields().keys()
    assert not unknown, unknown
    cells = {}
    for place, (name, field) in enumerate(kind.fields().items()):
        text = str(shown.get(name, field.example))
        cells[name] = {"shown": text, "cell": f"{kind.__name__} {place}.{line}"}
        if field.unit and text.replace(".", "").isdigit():
            cells[name][field.unit] = float(text)
    return cells


def board(name: str, **shown: object) -> Json:
    return row(Board, board=name, **shown)


def circuit(of: str, number: str, **shown: object) -> Json:
    return row(Circuit, board=of, circuit=number, **shown)


def point(name: str, of: str, number: str, **shown: object) -> Json:
    return row(Point, point=name, board=of, circuit=number, **shown)


def supply(**shown: object) -> Json:
    return row(Supply, **shown)


def electrode(of: str = "", number: str = "", **shown: object) -> Json:
    return row(Electrode, board=of, circuit=number, **shown)


def source(of: str, kind: str, **shown: object) -> Json:
    return row(OtherSource, board=of, source=kind, **shown)


def scheme(name: str, of: str = "", **shown: object) -> Json:
    return row(LoadManagement, scheme=name, board=of, **shown)


def reading(of: str, number: str, line: int = 3, **shown: object) -> Json:
    return row(CircuitReadings, line, board=of, circuit=number, **shown)


def record(findings: tuple[Json, ...] = (), **rows: Any) -> Json:
    """A record with these rows; without any, one board, one circuit, one point."""
    job: Json = {"row": row(JobRow), "supply": supply(), **{name: [] for name in EMPTY_LISTS}}
    job["models"] = [row(Model)]
    if not rows:
        rows = {
            "boards": [board("MAIN")],
            "circuits": [circuit("MAIN", "9")],
            "points": [point("CP1", "MAIN", "9")],
        }
    return {"record": 1, "job": job | rows, "findings": list(findings), "edition": {}, "as_of": "2026-11-12"}


def feeder(of: str, number: str, **shown: object) -> Json:
    """A distribution circuit."""
    return circuit(of, number, feeds="distribution circuit", description=f"Feeder {number}", **shown)


def garage() -> Json:
    """A house and its garage: two boards, three points, a TT island, solar and battery, load management."""
    return record(
        boards=[
            board("MAIN", rcd_type="A", rcd_rating=100, rcd_delay="S"),
            board("GARAGE", fed_board="MAIN", fed_circuit="4", place="Garage wall", earthing_system="TT"),
        ],
        circuits=[
            feeder("MAIN", "4", rcd_standard="", rcd_type="", rcd_rating="", cable="armoured", length=35),
            circuit("MAIN", "9", new="existing"),
            circuit("GARAGE", "1", length=6),
            circuit("GARAGE", "2", device="BS 88-2", device_type="gG", rcd_type="B", rcd_standard="BS EN 62423"),
        ],
        points=[
            point("CP1", "GARAGE", "1", open_pen="TT island"),
            point("CP2", "GARAGE", "2"),
            point("CP3", "MAIN", "9", open_pen="device inside the charge point", scheme="LM1"),
        ],
        sources=[source("MAIN", "solar"), source("GARAGE", "battery")],
        electrodes=[electrode("GARAGE"), electrode("GARAGE", "1", resistance=120, place="Behind the post")],
        schemes=[scheme("LM1"), scheme("LM2", "GARAGE")],
    )


def car_park(boards: int = 4, circuits: int = 15) -> Json:
    """A car park: a main board, further boards with a circuit and a point for each bay."""
    ways = [
        (f"DB{b}", f"{c}L{c % 3 + 1}", f"CP{b}{c:02}") for b in range(1, boards + 1) for c in range(1, circuits + 1)
    ]
    return record(
        boards=[
            board("MSB", phases=3),
            *(board(f"DB{b}", fed_board="MSB", fed_circuit=str(b), place=f"Level {b}") for b in range(1, boards + 1)),
        ],
        circuits=[
            *(feeder("MSB", str(b)) for b in range(1, boards + 1)),
            *(circuit(name, number, description=f"Bay of {label}") for name, number, label in ways),
        ],
        points=[point(label, name, number, place=f"Bay {label[2:]}") for name, number, label in ways],
    )


@dataclass(frozen=True)
class Letters:
    """A text of a picture: left end of its base line in millimetres, size in points."""

    text: str
    x: float
    y: float
    size_pt: float
    bold: bool

    @property
    def right(self) -> float:
        """Where it ends."""
        return self.x + width(self.text, Lettering(self.size_pt, bold=self.bold))


def records_of(data: bytes) -> list[tuple[int, bytes]]:
    """Type and body of every record of a metafile."""
    found, place = [], 0
    while place < len(data):
        kind, size = struct.unpack_from("<II", data, place)
        found.append((kind, data[place + 8 : place + size]))
        place += size
    return found


def letters_of(picture: Picture) -> list[Letters]:
    """Every text of a picture in the order of drawing."""
    fonts: dict[int, tuple[float, bool]] = {}
    chosen = (0.0, False)
    found = []
    for kind, body in records_of(picture.data):
        if kind == 82:  # EMR_EXTCREATEFONTINDIRECTW
            handle, height, _, _, _, weight = struct.unpack_from("<I5i", body)
            fonts[handle] = (-height / 100 * 72 / 25.4, weight > 400)
        elif kind == 37:  # EMR_SELECTOBJECT
            chosen = fonts.get(struct.unpack_from("<I", body)[0], chosen)
        elif kind == 84:  # EMR_EXTTEXTOUTW
            x, y, count, start = struct.unpack_from("<2i2I", body, 28)
            text = body[start - 8 : start - 8 + 2 * count].decode("utf-16-le")
            found.append(Letters(text, x / 100, y / 100, *chosen))
    return found


def lines_of(picture: Picture) -> list[Line]:
    """Every open line of a picture, in millimetres."""
    found = []
    for kind, body in records_of(picture.data):
        if kind == 87:  # EMR_POLYLINE16
            flat = struct.unpack_from(f"<{2 * struct.unpack_from('<I', body, 16)[0]}h", body, 20)
            found.append([(x / 100, y / 100) for x, y in zip(flat[::2], flat[1::2], strict=True)])
    return found


def texts_of(pictures: list[Picture]) -> str:
    """All texts of pictures as one."""
    return " ".join(each.text for picture in pictures for each in letters_of(picture))
