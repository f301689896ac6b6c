"""How outcomes are worded: what a row is called, how a figure is shown, and the verdicts that many rules share."""

from collections.abc import Callable, Iterable
from typing import Any

from pipeline.facts.field import Mark, Place
from pipeline.facts.findings import Calculation, Confidence, Input, Verdict
from pipeline.facts.reading import Reading, show
from pipeline.facts.row import Row
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.firm import Instrument, Person
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.sources import OtherSource
from pipeline.facts.rows.supply import Supply
from pipeline.rules.base import Outcome, margin, reaches
from pipeline.standards.table import Missing, Value, weakest

# what rows are called, by their kind
NAMES: dict[type[Row], Callable[[Any], str]] = {
    Circuit: lambda row: f"Board {row.board or '?'}, circuit {row.circuit or '?'}",
    CircuitReadings: lambda row: f"Board {row.board or '?'}, circuit {row.circuit or '?'}",
    Board: lambda row: f"Board {row.board or '?'}",
    Point: lambda row: f"Charge point {row.point or '?'}",
    LoadManagement: lambda row: f"Load management {row.scheme or '?'}",
    OtherSource: lambda row: f"Source {row.source or '?'}",
    Person: lambda row: f"Person {row.person or '?'}",
    Instrument: lambda row: f"Instrument {row.instrument or '?'}",
    Electrode: lambda row: f"Earth electrode of {f'board {row.board}' if row.board else 'the installation'}",
    Supply: lambda _: "Supply",
}
SURE = frozenset({Confidence.CONFIRMED, Confidence.TYPED})
# the end of a sentence on a check that holds against a figure which nobody confirmed; which one, its inputs tell
SHORT = {Confidence.CARRIED_OVER: "Figure carried over.", Confidence.MEMORY: "Figure from memory."}
# below this distance to a limit from memory somebody must look the limit up
CLOSE_PERCENT = 10.0


def name_of(row: Row) -> str:
    """What a row is called in findings, e.g. `Board MAIN, circuit 9`."""
    name = NAMES.get(type(row))
    return name(row) if name else "Job"


def shown(row: Row, attribute: str) -> str:
    """A cell's value with its unit; a reason instead of a figure has none."""
    field, value = row.fields()[attribute], getattr(row, attribute)
    text = show(value, field)
    if not field.unit or value is None or (isinstance(value, Reading) and not value.measured):
        return text
    return f"{text} {field.unit}"


def typed(symbol: str, row: Row, attribute: str) -> Input:
    """An input to a calculation that was typed into a cell."""
    return Input(symbol, shown(row, attribute), row.at.get(attribute))


def tabled(symbol: str, value: Value) -> Input:
    """An input to a calculation that was looked up, with its source."""
    return Input(symbol, f"{value.shown} ({value.reference})", None, value.confidence)


def permitted(symbol: str, limit: Value, beside: Any = None) -> Input:
    """A limit that may not be exceeded, as an input, with its source."""
    return Input(symbol, f"{limit.upper(beside)} ({limit.reference})", None, limit.confidence)


def working(value: Value, limit: Value, *inputs: Input) -> Calculation:
    """The working of a computed figure against a published limit."""
    worked = value.worked
    return Calculation(
        worked.symbols if worked else "",
        worked.numbers if worked else value.shown,
        value.shown,
        f"{limit.upper(value.quantity)} ({limit.reference})",
        margin(value.quantity, limit.quantity),
        inputs,
    )


def cells(*inputs: Input) -> tuple[Place, ...]:
    """The cells that inputs were typed into."""
    # by their texts: a plain tuple is hashed several times faster than a place
    return tuple({(place.sheet, place.cell): place for each in inputs if (place := each.place)}.values())


def distinct(inputs: Iterable[Input]) -> tuple[Input, ...]:
    """Each input once: what several sections of a path share is told once."""
    named = {(each.symbol, each.shown, each.place and (each.place.sheet, each.place.cell)): each for each in inputs}
    return tuple(named.values())


