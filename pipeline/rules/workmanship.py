"""How a charge point was mounted and wired: always against the figures of its own maker, none by default."""

from collections.abc import Iterator

from pipeline.facts.choices import Done, YesNo
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Verdict, WhenMissing
from pipeline.facts.quantities import magnitude
from pipeline.facts.reading import number_read
from pipeline.facts.row import Row
from pipeline.facts.rows.models import Model
from pipeline.facts.rows.points import Point
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.outcomes import blank, lacking, name_of, passed, shown, typed
from pipeline.standards.formula import figure

MAKER = "the maker's instructions of the model"


def modelled(case: Case) -> Iterator[tuple[Point, Model]]:
    """Each charge point whose model is described; an unknown model is told at its cell."""
    for point in case.job.points:
        if model := case.job.model(point.model):
            yield point, model


def _silent(subject: str, model: Model, *attributes: str) -> Outcome | None:
    """A 'not assessed' that does not hold, where the maker gives no figure."""
    return lacking(subject, model, *attributes, aid=True)


@rule(title="Terminals are tightened as the maker says", area=Area.WORKMANSHIP, reference=MAKER, needed=Needed.TEST)
def terminals_are_tightened_as_the_maker_says(case: Case) -> Iterator[Outcome]:
    """The torque applied lies within the tolerance of the model's torque."""
    for point, model in modelled(case):
        subject = name_of(point)
        if silent := _silent(subject, model, "torque", "torque_tolerance"):
            yield silent
        elif point.torque is None or not point.torque.measured:
            yield Outcome(
                Verdict.QUERY,
                subject,
                "The torque at the supply terminals is not recorded.",
                point.where("torque"),
                found=shown(point, "torque") or "blank",
                expected=torque_asked(model),
                remedy="Tighten with a torque tool and enter the torque, or have the signatory accept it.",
            )
        else:
            yield _torque(point, model)


def torque_asked(model: Model) -> str:
    """The torque that a model's maker asks for, with its tolerance."""
    return f"{shown(model, 'torque')} ± {shown(model, 'torque_tolerance')}"


def span(model: Model, limits: tuple[str, str], unit: str) -> str:
    """A range that a model's maker gives."""
    return f"{model.shown(limits[0])} to {model.shown(limits[1])} {unit}"


def _torque(point: Point, model: Model) -> Outcome:
    """The verdict on a recorded torque."""
    applied = number_read(point.torque, "N·m")
    wanted, share = magnitude(model.torque, "N·m"), magnitude(model.torque_tolerance, "%") / 100
    off, allowed = abs(applied - wanted), share * wanted
    calculation = Calculation(
        "|M_applied − M| ≤ tolerance × M",
        f"|{shown(point, 'torque')} − {shown(model, 'torque')}| = {figure(off, 'N·m')} ≤ {figure(allowed, 'N·m')}",
        f"{figure(off, 'N·m')} off",
        f"{figure(allowed, 'N·m')} off ({torque_asked(model)}; {MAKER})",
        margin(off, allowed) if allowed else None,
        (
            typed("M_applied", point, "torque"),
            typed("M", model, "torque"),
            typed("tolerance", model, "torque_tolerance"),
        ),
    )
    places = point.where("torque") + model.where("torque", "torque_tolerance")
    if meets(off, allowed):
        return passed(name_of(point), "The terminals are tightened as the maker says.", places, calculation)
    return Outcome(
        Verdict.FAIL,
        name_of(point),
        "The torque at the supply terminals is out of the maker's tolerance.",
        places,
        found=shown(point, "torque"),
        expected=f"{shown(model, 'torque')} ± {shown(model, 'torque_tolerance')}",
        remedy="Isolate, tighten to the maker's torque, and enter the new figure.",
        calculation=calculation,
    )


@rule(title="A torque has its tool", area=Area.WORKMANSHIP, reference="common practice", needed=Needed.TEST)
def torques_have_their_tool(case: Case) -> Iterator[Outcome]:
    """The tool that gave a torque is named."""
    for point in case.job.points:
        if point.torque is None or not point.torque.measured:
            continue
        if point.torque_tool is None:
            yield Outcome(
                Verdict.NOTE,
                name_of(point),
                "The tool that gave the torque is not named.",
                point.where("torque_tool"),
                found="blank",
                expected="a torque tool of the sheet Instruments",
                remedy="Name the tool.",
            )
        else:
            yield passed(name_of(point), f"Torque tool: {point.torque_tool}.", point.where("torque_tool"))


