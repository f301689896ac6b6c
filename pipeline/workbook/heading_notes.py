"""The note on each heading: what is wanted, when, in which range, and which words are taken."""

from pipeline.facts.field import Field, Mark, Needed
from pipeline.facts.row import Kind, Row
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.supply import Supply

_NEEDED = {
    Needed.DESIGN: "Needed in every row.",
    Needed.TEST: "Needed as soon as the job is tested.",
    Needed.NEVER: "Only where it applies or is known.",
}
ONE_A_JOB, EVERY_JOB = frozenset({JobRow, Supply}), "Needed in every job."
_MARKS = {
    Mark.ABOVE: "> before a figure beyond the instrument's range",
    Mark.BELOW: "< before a figure too small for it",
    Mark.LIMITATION: "LIM with its reason where the test could not be made",
    Mark.NOT_APPLICABLE: "N/A where it does not apply",
}


def heading_note(row: type[Row], attribute: str) -> str:
    """The lines of one heading's note."""
    field = row.fields()[attribute]
    lines = [
        field.note,
        EVERY_JOB if field.needed is Needed.DESIGN and row in ONE_A_JOB else _NEEDED[field.needed],
        values_taken(row, attribute),
        f"Usual: {span(field.usual)}." if field.usual else "",
        f"Impossible outside {span(field.hard)}." if field.hard else "",
        marks_taken(field),
        "A blank is filled from the sheet Defaults, where it names this column." if field.defaults else "",
        f"Example: {field.example}" if field.example != "" else "",
    ]
    return "\n".join(line for line in lines if line)


def values_taken(row: type[Row], attribute: str) -> str:
    """What kind of value the cells take; nothing for free text."""
    field, kind = row.fields()[attribute], row.kind(attribute)
    if field.refers:
        return f"One that stands on the sheet {field.refers}."
    number = f"A number in {field.unit}." if field.unit else "A number."
    sentences = {
        Kind.CHOICE: f"One of: {'; '.join(row.choices(attribute))}.",
        Kind.CHOICES: f"One or several, separated by commas: {', '.join(row.choices(attribute))}.",
        Kind.DATE: "A date: day/month/year, the year with four digits.",
        Kind.INTEGER: "A whole number.",
        Kind.AMOUNT: number,
        Kind.READING: number,
    }
    return sentences.get(kind, "")


def marks_taken(field: Field) -> str:
    """What besides a figure the cells take; nothing where there is nothing else."""
    return f"Also: {'; '.join(_MARKS[mark] for mark in Mark if mark in field.allows)}." if field.allows else ""


def span(limits: tuple[float, float]) -> str:
    """Two limits without needless decimals."""
    return f"{limits[0]:.10g} to {limits[1]:.10g}"
