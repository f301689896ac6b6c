"""How a mark looks: one hue in three depths, each with its letter and its border, so that it shows in grey as well."""

from typing import NamedTuple

from pipeline.facts.findings import MEANING, Verdict
from pipeline.workbook.hues import INK


class Depth(NamedTuple):
    """One depth: its letter, the colour of ground and letters, the line around the cell."""

    letter: str
    ground: str
    letters: str
    line: str


FAIL = Depth("F", INK, "FFFFFF", "thin")
QUERY = Depth("Q", "8DB4C0", "000000", "dashed")
NOTE = Depth("N", "DCE9ED", "000000", "dotted")
DEPTHS = (FAIL, QUERY, NOTE)
"""Gravest first: where two marks lie on one cell, the first one counts."""

_BY_VERDICT = {
    Verdict.FAIL: FAIL,
    Verdict.QUERY: QUERY,
    Verdict.NOT_ASSESSED: QUERY,
}


def depth_of(verdict: Verdict) -> Depth:
    """The depth in which a verdict is marked."""
    return _BY_VERDICT.get(verdict, NOTE)


def legend() -> tuple[str, ...]:
    """The letters with the verdicts that they stand for, and what each of these means."""
    return tuple(f"{depth_of(each).letter}  {each}: {said}." for each, said in MEANING.items())


def formula_of(depth: Depth) -> str:
    """The formula of a mark's format: always true, and by its words known again after any program has saved it."""
    return f'LEN("handover mark {depth.letter}")&gt;0'


MARK = b"handover mark "


def differential(depth: Depth) -> bytes:
    """The format that a mark lays over a cell."""
    sides = "".join(
        f'<{side} style="{depth.line}"><color rgb="FF{INK}"/></{side}>' for side in ("left", "right", "top", "bottom")
    )
    return (
        f'<dxf><font><b val="{int(depth is FAIL)}"/><color rgb="FF{depth.letters}"/></font>'
        f'<fill><patternFill patternType="solid"><fgColor rgb="FF{depth.ground}"/><bgColor rgb="FF{depth.ground}"/>'
        f"</patternFill></fill><border>{sides}</border></dxf>"
    ).encode()
