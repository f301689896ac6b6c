"""What an electrician needs before and during a visit: the place, what to load, what to decide, what to enter where."""

from collections import Counter
from collections.abc import Iterator

from pipeline.documents.rows.circuits import circuit_name, earthing_of_board
from pipeline.documents.texts import BLANK, Json, Texts, given, joined, plain, shown
from pipeline.facts.choices import Asbestos, CableType, EarthingSystem, OpenPenMeasure, PhotoShows, YesNo
from pipeline.facts.field import Field
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.models import Fixing, Model
from pipeline.facts.rows.points import Point

# from this year on no asbestos was built in, in Great Britain: its use was forbidden in 1999 (from memory)
WITHOUT_ASBESTOS = 2000
IN_GROUND = "D"  # the letter of the reference methods in the ground
EVERY_VISIT = (PhotoShows.CUT_OUT, PhotoShows.EARTH_TERMINAL, PhotoShows.BOARD)
# tools for every visit: common practice
TOOLS = (
    ("Approved voltage tester and proving unit", "proving dead, and proving the tester before and after"),
    ("Locks, keys and warning labels for lock-off", "isolation"),
    ("Test instruments within calibration, leads, adapter for the charge point", "every reading below"),
    ("Torque screwdriver", "terminals, to the torque below"),
    ("Detector for cables and pipes", "before each hole"),
    ("Lamp, kneeling mat, barriers", "the place of work"),
)

FIELDS: dict[str, dict[str, Field]] = {
    "visit_points": {
        **Point.fields(),
        "heading": Field("Charge point"),
        "designation": Model.fields()["designation"],
        "instructions": Field("Maker's instructions"),
        "height_range": Field("Mounting height", "m"),
        "conductors": Field("Terminals take", "mm²"),
        "stripping": Model.fields()["stripping"],
        "torque_asked": Field("Terminal torque"),
        "entry": Field("Cable entry takes", "mm"),
        "mass": Model.fields()["mass"],
        "charging_cable": Field("Charging cable", "m"),
        "upstream_asked": Field("Maker asks upstream for"),
    },
    "visit_fixings": {
        **Fixing.fields(),
        "screw": Field("Screw", "mm"),
        "plug": Field("Plug", "mm"),
        "drill": Field("Drill", "mm"),
    },
    "loads": {"thing": Field("Load"), "purpose": Field("For"), "loaded": Field("Loaded")},
    "decisions": {
        "decision": Field("Confirm on site"),
        "designed": Field("As designed"),
        "as_found": Field("As found"),
    },
    "wanted_photos": {"shows": Field("Photo of"), "taken": Field("Taken")},
    "asked_rows": {"heading": Field("Row of the workbook"), "place": Field("Row")},
    "asked": {
        "place": Field("Row"),
        "column": Field("Column"),
        "how": Field("Test"),
        "expected": Field("Expect"),
        "limit": Field("Limit"),
        "entered": Field("Reading"),
    },
    **dict.fromkeys(("asbestos_present", "asbestos_unknown", "services_unknown", "notify_first"), JobRow.fields()),
}


def visit_lists(record: Json) -> dict[str, tuple[Texts, ...]]:
    """The lists of a site sheet; what is asked for stands in the record of a job still to visit alone."""
    job = record["job"]
    asked = tuple(_asked(each) for each in record.get("asked", ()))
    return {
        "visit_points": tuple(_point(each, job) for each in job["points"]),
        "visit_fixings": tuple(map(_fixing, map(shown, job["fixings"]))),
        "loads": tuple({"thing": thing, "purpose": why, "loaded": ""} for thing, why in _loads(job)),
        "decisions": tuple(
            {"decision": what, "designed": plain(designed), "as_found": ""} for what, designed in _decisions(job)
        ),
        "wanted_photos": tuple({"shows": str(each), "taken": ""} for each in _photos(job)),
        "asked_rows": tuple(
            {"heading": heading, "place": heading} for heading in dict.fromkeys(each["place"] for each in asked)
        ),
        "asked": asked,
        **_stops(job),
    }