@rule(
    title="Conductors are connected in their order",
    area=Area.WORKMANSHIP,
    reference="common practice",
    needed=Needed.TEST,
    when_missing=WhenMissing.PRINT,
)
def conductors_are_connected_in_their_order(case: Case) -> Iterator[Outcome]:
    """Protective conductor, neutral, then the lines in phase order, so that nothing is live without its earth."""
    for point in case.job.points:
        if point.order_kept is None:
            yield blank(name_of(point), point, "order_kept")
        elif point.order_kept is YesNo.YES:
            message = "Connected in order: protective conductor, neutral, lines in phase order."
            yield passed(name_of(point), message, point.where("order_kept"))
        else:
            yield Outcome(
                Verdict.QUERY,
                name_of(point),
                "The conductors were not connected in their order.",
                point.where("order_kept"),
                found="no",
                expected="protective conductor, neutral, then the lines in phase order",
                remedy="Isolate, see that each conductor sits in its own terminal, and enter what was found.",
            )


@rule(title="Conductors fit the terminals", area=Area.WORKMANSHIP, reference=MAKER)
def conductors_fit_the_terminals(case: Case) -> Iterator[Outcome]:
    """The live conductors are within the range of the model's terminals."""
    for point, model in modelled(case):
        circuit = case.job.circuit(point.board, point.circuit)
        if circuit is None:
            continue
        gap = lacking(name_of(point), circuit, "live_size")
        yield gap or _within(
            (point, circuit, "live_size"), model, ("terminal_smallest", "terminal_largest"), Verdict.FAIL
        )


@rule(title="The cable fits its entry", area=Area.WORKMANSHIP, reference=MAKER, needed=Needed.TEST)
def cables_fit_their_entry(case: Case) -> Iterator[Outcome]:
    """A cable outside the range of the gland leaves the enclosure open to water and dust."""
    for point, model in modelled(case):
        subject, limits = name_of(point), ("entry_smallest", "entry_largest")
        if point.cable_diameter is None and not _silent(subject, model, *limits):
            yield Outcome(
                Verdict.QUERY,
                subject,
                "The diameter of the cable at its entry is not recorded.",
                point.where("cable_diameter"),
                found="blank",
                expected=span(model, limits, "mm"),
                remedy="Measure the cable and enter its diameter.",
            )
        else:
            yield _within((point, point, "cable_diameter"), model, limits, Verdict.FAIL)


@rule(
    title="The mounting height is as the maker says",
    area=Area.WORKMANSHIP,
    reference=f"{MAKER}; IEC 60364-7-722, 722.55",
    needed=Needed.TEST,
    when_missing=WhenMissing.PRINT,
)
def mounting_heights_are_as_the_maker_says(case: Case) -> Iterator[Outcome]:
    """The height lies within the maker's range."""
    for point, model in modelled(case):
        gap = lacking(name_of(point), point, "height")
        yield gap or _within((point, point, "height"), model, ("height_lowest", "height_highest"), Verdict.QUERY)


def _within(cell: tuple[Point, Row, str], model: Model, limits: tuple[str, str], verdict: Verdict) -> Outcome:
    """The verdict on a figure of a point against a range of its model; the maker may be silent."""
    point, row, attribute = cell
    if silent := _silent(name_of(point), model, *limits):
        return silent
    title, unit = row.fields()[attribute].title, row.fields()[attribute].unit
    value, lowest, highest = getattr(row, attribute), *(getattr(model, each) for each in limits)
    places = row.where(attribute) + model.where(*limits)
    allowed = span(model, limits, unit)
    if reaches(value, lowest) and meets(value, highest):
        return passed(name_of(point), f"{title} {shown(row, attribute)}, the maker allows {allowed}.", places)
    return Outcome(
        verdict,
        name_of(point),
        f"'{title}' is not within what the maker gives.",
        places,
        found=shown(row, attribute),
        expected=allowed,
        remedy="Mend the figure if it was mistyped, else change the work to suit the model.",
    )


@rule(title="Mounting work is done", area=Area.WORKMANSHIP, reference=MAKER, needed=Needed.TEST)
def mounting_work_is_done(case: Case) -> Iterator[Outcome]:
    """Strain relief, sealed entry, covers refitted; a point out of level is only told."""
    wanted = {
        "strain_relief": Verdict.FAIL,
        "entry_sealed": Verdict.FAIL,
        "covers": Verdict.FAIL,
        "level": Verdict.NOTE,
    }
    for point in case.job.points:
        for attribute, verdict in wanted.items():
            done: Done | None = getattr(point, attribute)
            title = point.fields()[attribute].title
            if done is Done.NOT_DONE:
                yield Outcome(
                    verdict,
                    name_of(point),
                    f"'{title}' is not done.",
                    point.where(attribute),
                    found="not done",
                    expected="done",
                    remedy="Isolate and finish the work.",
                )
            elif done is None and verdict is Verdict.FAIL:
                yield blank(name_of(point), point, attribute)
            elif done is not None:
                yield passed(name_of(point), f"{title}: {done}.", point.where(attribute))
