"""Isolation: the main switch of a board breaks the neutral too, where the supply asks for it."""

from collections.abc import Iterator

from pipeline.facts.choices import EarthingSystem
from pipeline.facts.findings import Verdict
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, name_of, passed

# poles that break every live conductor, by phases
POLES = {1: 2, 2: 3, 3: 4}


@rule(title="The main switch breaks the neutral", area=Area.ISOLATION, reference="BS 7671, 461.2 and 537.2")
def main_switches_break_the_neutral(case: Case) -> Iterator[Outcome]:
    """On single-phase and on TT always; on three-phase TN three poles with a neutral link are told."""
    for board in case.job.boards:
        if board.phases is None or board.main_switch_poles is None:
            yield blank(name_of(board), board, "phases", "main_switch_poles")
            continue
        needed = POLES[board.phases]
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
