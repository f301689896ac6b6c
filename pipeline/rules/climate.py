"""What weather and knocks a charge point must bear where it stands, against what its maker states."""

import re
from collections.abc import Iterator

from pipeline.facts.choices import Charging, Exposure, Premises
from pipeline.facts.findings import Calculation, Confidence, Input, Verdict, WhenMissing
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.models import Model
from pipeline.facts.rows.points import Point
from pipeline.rules.base import Area, Case, Outcome, meets, reaches, rule
from pipeline.rules.outcomes import cells, lacking, name_of, not_applicable, passed, shown, typed
from pipeline.rules.workmanship import modelled

# lowest and highest temperature (°C) that equipment is built for: IEC 61851-1, 5.2 (from memory)
SPANS = {Exposure.OUTDOORS: (-25.0, 40.0), Exposure.INDOORS: (-5.0, 40.0)}
# IEC 62262 code: IEC 60364-7-722, 722.512.2.103 (from memory)
LEAST_IK = 7
# where vehicles that are not the owner's move about
BUSY = frozenset({Premises.PUBLIC, Premises.COMMERCIAL, Premises.FILLING_STATION, Premises.FLATS_CAR_PARK})


@rule(
    title="The point bears the temperatures of its place",
    area=Area.WORKMANSHIP,
    reference="IEC 61851-1, 5.2 (from memory)",
    when_missing=WhenMissing.PRINT,
)
def points_bear_the_temperatures_of_their_place(case: Case) -> Iterator[Outcome]:
    """The maker's range covers what equipment outdoors or indoors is built for."""
    for point, model in modelled(case):
        gap = lacking(name_of(point), point, "indoors") or lacking(name_of(point), model, "coldest", "hottest")
        yield gap or _span(point, model, point.indoors or Exposure.OUTDOORS)


def _span(point: Point, model: Model, place: Exposure) -> Outcome:
    """The verdict on a maker's range."""
    cold, hot = SPANS[place]
    inputs = (typed("θ_min", model, "coldest"), typed("θ_max", model, "hottest"))
    calculation = Calculation(
        "θ_min ≤ θ_coldest, θ_hottest ≤ θ_max",
        f"{inputs[0].shown} ≤ {cold:g} °C, {hot:g} °C ≤ {inputs[1].shown}",
        f"{inputs[0].shown} to {inputs[1].shown}",
        f"{cold:g} °C to {hot:g} °C ({place})",
        None,
        (*inputs, Input("θ", f"{cold:g} °C to {hot:g} °C {place}", None, Confidence.MEMORY)),
    )
    places = point.where("indoors") + cells(*inputs)
    if meets(magnitude(model.coldest, "°C") - cold, 0) and reaches(magnitude(model.hottest, "°C"), hot):
        return passed(name_of(point), f"The model bears the temperatures {place}.", places, calculation)
    return Outcome(
        Verdict.QUERY,
        name_of(point),
        f"The model is not shown to bear the temperatures {place}.",
        places,
        found=calculation.result,
        expected=calculation.limit,
        remedy="Compare with the maker's instructions; choose another model or a sheltered place.",
        calculation=calculation,
    )


@rule(
    title="The point bears knocks where vehicles move",
    area=Area.WORKMANSHIP,
    reference="IEC 60364-7-722, 722.512.2.103 (from memory)",
    when_missing=WhenMissing.PRINT,
)
def points_bear_knocks_where_vehicles_move(case: Case) -> Iterator[Outcome]:
    """In public places and car parks at least IK07, or protection by its place or a barrier."""
    row = case.job.row
    busy = row.charging is Charging.PUBLIC or row.premises in BUSY
    for point, model in modelled(case):
        if not busy:
            yield not_applicable(name_of(point), "No public place and no car park of others.")
        else:
            yield lacking(name_of(point), model, "ik") or _knocks(point, model)


def _knocks(point: Point, model: Model) -> Outcome:
    """The verdict on an IK code; one that does not read as a code is too low."""
    match = re.fullmatch(r"IK\s*(\d{2})", (model.ik or "").strip().upper())
    if match and int(match[1]) >= LEAST_IK:
        return passed(
            name_of(point), f"{model.ik} where vehicles move.", model.where("ik"), confidence=Confidence.MEMORY
        )
    return Outcome(
        Verdict.QUERY,
        name_of(point),
        "The enclosure is not shown to bear knocks where vehicles move.",
        model.where("ik"),
        found=shown(model, "ik"),
        expected=f"IK{LEAST_IK:02} or higher, or a barrier before it",
        remedy="Place a barrier or bollard and say so in the extent, or choose a stronger model.",
    )
