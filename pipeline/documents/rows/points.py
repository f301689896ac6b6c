"""Charge points with their models, inspection aspects, defects and photos."""

from pipeline.documents.rows.circuits import board_words, circuit_name
from pipeline.documents.rows.origin import UNPLUG, sources_named
from pipeline.documents.rows.users import is_lowered
from pipeline.documents.texts import BLANK, Json, Texts, given, joined, plain, shown
from pipeline.facts.choices import Connection, DataLink, OpenPenMeasure, RuleFamily, SourceKind, YesNo
from pipeline.facts.field import Field
from pipeline.facts.rows.inspections import Inspection, Photo
from pipeline.facts.rows.models import Indicator, Model
from pipeline.facts.rows.points import Point

_POINT = {
    **Point.fields(),
    "heading": Field("Charge point"),
    "circuit_name": Field("Circuit"),
    "limit_in_force": Field("Charges with at most", "A"),
    "way": Field("Way"),
    "board_at": Field("Board"),
    "others": Field("Other sources"),
    "phases": Model.fields()["phases"],
    "rated_power": Model.fields()["rated_power"],
    "made_by": Field("Maker and model"),
    "instructions": Field("Maker's instructions"),
    "connection": Field("Connection"),
    "rated_current": Model.fields()["rated_current"],
    "torque_asked": Field("Torque asked for by the maker", "N·m"),
    "torque_tolerance": Model.fields()["torque_tolerance"],
    "fixings_asked": Field("Fixings that the maker gives"),
    "dc_detection": Model.fields()["dc_detection"],
    "ip": Model.fields()["ip"],
    "shown_to": Field("Shown to"),
}
VEHICLE = "the vehicle"
# how the clauses of the national standard begin in the notes of aspects
NATIONAL = "BS "
# parts of the user instructions that depend on what was installed: list → attribute of the point and its values
_OPTIONS: dict[str, tuple[str, tuple[str, ...]]] = {
    "points_with_link": ("data_link", tuple(each for each in DataLink if each is not DataLink.NONE)),
    "points_with_hours": ("default_hours", (YesNo.YES,)),
    "points_with_pen_device": ("open_pen", (OpenPenMeasure.INSIDE, OpenPenMeasure.DEVICE)),
}
# measures that show that a PEN conductor supplies the site
_OVER_PEN = tuple(each for each in OpenPenMeasure if each is not OpenPenMeasure.NOT_NEEDED)
FIELDS: dict[str, dict[str, Field]] = {
    **dict.fromkeys(("points", "points_managed", "points_temporary", "points_over_pen", *_OPTIONS), _POINT),
    **dict.fromkeys(("points_tethered", "points_socket"), _POINT),
    "models": {**Model.fields(), "heading": Field("Charge point model")},
    "indicators": Indicator.fields(),
    "aspects": {
        "part": Field("Where"),
        "aspect": Field("Aspect"),
        "clause": Field("Clause"),
        "outcome": Field("Outcome"),
        "remark": Field("Remark"),
    },
    "photos": {**Photo.fields(), "sum": Field("Fingerprint of the file (SHA-256)")},
    "defects": {"defect": Field("Defect"), "danger": Field("Danger"), "told": Field("Client told of the danger on")},
}


def point_lists(job: Json) -> dict[str, tuple[Texts, ...]]:
    """Points and models, and the points that have this or that option."""
    points = tuple(_point(each, job) for each in job["points"])
    options = {
        name: tuple(each for each in points if each[attribute] in values)
        for name, (attribute, values) in _OPTIONS.items()
    }
    return options | {
        "points": points,
        "points_over_pen": tuple(each for each in points if each["open_pen"] in _OVER_PEN),
        "points_managed": tuple(each for each in points if given(each["scheme"])),
        "points_temporary": tuple(each for each in points if is_lowered(each)),
        "points_tethered": tuple(each for each in points if each["connection"] == Connection.TETHERED),
        "points_socket": tuple(each for each in points if each["connection"] == Connection.SOCKET),
        "models": tuple(_model(shown(each)) for each in job["models"]),
        "indicators": tuple(map(shown, job["indicators"])),
        "aspects": tuple(_aspect(name, field, job) for name, field in Inspection.fields().items() if name != "job"),
        "photos": tuple(
            shown(each) | {"sum": plain(job["photo_sums"].get(each["file"]["shown"], ""))} for each in job["photos"]
        ),
        "defects": _defects(shown(job["row"])),
        "dangers": tuple(each for each in _defects(shown(job["row"])) if each["danger"] == YesNo.YES),
    }


