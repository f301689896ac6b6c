"""What could not be inspected or tested: every LIM of the record with its reason, and what follows for other words."""

from collections.abc import Iterable, Iterator

from pipeline.documents.rows.circuits import circuit_name, latest_readings
from pipeline.documents.texts import BLANK, Json, Texts, joined, plain
from pipeline.facts.choices import Adequacy
from pipeline.facts.field import Field, Mark
from pipeline.facts.row import Row
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.inspections import Inspection
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.supply import Supply

FIELDS = {"limited": {"what": Field("Not inspected or tested"), "of": Field("Where"), "reason": Field("Reason")}}
# the parts of the earthing and bonding that was there before: attributes of the supply and of the inspection
BONDING = frozenset({"bonding_continuity", "bonding", "ze"})


def limited(job: Json) -> tuple[Texts, ...]:
    """Every reading and aspect that was limited, in the order of the work."""
    return tuple(
        {"what": fields[name].title, "of": of, "reason": reason or "no reason given"}
        for fields, name, of, reason in _limited(job)
    )


def unseen(limits: Iterable[Texts], not_assessed: Iterable[Texts]) -> str:
    """What nobody can vouch for, in a few words: what was limited, and the checks that had no figure for it."""
    said = [f"{each['what']} ({each['of']})" for each in limits]
    said += [f"{each['check']} ({each['subject']})" for each in not_assessed]
    return joined(said, "; ")


def adequacy(job: Json) -> str:
    """The state of the earthing and bonding before; never a bare 'adequate' where a part of it was not seen."""
    state = plain(job["row"]["existing_adequate"]["shown"])
    unseen = joined((fields[name].title for fields, name, _, _ in _limited(job) if name in BONDING), "; ")
    if state != Adequacy.ADEQUATE or unseen == BLANK:
        return state
    return f"{state} as far as seen and tested. Not seen or not tested in full: {unseen}"


def _limited(job: Json) -> Iterator[tuple[dict[str, Field], str, str, str]]:
    """The fields, the attribute, the place and the reason of each LIM; of a circuit the last attempt counts."""
    remarks = {each["aspect"]["shown"]: each["remark"]["shown"] for each in job["remarks"]}
    for kind, row, of in _rows(job):
        fields = kind.fields()
        for name, field in fields.items():
            mark, _, reason = str(row[name]["shown"]).partition(":")
            if mark == Mark.LIMITATION and (field.allows or kind is Inspection):
                said = reason or _of_row(row) or (remarks.get(field.title) if kind is Inspection else "")
                yield dict(fields), name, of, (said or "").strip()


def _of_row(row: Json) -> str:
    """The reason that a row gives for all its limitations."""
    return str(row["limitation_reason"]["shown"]) if "limitation_reason" in row else ""


def _rows(job: Json) -> Iterator[tuple[type[Row], Json, str]]:
    """Every row that can have a limitation, with its kind and what people call it."""
    yield Supply, job["supply"], "intake"
    yield Inspection, job["inspection"], "inspection"
    yield from (
        (Electrode, each, joined(["earth electrode", plain(each["place"]["shown"])])) for each in job["electrodes"]
    )
    yield from ((Board, each, f"board {plain(each['board']['shown'])}") for each in job["boards"])
    yield from ((CircuitReadings, each, circuit_name(each)) for each in latest_readings(job))
    yield from ((Point, each, f"charge point {plain(each['point']['shown'])}") for each in job["points"])
