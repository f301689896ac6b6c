"""How a charge point was set up and tried: limit, charge, d.c. detection, links and schedule."""

from collections.abc import Iterator

from pipeline.facts.choices import Charging, DcDetection, DcTest, Nation, Works, YesNo
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Confidence, Verdict, WhenMissing
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.models import Model
from pipeline.facts.rows.points import Point
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.outcomes import blank, lacking, name_of, not_applicable, passed, shown, tabled, typed, unmeasured
from pipeline.standards.formula import figure

PRACTICE = "common practice"
SMART = "the law on smart charge points"
GREAT_BRITAIN = frozenset({Nation.ENGLAND, Nation.WALES, Nation.SCOTLAND})
# seconds, SI 2021/1467, regulation 11: a delay of up to 600 s is set on delivery, 1800 s can be set (from memory)
MOST_DELAY = 1800.0
# a meter in a vehicle or adapter shows no more than this above the set limit: common practice
POWER_SLACK = 1.1


@rule(title="The current limit is one the model has", area=Area.COMMISSIONING, reference="the maker's instructions")
def current_limits_are_within_the_model(case: Case) -> Iterator[Outcome]:
    """Between the model's lowest and highest settable limit, and not above its rated current."""
    for point in case.job.points:
        model = case.job.model(point.model)
        if model is None:
            continue
        if gap := lacking(name_of(point), point, "current_limit") or lacking(name_of(point), model, "rated_current"):
            yield gap
            continue
        lowest, highest = model.lowest_limit, model.highest_limit or model.rated_current
        places = point.where("current_limit") + model.where("lowest_limit", "highest_limit", "rated_current")
        low = lowest is None or reaches(point.current_limit, lowest)
        if low and meets(point.current_limit, highest) and meets(point.current_limit, model.rated_current):
            yield passed(name_of(point), f"Current limit {shown(point, 'current_limit')}.", places)
        else:
            yield Outcome(
                Verdict.FAIL,
                name_of(point),
                "The model cannot be set to this current limit.",
                places,
                found=shown(point, "current_limit"),
                expected=f"{model.shown('lowest_limit') or 'lowest limit'} to {figure(magnitude(highest, 'A'), 'A')}, "
                f"rated {shown(model, 'rated_current')}",
                remedy="Read the limit again in the point's settings, and mend the cell or the setting.",
            )


@rule(
    title="A lower limit for now is explained",
    area=Area.COMMISSIONING,
    reference=PRACTICE,
    needed=Needed.TEST,
)
def temporary_limits_are_explained(case: Case) -> Iterator[Outcome]:
    """A point that runs below its setting says until when and why."""
    for point in case.job.points:
        if point.temporary_limit is None:
            yield not_applicable(name_of(point), "The charge point runs at its setting.")
            continue
        explained = point.temporary_reason is not None
        yield Outcome(
            Verdict.NOTE if explained else Verdict.QUERY,
            name_of(point),
            "The charge point is energised with a lower limit for now.",
            point.where("temporary_limit", "temporary_reason"),
            found=f"{shown(point, 'temporary_limit')}{f': {point.temporary_reason}' if explained else ''}",
            expected="until when and why",
            remedy="The client is told on the commissioning record." if explained else "Write until when and why.",
        )


@rule(
    title="The d.c. detection works",
    area=Area.COMMISSIONING,
    reference="IEC 62955; IEC 60364-7-722",
    needed=Needed.TEST,
)
def dc_detection_works(case: Case) -> Iterator[Outcome]:
    """The test that the model offers was passed; a model without a test needs its maker's statement."""
    for point in case.job.points:
        model = case.job.model(point.model)
        if model is None:
            continue
        if model.dc_detection is not DcDetection.SIX_MA:
            yield lacking(name_of(point), model, "dc_detection") or not_applicable(
                name_of(point), "The model has no 6 mA device of its own."
            )
        else:
            yield _dc_test(point, model)


def _dc_test(point: Point, model: Model) -> Outcome:
    """The verdict on the test of one 6 mA device."""
    subject, places = name_of(point), point.where("dc_test") + model.where("dc_testable")
    if point.dc_test is DcTest.PASSED:
        return passed(subject, "The test of the d.c. detection was passed.", places)
    if point.dc_test is DcTest.FAILED:
        return Outcome(
            Verdict.FAIL,
            subject,
            "The d.c. detection failed its test.",
            places,
            found="failed",
            expected="passed",
            remedy="The charge point must not be used; replace it.",
        )
    if model.dc_testable is YesNo.NO:
        return passed(subject, "The maker offers no test of the d.c. detection.", places)
    if point.dc_test is None and model.dc_testable is YesNo.YES:
        return blank(subject, point, "dc_test")
    return Outcome(
        Verdict.QUERY,
        subject,
        "The d.c. detection was not tested.",
        places,
        found=f"{point.shown('dc_test') or 'blank'}; test offered: {model.shown('dc_testable') or 'not stated'}",
        expected="a passed test, or the maker's statement that none is offered",
        remedy="Make the test, or ask the maker and fill in 'Test of the d.c. detection offered' on the sheet Models.",
    )


