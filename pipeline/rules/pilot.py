"""Control pilot and proximity: the states passed through, and what their signals allow."""

from collections.abc import Iterator

from pipeline.editions import Missing, Value
from pipeline.facts.choices import PilotState
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Verdict
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.points import Point
from pipeline.rules.base import Area, Case, Outcome, margin, meets, rule
from pipeline.rules.outcomes import blank, name_of, passed, shown, tabled, typed, untabled
from pipeline.standards.formula import figure

# what a duty meter may show above the set limit, in amperes: common practice
PILOT_SLACK = 1.0


@rule(
    title="The control pilot was tried", area=Area.COMMISSIONING, reference="IEC 61851-1, Annex A", needed=Needed.TEST
)
def pilot_states_were_passed_through(case: Case) -> Iterator[Outcome]:
    """Vehicle absent, connected, charging."""
    for point in case.job.points:
        subject, places = name_of(point), point.where("pilot_states")
        if point.pilot_states is None:
            yield blank(subject, point, "pilot_states")
        elif point.pilot_states in (PilotState.FAULT, PilotState.NOT_TESTED):
            failed = point.pilot_states is PilotState.FAULT
            yield Outcome(
                Verdict.FAIL if failed else Verdict.QUERY,
                subject,
                "A state of the control pilot failed." if failed else "The control pilot was not tried.",
                places,
                found=point.pilot_states,
                expected="the states A, B, C in turn",
                remedy="Find the fault before the point is used." if failed else "Try it with an adapter or a vehicle.",
            )
        else:
            yield passed(subject, f"Control pilot: {point.pilot_states}.", places)


@rule(title="The pilot shows the limit", area=Area.COMMISSIONING, reference="IEC 61851-1, Annex A", needed=Needed.TEST)
def pilots_show_the_limit(case: Case) -> Iterator[Outcome]:
    """The duty cycle allows the vehicle no more than the limit that was set."""
    for point in case.job.points:
        subject, places = name_of(point), point.where("duty_cycle", "current_limit")
        reading = point.duty_cycle
        if reading is None or not reading.measured:
            yield Outcome(
                Verdict.NOTE,
                subject,
                "The duty cycle of the control pilot was not measured.",
                places,
                found=shown(point, "duty_cycle") or "blank",
                expected="a duty cycle, where a meter for it was there",
                remedy="Nothing, where only the states were tried.",
            )
            continue
        current = case.edition.testing.pilot_current(reading.quantity)
        if isinstance(current, Missing):
            yield untabled(subject, current, places)
        elif point.current_limit is None:
            yield blank(subject, point, "current_limit")
        else:
            yield _duty(point, current)


def _duty(point: Point, current: Value) -> Outcome:
    """The verdict on a duty cycle."""
    allowed, limit = magnitude(current.quantity, "A"), magnitude(point.current_limit, "A")
    most = limit + PILOT_SLACK
    calculation = Calculation(
        current.worked.symbols if current.worked else "I by duty cycle",
        current.worked.numbers if current.worked else shown(point, "duty_cycle"),
        current.shown,
        f"{figure(most, 'A')} (limit set + {PILOT_SLACK:g} A)",
        margin(allowed, most),
        (typed("D", point, "duty_cycle"), tabled("I", current), typed("I_limit", point, "current_limit")),
    )
    places = point.where("duty_cycle", "current_limit")
    if meets(allowed, most):
        message = f"The pilot allows {current.shown}."
        return passed(name_of(point), message, places, calculation)
    return Outcome(
        Verdict.FAIL,
        name_of(point),
        "The pilot allows the vehicle more than the limit that was set.",
        places,
        found=f"{shown(point, 'duty_cycle')}, which allows {current.shown}",
        expected=f"at most {figure(most, 'A')}",
        remedy="Set the limit again and measure again.",
        calculation=calculation,
    )


@rule(title="The cable's plug is coded", area=Area.COMMISSIONING, reference="IEC 61851-1, Annex B", needed=Needed.TEST)
def plugs_of_cables_are_coded(case: Case) -> Iterator[Outcome]:
    """The resistor of a plug says what its cable carries; a value between the bands says nothing."""
    for point in case.job.points:
        reading = point.proximity
        if reading is None or not reading.measured:
            continue
        current = case.edition.testing.proximity_current(reading.quantity)
        if isinstance(current, Missing):
            yield Outcome(
                Verdict.QUERY,
                name_of(point),
                "The proximity resistor codes no cable.",
                point.where("proximity"),
                found=shown(point, "proximity"),
                expected="a resistor within one of the bands",
                remedy="Measure again, or change the cable.",
                reference=str(current.reference),
            )
        else:
            message = f"The cable's plug is coded for {current.shown}."
            yield passed(name_of(point), message, point.where("proximity"), confidence=current.confidence)
