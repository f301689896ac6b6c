"""The record's way back: the typed job, rebuilt from the JSON that `record` made of it.

Whoever holds a record can judge it again. Numbers come from the bare number under their unit; what the record shows
is not believed, since it is made anew from them.
"""

from datetime import datetime
from typing import Any, get_args, get_origin

from pipeline.facts.field import Field, Mark, Place
from pipeline.facts.job import Job
from pipeline.facts.quantities import quantity
from pipeline.facts.reading import Reading
from pipeline.facts.record import RECORD_VERSION, Json
from pipeline.facts.row import Kind, Row

_LIMITED = f"{Mark.LIMITATION}: "


def job_of(record: Json) -> Job:
    """The job of a record; raises ValueError where the JSON is not what `record_of` writes."""
    if record.get("record") != RECORD_VERSION:
        message = f"this program reads records of version {RECORD_VERSION}, not {record.get('record')!r}"
        raise ValueError(message)
    try:
        return Job(**{name: _part(name, content) for name, content in record["job"].items()})
    except (AttributeError, KeyError, TypeError) as trouble:
        message = f"the record's job is not built as it must be ({type(trouble).__name__}: {trouble})"
        raise ValueError(message) from trouble


def completed(record: Json) -> Json:
    """An older record with a blank cell for each field that has been added since, as far as its job is concerned."""
    job = dict(record["job"])
    for name in Job.model_fields:
        row, several = _row_type(name), get_origin(Job.model_fields[name].annotation) is tuple
        if row is not None:
            part = job.get(name, [] if several else {})
            job[name] = [_filled(row, each) for each in part] if several else _filled(row, part)
    return {**record, "job": job}


def _filled(row: type[Row], content: Json) -> Json:
    """A row with every cell that it has today."""
    return {name: {"shown": ""} for name in row.fields()} | content


def _row_type(name: str) -> type[Row] | None:
    """The type of the rows of one attribute of a job; None for the sums of the photos."""
    annotation = Job.model_fields[name].annotation
    row = (get_args(annotation) or (annotation,))[0]
    return row if issubclass(row, Row) else None


def _part(name: str, content: Any) -> Any:
    """One attribute of a job: a row, several rows, or the sums of the photos."""
    row = _row_type(name)
    if row is None:
        return dict(content)
    return tuple(_row(row, each) for each in content) if isinstance(content, list) else _row(row, content)


def _row(row: type[Row], content: Json) -> Row:
    """A row with its values, what was typed, and where."""
    values = {name: _value(row, name, cell) for name, cell in content.items()}
    at = {name: _place(cell["cell"]) for name, cell in content.items() if "cell" in cell}
    typed = {name: cell["typed"] for name, cell in content.items() if "typed" in cell}
    return row(**values, at=at, typed=typed)


def _place(text: str) -> Place:
    """A place from the words in which people write it."""
    sheet, _, cell = text.rpartition(" ")
    return Place(sheet, cell)


def _value(row: type[Row], attribute: str, cell: Json) -> Any:  # noqa: PLR0911 - one return a kind reads best
    """The value of a cell, None where it had none."""
    text, field = cell["shown"], row.fields()[attribute]
    if not text:
        return None
    match row.kind(attribute):
        case Kind.TEXT:
            return text
        case Kind.INTEGER:
            return int(text)
        case Kind.DATE:
            return datetime.strptime(text, "%d %b %Y").date()  # noqa: DTZ007 - a day has no zone
        case Kind.CHOICE:
            return _choice(row, attribute, text)
        case Kind.CHOICES:
            return _choices(row, attribute, text)
        case Kind.READING:
            return _reading(cell, field)
        case _:
            return _amount(cell, field, text)


def _amount(cell: Json, field: Field, text: str) -> Any:
    """A quantity: its bare number under the unit, or as shown where the column has no unit."""
    return quantity(cell[field.unit] if field.unit else float(text), field.unit)


def _reading(cell: Json, field: Field) -> Reading:
    """A reading with its mark, or the reason why there is none."""
    text, typed = cell["shown"], cell.get("typed", "")
    if text == Mark.NOT_APPLICABLE:
        return Reading(typed=typed, mark=Mark.NOT_APPLICABLE)
    if text == Mark.LIMITATION or text.startswith(_LIMITED):
        return Reading(typed=typed, mark=Mark.LIMITATION, reason=text[len(_LIMITED) :])
    mark = next((each for each in (Mark.ABOVE, Mark.BELOW) if text.startswith(each)), None)
    return Reading(typed=typed, mark=mark, quantity=_amount(cell, field, text.lstrip("<>")))


def _choice(row: type[Row], attribute: str, text: str) -> Any:
    """The member of a closed list."""
    choices = row.choice_type(attribute)
    return choices(text) if choices else None


def _choices(row: type[Row], attribute: str, text: str) -> frozenset[Any]:
    """Several members of a closed list, none of which holds a comma."""
    return frozenset(_choice(row, attribute, each) for each in text.split(", "))
