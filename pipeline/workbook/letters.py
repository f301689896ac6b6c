"""Which characters the documents' typeface has, from a table made of its own character maps."""

from functools import cache
from importlib.resources import files

TABLE = "letters.csv"
# they give the line its shape and need no letter of their own
LAYOUT = frozenset("\t\n")


@cache
def covered() -> frozenset[int]:
    """The code points that all four styles of the typeface can show."""
    lines = files("pipeline.workbook").joinpath(TABLE).read_text("ascii").splitlines()
    spans = (line.split(",") for line in lines if not line.startswith(("#", "first")))
    return frozenset(code for first, last in spans for code in range(int(first, 16), int(last, 16) + 1))


def not_covered(text: str) -> str:
    """The characters of a text that would print as empty boxes, sorted."""
    return "".join(sorted({each for each in text if ord(each) not in covered()} - LAYOUT))
