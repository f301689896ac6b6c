"""Isolation: switches break the neutral too where the supply asks for it, can be reached, and are marked."""

from collections.abc import Iterator

from pipeline.facts.choices import EarthingSystem, RcdPlace
from pipeline.facts.choices import Outcome as Seen
from pipeline.facts.field import Needed
from pipeline.facts.findings import Verdict
from pipeline.facts.rows.circuits import Circuit
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, lacking, name_of, not_applicable, passed

# poles that break every live conductor, by phases
POLES = {1: 2, 2: 3, 3: 4}
ALL = max(POLES.values())


@rule(title="The main switch breaks the neutral", area=Area.ISOLATION, reference="IEC 60364-4-46, 461.2 (from memory)")
def main_switches_break_the_neutral(case: Case) -> Iterator[Outcome]:
    """On single-phase and on TT always; on three-phase TN three poles with a neutral link are told."""
    for board in case.job.boards:
        if board.phases is None or board.main_switch_poles is None:
            yield blank(name_of(board), board, "phases", "main_switch_poles")
            continue
        needed = POLES.get(board.phases, ALL)
        if board.main_switch_poles >= needed:
            yield passed(
                name_of(board), "The main switch breaks every live conductor.", board.where("main_switch_poles")
            )
            continue
        tn = case.job.earthing_of_board(board) in (EarthingSystem.TN_S, EarthingSystem.TN_C_S)
        linked = tn and board.phases == 3 and board.main_switch_poles == 3
        yield Outcome(
            Verdict.NOTE if linked else Verdict.QUERY,
            name_of(board),
            "The main switch leaves the neutral connected.",
            board.where("main_switch_poles", "phases"),
            found=f"{board.main_switch_poles} poles",
            expected=f"{needed} poles{', or three with a neutral link' if linked else ''}",
            remedy="Nothing, if the neutral can be opened at a link." if linked else "Fit a switch with all poles.",
        )


@rule(
    title="A point's circuit can be cut off with its neutral",
    area=Area.ISOLATION,
    reference="IEC 60364-4-46, 461.2 (from memory); IEC 60364-7-722, 722.531",
)
def circuits_of_points_can_be_cut_off(case: Case) -> Iterator[Outcome]:
    """By their device or by their RCD at the board, whichever breaks more."""
    for circuit in case.job.circuits:
        if not case.job.points_on(circuit):
            continue
        gap = lacking(name_of(circuit), circuit, "phases", "device_poles")
        yield gap or _cut_off(case, circuit)


def _cut_off(case: Case, circuit: Circuit) -> Outcome:
    """The verdict on the poles that open at the head of a circuit."""
    at_board = any(each.rcd_place is not RcdPlace.INSIDE for each in case.job.points_on(circuit))
    poles = max(circuit.device_poles or 0, (circuit.rcd_poles or 0) if at_board else 0)
    needed, places = POLES.get(circuit.phases or 1, ALL), circuit.where("device_poles", "rcd_poles", "phases")
    if poles >= needed:
        return passed(name_of(circuit), "The circuit is cut off with its neutral.", places)
    tn = case.job.earthing_of(circuit) in (EarthingSystem.TN_S, EarthingSystem.TN_C_S)
    linked = tn and circuit.phases == 3 and poles == 3
    return Outcome(
        Verdict.NOTE if linked else Verdict.QUERY,
        name_of(circuit),
        "The circuit is cut off without its neutral.",
        places,
        found=f"{poles} poles",
        expected=f"{needed} poles{', or three with a neutral link' if linked else ''}",
        remedy="Nothing, if the neutral can be opened at a link." if linked else "Fit a device that breaks every pole.",
    )


# what an inspector says of switches: that they suit, are named, and can be reached
SEEN = ("isolation", "circuits_named", "access")


@rule(
    title="The switch of a point is reachable and marked",
    area=Area.ISOLATION,
    reference="IEC 60364-5-53, 536.2; IEC 60364-5-51, 514",
    needed=Needed.TEST,
)
def switches_of_points_are_reachable_and_marked(case: Case) -> Iterator[Outcome]:
    """Where to switch a point off is written down, and the inspector saw the switch, its label and the way to it."""
    aspects = {each: getattr(case.job.inspection, each) for each in SEEN}
    open_ = [case.job.inspection.fields()[name].title for name, outcome in aspects.items() if outcome is not Seen.PASS]
    for point in case.job.points:
        if gap := lacking(name_of(point), point, "isolator_place"):
            yield gap
        elif open_:
            yield not_applicable(name_of(point), f"Told at the inspection: {', '.join(open_)}.")
        else:
            yield passed(
                name_of(point), f"To be switched off at: {point.isolator_place}.", point.where("isolator_place")
            )
