"""Where and how a charge point hangs: its fixings, its reach, its enclosure."""

import re
from collections.abc import Iterator

from pipeline.facts.choices import Exposure, YesNo
from pipeline.facts.field import Needed, Place
from pipeline.facts.findings import Confidence, Verdict, WhenMissing
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.models import Fixing, Model
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, lacking, name_of, passed
from pipeline.rules.workmanship import MAKER, modelled

# IEC 60364-7-722, 722.512.2.101: at least IP44 outdoors; from memory
OUTDOORS = (4, 4)
# screw diameters (mm) that spread a plug of this nominal diameter (mm): common practice, from memory
SCREW_FOR_PLUG = {5.0: (3.0, 4.0), 6.0: (4.0, 5.0), 8.0: (4.5, 6.0), 10.0: (6.0, 8.0), 12.0: (8.0, 10.0)}


@rule(title="The point is fixed as the maker says", area=Area.WORKMANSHIP, reference=MAKER, needed=Needed.TEST)
def points_are_fixed_as_the_maker_says(case: Case) -> Iterator[Outcome]:
    """Other fixings are possible where it is said which and why."""
    for point in case.job.points:
        if point.fixings is None:
            yield blank(name_of(point), point, "fixings", aid=True)
        elif point.fixings is YesNo.YES:
            yield passed(name_of(point), "Fixed as the maker's instructions say.", point.where("fixings"))
        else:
            yield Outcome(
                Verdict.NOTE if point.fixings_other else Verdict.QUERY,
                name_of(point),
                "Other fixings than the maker's were used.",
                point.where("fixings", "fixings_other"),
                found=point.fixings_other or "no word which and why",
                expected="the maker's fixings, or which others and why",
                remedy="Say which fixings were used and why they hold.",
            )


@rule(
    title="Fixings of a set fit together",
    area=Area.WORKMANSHIP,
    reference="common practice, from memory",
    when_missing=WhenMissing.PRINT,
)
def fixings_of_a_set_fit_together(case: Case) -> Iterator[Outcome]:
    """Screw, plug and hole of one set do not contradict each other."""
    for fixing in case.job.fixings:
        subject = f"Model {fixing.model or '?'}, {fixing.place or 'fixing'}"
        wide, wrong = _too_wide(fixing), list(_contradictions(case.job, fixing))
        if wide or wrong:
            yield Outcome(
                Verdict.FAIL if wide else Verdict.QUERY,
                subject,
                "The plug is wider than its hole."
                if wide
                else "Screw, plug and hole of this set contradict each other.",
                fixing.where("screw_diameter", "plug_diameter", "hole_diameter", "hole_depth"),
                found="; ".join([*wide, *wrong]),
                expected="a screw that spreads its plug in a hole that takes it",
                remedy="Compare the row with the maker's instructions.",
            )
        else:
            by_custom = fixing.screw_diameter is not None and _millimetres(fixing, "plug_diameter") in SCREW_FOR_PLUG
            sure = Confidence.MEMORY if by_custom else Confidence.CONFIRMED
            yield passed(subject, "Screw, plug and hole fit together.", confidence=sure)


def _millimetres(fixing: Fixing, attribute: str) -> float | None:
    """A size of a set of fixings; None where the maker does not give it."""
    value = getattr(fixing, attribute)
    return None if value is None else magnitude(value, "mm")


def _too_wide(fixing: Fixing) -> list[str]:
    """A plug that does not go into its hole."""
    plug, hole = (_millimetres(fixing, each) for each in ("plug_diameter", "hole_diameter"))
    return [f"hole {hole:g} mm for a plug {plug:g} mm"] if plug and hole and hole < plug else []