def passed(
    subject: str,
    message: str,
    places: tuple[Place, ...] = (),
    calculation: Calculation | None = None,
    confidence: Confidence = Confidence.CONFIRMED,
    *,
    plausible: bool = False,
) -> Outcome:
    """A check that holds; with a figure that nobody confirmed it is a note, and close to one from memory a query.

    It is no surer than the least sure figure of its working; of a `plausible` reading, which no limit judges, how sure
    the tables are makes no query.
    """
    confidence = weakest((confidence, *(each.confidence for each in (calculation.inputs if calculation else ()))))
    if confidence in SURE:
        return Outcome(Verdict.PASS, subject, message, places, calculation=calculation)
    left = calculation.margin if calculation else None
    close = confidence is Confidence.MEMORY and not plausible and left is not None and not reaches(left, CLOSE_PERCENT)
    return Outcome(
        Verdict.QUERY if close else Verdict.NOTE,
        subject,
        f"{message} {SHORT[confidence]}",
        places,
        found=calculation.result if calculation else "",
        expected=calculation.limit if calculation else "",
        remedy="Compare the figure with the standard before signing." if close else "Nothing, if the standard agrees.",
        calculation=calculation,
    )


def not_applicable(subject: str, message: str) -> Outcome:
    """A check that this case does not call for, with the reason."""
    return Outcome(Verdict.NOT_APPLICABLE, subject, message)


def blank(subject: str, row: Row, *attributes: str, aid: bool = False) -> Outcome:
    """A 'not assessed' that names the blank cells among `attributes`; where none is blank, they lead to no row."""
    empty = [name for name in attributes if getattr(row, name) is None]
    names = empty or list(attributes)
    titles = ", ".join(row.fields()[name].title for name in names)
    return Outcome(
        Verdict.NOT_ASSESSED,
        subject,
        f"Not assessed: {titles} missing." if empty else f"Not assessed: '{titles}' leads to no row.",
        places=row.where(*names),
        found="blank" if empty else ", ".join(row.shown(name) for name in names),
        expected=titles if empty else "the key of a row of this job",
        remedy=f"Fill in {titles}." if empty else "Mend the cell, or add the row.",
        aid=aid,
    )


def lacking(subject: str, row: Row, *attributes: str, aid: bool = False) -> Outcome | None:
    """A 'not assessed' for the blank cells among `attributes`, or None when none is blank."""
    complete = all(getattr(row, name) is not None for name in attributes)
    return None if complete else blank(subject, row, *attributes, aid=aid)


def unmeasured(subject: str, row: Row, *attributes: str, aid: bool = False) -> Outcome | None:
    """A 'not assessed' for readings that are blank, limited or not applicable, or None when each has a figure."""
    if gap := lacking(subject, row, *attributes, aid=aid):
        return gap
    without = [name for name in attributes if _without_figure(getattr(row, name))]
    if not without:
        return None
    titles = ", ".join(row.fields()[name].title for name in without)
    return Outcome(
        Verdict.NOT_ASSESSED,
        subject,
        f"Not assessed: no figure for {titles}.",
        places=row.where(*without),
        found=", ".join(shown(row, name) for name in without),
        expected=f"a figure for {titles}",
        remedy=f"Measure {titles}, or agree and record the limitation.",
        aid=aid,
    )


def nought(subject: str, row: Row, attribute: str) -> Outcome | None:
    """A 'not assessed' for a reading of nothing at all, which nothing can be divided by, or None."""
    value = getattr(row, attribute)
    if not isinstance(value, Reading) or value.quantity is None or value.quantity.magnitude:
        return None
    title = row.fields()[attribute].title
    return Outcome(
        Verdict.NOT_ASSESSED,
        subject,
        f"Not assessed: {title} cannot be nought.",
        places=row.where(attribute),
        found=shown(row, attribute),
        expected=f"a figure for {title}",
        remedy=f"Enter {title} as the instrument showed it, or measure again.",
    )


def _without_figure(value: object) -> bool:
    """Whether a reading gives a reason instead of a figure."""
    return isinstance(value, Reading) and value.mark in {Mark.LIMITATION, Mark.NOT_APPLICABLE}


def untabled(subject: str, missing: Missing, places: tuple[Place, ...] = (), *, aid: bool = False) -> Outcome:
    """A 'not assessed' because the edition has no figure for this case."""
    return Outcome(
        Verdict.NOT_ASSESSED,
        subject,
        f"Not assessed: the published tables have no figure for this case. {missing.reason}",
        places,
        found="a size, rating or kind that the table does not have",
        expected="one that the table has",
        remedy="Compare the cells with the site sheet; if they are right, whoever signs must work this out by hand.",
        reference=str(missing.reference),
        aid=aid,
    )