def _asked(cell: Json) -> Texts:
    """One cell to fill in."""
    texts = {name: plain(cell[name]) for name in ("column", "how", "expected", "limit")}
    return texts | {"place": f"Sheet {cell['sheet']}: {cell['row']}", "entered": ""}


def _stops(job: Json) -> dict[str, tuple[Texts, ...]]:
    """The job itself in each list whose warning it deserves; what is not known counts as the worse."""
    row = shown(job["row"])
    old = not given(row["built"]) or int(row["built"]) < WITHOUT_ASBESTOS
    unknown = row["asbestos"] not in (Asbestos.NONE, Asbestos.PRESENT)
    wanted = {
        "asbestos_present": row["asbestos"] == Asbestos.PRESENT,
        "asbestos_unknown": unknown and old,
        "services_unknown": not given(row["buried_services"]),
        "notify_first": job["firm"]["self_certifies"]["shown"] == YesNo.NO,
    }
    return {name: (row,) if wish else () for name, wish in wanted.items()}


def _model(name: str, job: Json) -> dict[str, str]:
    """A model by its short name."""
    found = next((each for each in job["models"] if each["model"]["shown"] == name), None)
    return shown(found) if found else dict.fromkeys(Model.fields(), BLANK)


def _point(row: Json, job: Json) -> Texts:
    """A charge point with what its maker asks for."""
    texts, model = shown(row), _model(row["model"]["shown"], job)
    torque = joined([f"{model['torque']} N·m" if given(model["torque"]) else BLANK, _tolerance(model)], " ")
    return texts | {
        "heading": f"Charge point {joined([texts['point'], texts['place']])}",
        "designation": model["designation"],
        "instructions": model["instructions"],
        "height_range": joined([model["height_lowest"], model["height_highest"]], " to "),
        "conductors": joined([model["terminal_smallest"], model["terminal_largest"]], " to "),
        "stripping": model["stripping"],
        "torque_asked": torque,
        "entry": joined([model["entry_smallest"], model["entry_largest"]], " to "),
        "mass": model["mass"],
        "charging_cable": model["cable_length"],
        "upstream_asked": joined(
            [f"RCD type {model['upstream_rcd']}" if given(model["upstream_rcd"]) else BLANK, model["upstream_device"]]
        ),
    }


def _tolerance(model: Texts) -> str:
    """The tolerance of a torque."""
    return f"± {model['torque_tolerance']} %" if given(model["torque_tolerance"]) else BLANK


def _fixing(texts: dict[str, str]) -> Texts:
    """One set of fixings with its sizes."""
    return texts | {
        "screw": joined([texts["screw_diameter"], texts["screw_length"]], " × "),
        "plug": joined([texts["plug_diameter"], texts["plug_length"]], " × "),
        "drill": joined(
            [texts["hole_diameter"], f"{texts['hole_depth']} deep" if given(texts["hole_depth"]) else BLANK], ", "
        ),
    }


def _loads(job: Json) -> Iterator[tuple[str, str]]:
    """What to load and for what: points, fixings, cable and devices by circuit, then the tools."""
    counts = Counter(each["model"]["shown"] for each in job["points"])
    for name, number in counts.items():
        model = _model(name, job)
        yield f"{number} × {joined([model['maker'], model['designation']])}", "the charge points, with instructions"
        for each in (shown(row) for row in job["fixings"] if row["model"]["shown"] == name):
            yield f"{_times(number, each['count'])} screws and plugs, {each['place']}", "fixing; sizes below"
    for row in (each for each in job["circuits"] if each["new"]["shown"] != "existing"):
        yield from _circuit_loads(shown(row), circuit_name(row))
    for row in map(shown, job["electrodes"]):
        yield plain(f"Earth electrode: {row['electrode']}"), "earthing, with clamp, conductor and label"
    for row in job["points"]:
        if row["open_pen"]["shown"] == OpenPenMeasure.DEVICE:
            yield "Open-PEN device", f"charge point {plain(row['point']['shown'])}"
    yield from TOOLS