def _contradictions(job: Job, fixing: Fixing) -> Iterator[str]:
    """What does not fit in one set of fixings; what the maker does not give contradicts nothing."""
    names = ("screw_diameter", "screw_length", "plug_diameter", "plug_length", "hole_diameter", "hole_depth", "proud")
    screw, screw_length, plug, length, hole, depth, proud = (_millimetres(fixing, each) for each in names)
    span = SCREW_FOR_PLUG.get(plug or 0.0)
    if screw and span and not span[0] <= screw <= span[1]:
        yield f"screw {screw:g} mm in a plug {plug:g} mm, which takes {span[0]:g} to {span[1]:g} mm"
    if plug and hole and hole > plug:
        yield f"hole {hole:g} mm for a plug {plug:g} mm, which is loose in solid masonry"
    if length and depth and depth < length:
        yield f"hole {depth:g} mm deep for a plug {length:g} mm long"
    if screw_length and proud and proud >= screw_length:
        yield f"screw {screw_length:g} mm long that stays proud by {proud:g} mm"
    sizes = {each.place: each for each in job.fixings if each.model == fixing.model and each is not fixing}
    twin = sizes.get(fixing.place)
    if twin and any(getattr(twin, each) != getattr(fixing, each) for each in ("count", *names)):
        yield "two rows for one place with different sizes"


@rule(
    title="The vehicle is reached without a trip hazard",
    area=Area.WORKMANSHIP,
    reference="common practice",
    needed=Needed.TEST,
    when_missing=WhenMissing.PRINT,
)
def vehicles_are_reached_without_a_trip_hazard(case: Case) -> Iterator[Outcome]:
    """The cable reaches the inlet with slack and lies in nobody's way."""
    wanted = {"reaches": (YesNo.YES, "does not reach the inlet"), "trip_hazard": (YesNo.NO, "is a trip hazard")}
    for point in case.job.points:
        for attribute, (good, trouble) in wanted.items():
            answer: YesNo | None = getattr(point, attribute)
            title = point.fields()[attribute].title
            if answer is None:
                yield blank(name_of(point), point, attribute)
            elif answer is good:
                yield passed(name_of(point), f"{title}: {answer}.", point.where(attribute))
            else:
                yield Outcome(
                    Verdict.FAIL,
                    name_of(point),
                    f"The charging cable {trouble}.",
                    point.where(attribute),
                    found=f"{title}: {answer}",
                    expected=f"{title}: {good}",
                    remedy="Move the charge point, or use a model whose cable suits the place.",
                )


@rule(
    title="The enclosure suits the place",
    area=Area.WORKMANSHIP,
    reference="IEC 60364-7-722, 722.512 (from memory)",
)
def enclosures_suit_the_place(case: Case) -> Iterator[Outcome]:
    """Outdoors at least IP44; a letter X leaves a digit open."""
    for point, model in modelled(case):
        subject, places = name_of(point), point.where("indoors") + model.where("ip")
        if gap := lacking(subject, point, "indoors") or lacking(subject, model, "ip"):
            yield gap
        elif point.indoors is Exposure.INDOORS:
            yield passed(subject, f"{model.ip} indoors.", places)
        else:
            yield _outdoors(subject, model, places)


def _outdoors(subject: str, model: Model, places: tuple[Place, ...]) -> Outcome:
    """The verdict on the IP code of a model under the sky; a digit that is not told reads as too low."""
    match = re.fullmatch(r"IP\s*([0-6X])([0-9X])[A-Z]*(?:/.*)?", (model.ip or "").strip().upper())
    digits = match.groups() if match else ("X", "X")
    short = [digit for digit, least in zip(digits, OUTDOORS, strict=True) if digit == "X" or int(digit) < least]
    if not short:
        return passed(subject, f"{model.ip} outdoors.", places, confidence=Confidence.MEMORY)
    return Outcome(
        Verdict.QUERY if set(short) == {"X"} else Verdict.FAIL,
        subject,
        "The enclosure is not shown to suit a place under the sky.",
        places,
        found=model.ip or "blank",
        expected="IP44 or higher outdoors",
        remedy="Compare the IP rating with the maker's instructions, or choose a model for outdoors.",
    )
