"""What must hold: rules judge a typed job by an edition; nothing here reads, writes or asks for the time."""

from dataclasses import replace
from datetime import date

from pipeline.editions import Edition
from pipeline.facts.findings import Finding, Verdict
from pipeline.facts.job import Job
from pipeline.rules import (
    balance,
    bonding,
    climate,
    commissioning,
    conductors,
    continuity,
    dates,
    demand,
    earthing,
    electrode_conductors,
    electrodes,
    far_end,
    fault_current,
    generation,
    inspection,
    instruments,
    insulation,
    intake,
    isolation,
    limitations,
    load_management,
    loop_impedance,
    loop_parts,
    mounting,
    notifications,
    offered,
    open_pen,
    people,
    pilot,
    polarity,
    protective_conductors,
    rcd,
    records,
    rings,
    routes,
    selectivity,
    sources,
    surges,
    tripping,
    voltage_drop,
    week,
    workmanship,
)
from pipeline.rules.base import RULES, Area, Case, Rule
from pipeline.rules.twins import without_twins

__all__ = ["RULES", "Area", "Case", "Rule", "check_job", "check_week"]

# importing a module enters its rules
MODULES = (
    records,
    people,
    dates,
    notifications,
    intake,
    demand,
    balance,
    load_management,
    sources,
    generation,
    earthing,
    electrode_conductors,
    electrodes,
    bonding,
    conductors,
    routes,
    voltage_drop,
    loop_impedance,
    loop_parts,
    fault_current,
    far_end,
    protective_conductors,
    selectivity,
    isolation,
    surges,
    rcd,
    tripping,
    open_pen,
    instruments,
    continuity,
    rings,
    insulation,
    polarity,
    workmanship,
    mounting,
    climate,
    commissioning,
    offered,
    pilot,
    inspection,
    limitations,
)

# areas in which a failure on a live charge point can hurt somebody
DANGER = frozenset(
    {
        Area.DEMAND,
        Area.SOURCES,
        Area.EARTHING,
        Area.CONDUCTORS,
        Area.LOOP_IMPEDANCE,
        Area.FAULT_CURRENT,
        Area.PROTECTIVE_CONDUCTORS,
        Area.RCD,
        Area.OPEN_PEN,
        Area.CONTINUITY,
        Area.INSULATION,
        Area.POLARITY,
        Area.WORKMANSHIP,
        Area.COMMISSIONING,
        Area.INSPECTION,
    }
)
READ_OFF, SITE_SHEET = frozenset({"Readings", "Supplies"}), "the site sheet"
# areas in which a figure off an instrument is judged
MEASURED = frozenset(
    {Area.LOOP_IMPEDANCE, Area.FAULT_CURRENT, Area.RCD, Area.CONTINUITY, Area.INSULATION, Area.POLARITY}
)
RING = "Ring the electrician today: keep the point isolated and locked off."

_AREAS = list(Area)
_IN_ORDER = sorted(RULES.items(), key=lambda item: _AREAS.index(item[1].area))
RULES.clear()
RULES.update(_IN_ORDER)


def check_job(job: Job, edition: Edition, as_of: date) -> list[Finding]:
    """Every verdict of every rule on a job, passes too, in the order of the work; `as_of` is the rules' only clock."""
    case = Case(without_twins(job), edition, as_of, job)
    live = job.tested or job.row.energised is not None
    return [
        _compared(rule, _warned(rule, finding) if live else finding)
        for rule in RULES.values()
        for finding in rule.apply(case)
    ]


def _compared(rule: Rule, finding: Finding) -> Finding:
    """What is wrong with a reading may be a slip of the keyboard: before anything else it is compared."""
    if finding.verdict not in {Verdict.FAIL, Verdict.QUERY} or rule.area not in MEASURED:
        return finding
    if SITE_SHEET in finding.remedy or all(place.sheet not in READ_OFF for place in finding.places):
        return finding
    return replace(
        finding,
        remedy=f"First compare with {SITE_SHEET}. If it is right, for the electrician: {_lower(finding.remedy)}",
    )


def _lower(text: str) -> str:
    """A sentence that goes on after a colon."""
    return text[:1].lower() + text[1:]


def _warned(rule: Rule, finding: Finding) -> Finding:
    """A failure of safety on a point that is already live says first what to do about it."""
    if finding.verdict is Verdict.FAIL and rule.area in DANGER:
        return replace(finding, message=f"{RING} {finding.message}")
    return finding


check_week = week.check_week
