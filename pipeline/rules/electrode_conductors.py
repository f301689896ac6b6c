"""The conductor between an earth electrode and what it earths: its size by how it lies."""

from collections.abc import Iterator
from dataclasses import replace

from pipeline.editions import Edition, Missing, Value
from pipeline.facts.choices import EarthRun
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Verdict
from pipeline.facts.row import Row
from pipeline.facts.rows.electrodes import Electrode
from pipeline.rules.base import Area, Case, Outcome, reaches, rule, surplus
from pipeline.rules.outcomes import cells, lacking, name_of, passed, shown, tabled, typed, untabled

REFERENCE = "IEC 60364-5-54, 542.3 and Table 54.1"


@rule(title="An electrode's conductor has its size", area=Area.EARTHING, reference=REFERENCE, needed=Needed.TEST)
def conductors_of_electrodes_have_their_size(case: Case) -> Iterator[Outcome]:
    """Copper, by the minima for what lies in the ground or is run outside a cable."""
    for electrode in case.job.electrodes:
        row, attribute = _sized_by(case, electrode)
        subject = name_of(electrode)
        if gap := lacking(subject, electrode, "conductor_run") or lacking(subject, row, attribute):
            yield gap
            continue
        needed = _smallest(case.edition, electrode.conductor_run)
        if isinstance(needed, Missing):
            yield untabled(subject, needed, electrode.where("conductor_run"))
        else:
            yield _judged(electrode, row, attribute, needed)


def _sized_by(case: Case, electrode: Electrode) -> tuple[Row, str]:
    """Where the size stands: with the electrode, or, for the whole installation, with the supply."""
    if electrode.conductor_size is None and electrode.board is None:
        return case.job.supply, "earthing_conductor"
    return electrode, "conductor_size"


def _smallest(edition: Edition, run: EarthRun | None) -> Value | Missing:
    """The smallest size for how the conductor lies."""
    if run in (EarthRun.SHEATHED, EarthRun.BARE):
        return edition.earthing.buried_size(sheathed=run is EarthRun.SHEATHED)
    return edition.earthing.separate_size(protected=run is EarthRun.PROTECTED)


def _judged(electrode: Electrode, row: Row, attribute: str, needed: Value) -> Outcome:
    """The verdict on one conductor; a size below a figure that nobody confirmed is asked about."""
    size = getattr(row, attribute)
    inputs = (typed("S_E", row, attribute), typed("run", electrode, "conductor_run"), tabled("S_E,min", needed))
    calculation = Calculation(
        "S_E ≥ S_E,min",
        f"{shown(row, attribute)} ≥ {needed.shown}",
        shown(row, attribute),
        f"at least {needed.shown} ({needed.reference})",
        None,
        inputs,
    )
    worked = replace(calculation, margin=surplus(size, needed.quantity))
    if reaches(size, needed.quantity):
        # sizes come in steps: to be exactly as large as asked is no close call
        good = passed(
            name_of(electrode),
            "The electrode's conductor has its size.",
            cells(*inputs),
            calculation,
            needed.confidence,
        )
        return replace(good, calculation=worked)
    return Outcome(
        Verdict.QUERY,
        name_of(electrode),
        "The electrode's conductor is thinner than the table asks for how it lies.",
        cells(*inputs),
        found=f"{shown(row, attribute)}, {shown(electrode, 'conductor_run')}",
        expected=f"at least {needed.shown}",
        remedy="Replace the conductor by a larger one, or protect it.",
        calculation=worked,
    )