@rule(
    title="The d.c. detection opens in time",
    area=Area.COMMISSIONING,
    reference="IEC 62955; IEC 60364-7-722, 722.531",
    needed=Needed.TEST,
)
def dc_detection_opens_at_its_current(case: Case) -> Iterator[Outcome]:
    """Where the current was measured at which it opened: at most the 6 mA that others upstream can bear."""
    most = case.edition.charging.dc_detection()
    for point in case.job.points:
        if point.dc_trip is None or not point.dc_trip.measured:
            yield not_applicable(name_of(point), "The current at which it opens was not measured.")
            continue
        calculation = Calculation(
            "I_dc ≤ I_dc,max",
            f"{shown(point, 'dc_trip')} ≤ {most.shown}",
            shown(point, "dc_trip"),
            f"{most.shown} ({most.reference})",
            margin(point.dc_trip.quantity, most.quantity),
            (typed("I_dc", point, "dc_trip"), tabled("I_dc,max", most)),
        )
        places, subject = point.where("dc_trip"), name_of(point)
        if meets(point.dc_trip.quantity, most.quantity) and point.dc_trip.quantity.magnitude > 0:
            # the reading lies below the limit by the test's own steps, so that a close one is no query
            sure = Confidence.CONFIRMED if most.confidence is Confidence.CONFIRMED else Confidence.CARRIED_OVER
            yield passed(subject, "The d.c. detection opens at its current.", places, calculation, sure)
        else:
            yield Outcome(
                Verdict.FAIL,
                subject,
                "The d.c. detection opens too late, or was not tested with any current.",
                places,
                found=shown(point, "dc_trip"),
                expected=f"at most {most.shown}",
                remedy="Test again; if it is so, the charge point must not be used.",
                calculation=calculation,
            )


@rule(
    title="Functions of the point work", area=Area.COMMISSIONING, reference="IEC 60364-6, 6.4.3.10", needed=Needed.TEST
)
def functions_of_the_point_work(case: Case) -> Iterator[Outcome]:
    """Its own RCD test, the socket lock, the emergency stop; a failed data link is only told."""
    verdicts = {
        "self_test": Verdict.FAIL,
        "socket_lock": Verdict.FAIL,
        "emergency_stop": Verdict.FAIL,
        "link_test": Verdict.NOTE,
    }
    for point in case.job.points:
        for attribute, verdict in verdicts.items():
            works: Works | None = getattr(point, attribute)
            title = point.fields()[attribute].title
            if works is Works.FAILED:
                yield Outcome(
                    verdict,
                    name_of(point),
                    f"'{title}' failed.",
                    point.where(attribute),
                    found="failed",
                    expected="works",
                    remedy="Find the fault and try again.",
                )
            elif works is not None:
                yield passed(name_of(point), f"{title}: {works}.", point.where(attribute))


@rule(title="A charge was made", area=Area.COMMISSIONING, reference=PRACTICE, needed=Needed.TEST)
def charges_were_made(case: Case) -> Iterator[Outcome]:
    """A real or simulated charge, with a power that the limit can give."""
    for point in case.job.points:
        subject, places = name_of(point), point.where("charge_power", "charge_minutes")
        model = case.job.model(point.model)
        gap = unmeasured(subject, point, "charge_power", "charge_minutes") or lacking(
            subject, case.job.supply, "voltage"
        )
        if gap:
            yield gap
        elif model is None or model.phases is None or point.current_limit is None or point.charge_power is None:
            yield lacking(subject, point, "model", "current_limit") or passed(subject, "A charge was made.", places)
        else:
            in_force = _limit_in_force(point)
            volts, amperes = magnitude(case.job.supply.voltage, "V"), magnitude(getattr(point, in_force), "A")
            most = POWER_SLACK * model.phases * volts * amperes / 1000
            if meets(magnitude(point.charge_power.quantity, "kW"), most):
                yield passed(subject, f"Charged with {shown(point, 'charge_power')}.", places)
            else:
                yield Outcome(
                    Verdict.QUERY,
                    subject,
                    "The charging power is more than the current limit can give.",
                    (*places, *point.where(in_force)),
                    found=shown(point, "charge_power"),
                    expected=f"at most {figure(most, 'kW')} at {shown(point, in_force)}",
                    remedy="Mend the power or the limit; look whether the limit was truly set.",
                )


def _limit_in_force(point: Point) -> str:
    """Which cell of a point limits its current: the limit set, or the lower one with which it was energised."""
    lower, usual = point.temporary_limit, point.current_limit
    return "temporary_limit" if lower and usual and lower < usual else "current_limit"


@rule(
    title="A private point has its charging schedule",
    area=Area.COMMISSIONING,
    reference=SMART,
    needed=Needed.TEST,
    when_missing=WhenMissing.PRINT,
)
def private_points_have_their_schedule(case: Case) -> Iterator[Outcome]:
    """Private points in Great Britain: default hours set, random delay left on; what is missing is told."""
    row = case.job.row
    for point in case.job.points:
        subject, places = name_of(point), point.where("default_hours", "random_delay")
        if row.charging is not Charging.PRIVATE or row.nation not in GREAT_BRITAIN:
            yield not_applicable(subject, "No private charge point in Great Britain.")
        elif point.default_hours is YesNo.YES and point.random_delay is not None and _delays(point):
            yield passed(subject, "Default hours and random delay are set.", places, confidence=Confidence.MEMORY)
        else:
            yield Outcome(
                Verdict.NOTE,
                subject,
                "Default charging hours or the random delay are not recorded as set.",
                places,
                found=f"hours: {point.shown('default_hours') or 'blank'}, "
                f"delay: {shown(point, 'random_delay') if point.random_delay is not None else 'blank'}",
                expected="default hours away from the peak, a delay of up to 600 s that can be set to 1800 s",
                remedy="Set both with the client, and enter them.",
            )


def _delays(point: Point) -> bool:
    """Whether the random delay lies within what can be set."""
    return 0 < magnitude(point.random_delay, "s") <= MOST_DELAY
