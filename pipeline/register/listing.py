"""The register as people read it: one line a pack, with what is still due and when it is to be inspected again."""

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime

from pipeline.facts.findings import Verdict
from pipeline.facts.record import Json
from pipeline.register.book import Register
from pipeline.register.entries import DELETED, STANDING, Kind, Standing

# the rules whose notes carry a day by which somebody must be told, and how that day is written
NOTICE_RULES = ("network_operators_are_told_or_asked", "building_control_is_told")
TOLD_BY = "told by "
TOLD_BEFORE = "notified before"
# what is to be done about a notice without a day: an accepted query was whether the operator agreed beforehand
UNDATED = {Verdict.NOTE: "look up", Verdict.QUERY: "ask"}
DAY = "%d %b %Y"
PACK = "handover-pack.pdf"
TITLES = (
    "Pack", "Job", "State", "Since", "Made on", "Client", "Site", "Next inspection", "To be told", "By", "Reason",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """One pack; `due` is the first day by which `whom` must be told; what was deleted is told as that.

    `undated` says what is to be done where whom to tell, or by when, is not known here: mostly to look it up.
    `by` is the revision that superseded it, `file` the name of its file for daily use.
    """

    name: str
    job: str
    state: Kind
    since: date
    made: date | None = None
    client: str = ""
    site: str = ""
    inspection: date | None = None
    whom: str = ""
    due: date | None = None
    undated: str = ""
    reason: str = ""
    by: str = ""
    file: str = ""

    @property
    def to_tell(self) -> bool:
        """Whether somebody is still to be told, or to be looked up."""
        return bool(self.whom)

    @property
    def cells(self) -> tuple[str | date | None, ...]:
        """The values under `TITLES`."""
        return (
            self.name, self.job, str(self.state), self.since, self.made, self.client, self.site, self.inspection,
            self.whom, self.due or self.undated, self.reason,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Choice:
    """Which lines are wanted: of a state, of a job, with something to be told, to be inspected up to a day."""

    state: str = ""
    job: str = ""
    due: bool = False
    inspection: date | None = None

    def takes(self, line: Line) -> bool:
        """Whether a line is wanted."""
        return (
            self.state in {"", line.state}
            and self.job in {"", line.job}
            and (not self.due or line.to_tell)
            and (self.inspection is None or (line.inspection is not None and line.inspection <= self.inspection))
        )


def lines_of(register: Register) -> list[Line]:
    """Every revision of every number, in their order."""
    records = register.records()
    released = register.released()
    return [
        replace(
            _line(each, records.get(each.name)),
            reason=register.reason(each),
            by=str(each.body.get("by", "")),
            file=_file(each, released.get(each.name, {}).get("release", {})),
        )
        for each in register.standings()
    ]


def _file(standing: Standing, released: Json) -> str:
    """The pack as it lies there for daily use: the one signed by key, else the one that was made."""
    if standing.state in {Kind.RESERVED, Kind.VOID}:
        return ""
    return next((name for name in released if name.endswith(PACK)), f"{standing.name}-{PACK}")


def _line(standing: Standing, content: bytes | None) -> Line:
    """One pack; what is due and to be inspected is told only of packs that stand."""
    since = datetime.fromisoformat(standing.at).date()
    if content is None:
        return Line(standing.name, standing.job, standing.state, since, client=DELETED, site=DELETED)
    record: Json = json.loads(content)
    row = record.get("job", {}).get("row", {})
    stands = standing.state in STANDING
    findings = record.get("findings", ()) if stands else ()
    notices, undated = list(notices_of(findings)), list(_undated(findings))
    return Line(
        standing.name,
        standing.job,
        standing.state,
        since,
        made=date.fromisoformat(record["as_of"]) if record.get("as_of") else None,
        client=_shown(row, "client"),
        site=_shown(row, "site"),
        inspection=_day(_shown(row, "next_inspection")) if stands else None,
        whom=", ".join([*(whom for whom, _ in notices), *(f"{whom} ({what})" for whom, what in undated)]),
        due=min((day for _, day in notices), default=None),
        undated=", ".join(dict.fromkeys(what for _, what in undated)),
    )


def notices_of(findings: Iterable[Json]) -> Iterable[tuple[str, date]]:
    """Who must be told, and by when."""
    for each in findings:
        expected = each["expected"]
        if each["rule"] in NOTICE_RULES and expected.startswith(TOLD_BY):
            day = _day(expected.removeprefix(TOLD_BY))
            if day:
                yield each["subject"], day


def _undated(findings: Iterable[Json]) -> Iterable[tuple[str, str]]:
    """Who is to be told or looked up without a day that is known here, and what is to be done about it."""
    for each in findings:
        if each["rule"] in NOTICE_RULES and each["verdict"] in UNDATED and not list(notices_of([each])):
            known = each["expected"].startswith(TOLD_BEFORE)
            yield each["subject"], each["expected"] if known else UNDATED[each["verdict"]]


def _shown(row: Json, name: str) -> str:
    """A value as documents show it."""
    return str(row.get(name, {}).get("shown", ""))


def _day(text: str) -> date | None:
    """A day as documents write it."""
    try:
        return datetime.strptime(text, DAY).date()  # noqa: DTZ007 - a day without a clock
    except ValueError:
        return None