def _times(points: int, each: str) -> str:
    """So many fixings for so many points."""
    return str(points * int(each)) if each.isdecimal() else f"{points} × {each}"


def _circuit_loads(row: dict[str, str], name: str) -> Iterator[tuple[str, str]]:
    """Cable and devices of a new circuit."""
    size = joined([f"{row['live_size']} mm²", f"protective {row['cpc_size']} mm²"])
    yield f"{row['cable']}, {row['insulation']}, {size}, {row['length']} m and spare", name
    device = joined([f"{row['device']} type {row['device_type']}", f"{row['device_rating']} A", _poles(row, "device")])
    yield f"{device}, {row['breaking_capacity']} kA", f"{name}, at the board"
    if given(row["rcd_type"]) and row["rcd_standard"] != row["device"]:
        rcd = [f"RCD {row['rcd_standard']} type {row['rcd_type']}", f"{row['rcd_rating']} mA", _poles(row, "rcd")]
        yield joined(rcd), f"{name}, at the board"
    elif given(row["rcd_type"]):
        yield f"… the same device as RCD type {row['rcd_type']}, {row['rcd_rating']} mA", f"{name}, at the board"
    if row["cable"] == CableType.ARMOURED:
        yield "2 glands and earth tags for the armour", name


def _poles(row: Texts, of: str) -> str:
    """Poles of a device, where they are told."""
    return f"{row[f'{of}_poles']} poles" if given(row[f"{of}_poles"]) else BLANK


def _decisions(job: Json) -> Iterator[tuple[str, str]]:
    """What the design rests on and only the site can confirm."""
    supply = shown(job["supply"])
    yield "Earthing system at the intake", supply["earthing_system"]
    if supply["earthing_system"] == EarthingSystem.TN_S:
        yield "TN-S confirmed by the operator", supply["tn_s_confirmed"]
    cutout = joined([supply["cutout_standard"], supply["cutout_type"], f"{supply['cutout_rating']} A"], " ")
    yield "Cut-out: standard, type, rating", joined([cutout, supply["cutout_status"]])
    yield "Supply looped from or to a neighbour", supply["looped"]
    yield "Phases at the intake", supply["phases"]
    sources = [joined([each["source"], each["isolator_place"]]) for each in map(shown, job["sources"])]
    yield "Other sources: solar, battery, generator", joined(sources, "; ") if sources else "none declared"
    for row in job["boards"]:
        board = shown(row)
        yield f"Board {board['board']}: earthing system", earthing_of_board(row["board"]["shown"], job)
        kind = f"type {board['rcd_type']}, {board['rcd_rating']} mA" if given(board["rcd_type"]) else "none"
        yield f"Board {board['board']}: RCD before several circuits, its type", kind
        yield f"Board {board['board']}: main switch", joined([f"{board['main_switch_rating']} A", _main_poles(board)])
    for point in map(shown, job["points"]):
        yield f"Charge point {point['point']}: measure against an open PEN", point["open_pen"]


def _main_poles(board: Texts) -> str:
    """Poles of a main switch, where they are told."""
    return f"{board['main_switch_poles']} poles" if given(board["main_switch_poles"]) else BLANK


def _photos(job: Json) -> Iterator[PhotoShows]:
    """What the photos of this job show."""
    yield from EVERY_VISIT
    if any(each["method"]["shown"].startswith(IN_GROUND) for each in job["circuits"]):
        yield PhotoShows.TRENCH
    if job["electrodes"]:
        yield PhotoShows.ELECTRODE
    yield from (PhotoShows.DATA_PLATE, PhotoShows.FINISHED)
