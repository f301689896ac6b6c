"""How wide a text is, and how it is made to fit: sizes in points, widths in millimetres."""

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

MM_PER_POINT = 25.4 / 72
UNITS_PER_EM = 2048
FACE = "Liberation Sans"
ELLIPSIS = "…"
HARD_SPACE = "\u00a0"

Ink = tuple[int, int, int]
BLACK: Ink = (0, 0, 0)
WHITE: Ink = (255, 255, 255)


def grey(level: int) -> Ink:
    """A neutral ink, 0 black to 255 white."""
    return (level, level, level)


@dataclass(frozen=True, slots=True)
class Lettering:
    """How a text is set; `anchor` is the point of it that stands at the given place: left, middle or right."""

    size_pt: float = 7.0
    bold: bool = False
    anchor: str = "left"
    ink: Ink = BLACK


PLAIN = Lettering()
BOLD = Lettering(bold=True)


@cache
def _widths() -> dict[str, tuple[int, int]]:
    """Advance widths by character, regular and bold."""
    lines = (Path(__file__).parent / "liberation_sans.csv").read_text("ascii").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return {
        chr(code): (int(row["regular"]), int(row["bold"]))
        for row in rows
        for code in range(int(row["first"], 16), int(row["last"], 16) + 1)
    }


def advance(character: str, style: Lettering) -> float:
    """Width of one character; one that the table lacks counts as a full em, so that it never runs over."""
    width = _widths().get(character, (UNITS_PER_EM, UNITS_PER_EM))[style.bold]
    return width * style.size_pt * MM_PER_POINT / UNITS_PER_EM


def width(text: str, style: Lettering = PLAIN) -> float:
    """Width of a text on one line."""
    return sum(advance(each, style) for each in text)


def fits(text: str, room: float, style: Lettering = PLAIN) -> bool:
    """Whether a text fits into so many millimetres."""
    return width(text, style) <= room


def cut(text: str, room: float, style: Lettering = PLAIN, tail: str = "") -> str:
    """As much of a text's beginning as fits with an ellipsis and `tail` behind it; without room, the tail alone."""
    left = room - width(ELLIPSIS + tail, style)
    if left < 0:
        return tail
    kept = ""
    for each in text:
        left -= advance(each, style)
        if left < 0:
            break
        kept += each
    return kept.rstrip() + ELLIPSIS + tail


def wrap(text: str, room: float, style: Lettering = PLAIN) -> list[str]:
    """A text in lines of at most `room`, broken at spaces, within a word only where it alone is too long.

    Hard spaces hold their words together and come out as plain ones.
    """
    lines = [""]
    for word in text.split(" "):
        joined = f"{lines[-1]} {word}" if lines[-1] else word
        if fits(joined, room, style):
            lines[-1] = joined
            continue
        pieces = _pieces(word, room, style)
        lines = [*lines, *pieces] if lines[-1] else pieces
    return [line.replace(HARD_SPACE, " ") for line in lines] if lines[-1] else []


def _pieces(word: str, room: float, style: Lettering) -> list[str]:
    """A word in pieces that fit; usually the word itself."""
    pieces = [""]
    for each in word:
        if pieces[-1] and not fits(pieces[-1] + each, room, style):
            pieces.append("")
        pieces[-1] += each
    return pieces