def _point(row: Json, job: Json) -> Texts:
    """A charge point with what its model says and what its circuit is."""
    texts = shown(row)
    found = [each for each in job["models"] if each["model"]["shown"] == row["model"]["shown"]]
    model = shown(found[0]) if found else dict.fromkeys(Model.fields(), BLANK)
    return texts | {
        "heading": f"Charge point {joined([texts['point'], texts['place']])}",
        "circuit_name": circuit_name(row),
        "way": texts["circuit"],
        "board_at": plain(board_words(row["board"]["shown"], job)),
        "limit_in_force": _in_force(texts),
        "others": joined([f"{VEHICLE} ({UNPLUG})", *_further(job)], "; "),
        "phases": model["phases"],
        "rated_power": model["rated_power"],
        "made_by": joined([model["maker"], model["designation"]]),
        "instructions": model["instructions"],
        "connection": model["connection"],
        "rated_current": model["rated_current"],
        "torque_asked": model["torque"],
        "torque_tolerance": model["torque_tolerance"],
        "fixings_asked": joined(
            (_fixing(shown(each)) for each in job["fixings"] if each["model"]["shown"] == row["model"]["shown"]), "; "
        ),
        "dc_detection": model["dc_detection"],
        "ip": model["ip"],
        "shown_to": plain(job["row"]["client_shown"]["shown"]),
    }


def _further(job: Json) -> list[str]:
    """The sources besides the public supply and a vehicle, each with where it is isolated."""
    return [each for each in sources_named(job).split("; ")[1:] if not each.startswith(SourceKind.VEHICLE)]


def _in_force(texts: Texts) -> str:
    """The lowest limit of a point: the one that is set, or one that holds for now."""
    return texts["temporary_limit" if is_lowered(texts) else "current_limit"]


def _fixing(texts: Texts) -> str:
    """One set of fixings in words, its sizes in millimetres."""
    sizes = (
        ("screw", ("screw_diameter", "screw_length")),
        ("plug", ("plug_diameter", "plug_length")),
        ("hole", ("hole_diameter", "hole_depth")),
        ("screw stays proud", ("proud",)),
    )
    said = [
        f"{word} {' × '.join(texts[name] for name in names if given(texts[name]))} mm"
        for word, names in sizes
        if any(given(texts[name]) for name in names)
    ]
    return f"{texts['place']}: {joined([texts['count'] + ' pieces', *said])}"


def _model(texts: dict[str, str]) -> Texts:
    """A model under its maker's name for it."""
    return texts | {"heading": joined([texts["maker"], texts["designation"]])}


def _aspect(name: str, field: Field, job: Json) -> Texts:
    """One aspect in the order of the walk, with its remark."""
    part, _, clause = field.note.partition(" · ")
    remarks = [each["remark"]["shown"] for each in job["remarks"] if each["aspect"]["shown"] == field.title]
    return {
        "part": part,
        "aspect": field.title,
        "clause": _clauses(clause, job),
        "outcome": plain(job["inspection"][name]["shown"]),
        "remark": joined(map(plain, remarks), "; "),
    }


def _clauses(clause: str, job: Json) -> str:
    """The clauses of an aspect, those of the national standard only where the job is judged by it."""
    british = job["row"]["family"]["shown"] == RuleFamily.UK
    parts = clause.split("; ")
    return "; ".join(each for each in parts if british or not each.startswith(NATIONAL))


def _defects(job: Texts) -> tuple[Texts, ...]:
    """The other defects seen as one row; none where neither a defect nor a danger is on record."""
    if not given(job["defects"]) and job["defects_danger"] != YesNo.YES:
        return ()
    return ({"defect": job["defects"], "danger": job["defects_danger"], "told": job["defects_told"]},)
