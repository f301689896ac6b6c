"""Honest jobs with one cell exchanged: blank, odd, or whatever else is put there."""

from rules.honest import build, change, inspection_row, put, three_phase_tt, typed

from pipeline.facts.job import Job
from pipeline.facts.row import Kind, Row
from pipeline.facts.rows.firm import Accuracy
from pipeline.facts.rows.inspections import InspectionRemark
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.models import Fixing
from pipeline.facts.rows.sources import OtherSource

PARTS = [name for name in Job.model_fields if name != "photo_sums"]


def full():
    """The honest TT job with a row on every sheet."""
    return three_phase_tt().model_copy(
        update={
            "accuracies": (put(Accuracy, instrument="T1", function="RCD", percent=3, digits=2, last_place="1 ms"),),
            "fixings": (put(Fixing, model="EX-7", place="wall", screw_diameter=5, plug_diameter=8, plug_length=40),),
            "sources": (put(OtherSource, source="solar", rating=3.6, board="MAIN", island_mode="no"),),
            "schemes": (put(LoadManagement, scheme="LM1", group_limit=32, fallback=6, sensor_place="intake"),),
            "remarks": (put(InspectionRemark, aspect="State of the intake", remark="dusty"),),
            "inspection": inspection_row(),
        }
    )


def blank(row, attribute):
    """A blank alone."""
    return (None,)


def spoilt(job, values):
    """The job with one cell of one row exchanged, each in turn."""
    for part in PARTS:
        whole = getattr(job, part)
        row = whole[0] if isinstance(whole, tuple) and whole else whole
        if not isinstance(row, Row):
            continue
        for attribute in row.fields():
            for value in values(row, attribute):
                other = row.with_values(**{attribute: value})
                new = (other, *whole[1:]) if isinstance(whole, tuple) else other
                yield f"{part}.{attribute}={value}", job.model_copy(update={part: new})


def managed():
    """A job in which every figure counts: load management, another source, power back to the grid."""
    scheme = put(LoadManagement, job="J1", scheme="LM1", group_limit=32, fallback=6, limit_held="yes")
    source = put(OtherSource, job="J1", source="solar", rating=3.6, phases=1, board="MAIN")
    job = build(schemes=(scheme,), sources=(source,))
    models = (change(job.models[0], returns_power="yes"),)
    return job.model_copy(update={"models": models, "points": (change(job.points[0], scheme="LM1"),)})


def odd(row, attribute):
    """Whatever the reading stage lets through."""
    field = row.fields()[attribute]
    match row.kind(attribute):
        case Kind.AMOUNT | Kind.INTEGER if field.hard:
            whole = int if row.kind(attribute) is Kind.INTEGER else float
            yield from (typed(type(row), attribute, whole(each)) for each in field.hard)
        case Kind.READING:
            yield from (typed(type(row), attribute, each) for each in (0, 100000, "LIM", "N/A", "<0.01", ">999"))
        case Kind.CHOICE:
            yield from row.choice_type(attribute)
        case Kind.TEXT:
            yield from ("", "?")
