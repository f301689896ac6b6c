"""Marks that people type instead of a value: a blank cell is honest, a dash is not."""

import re

from pipeline.facts.field import Field
from pipeline.workbook.parsed import Parsed, fail, same, visible

FILLERS = frozenset(
    {
        "tbc", "tba", "tbd", "to follow", "to be confirmed", "to be advised", "as before", "as above", "see above",
        "same", "same as above", "ditto", "do.", "dto", "n/k", "nk", "not known", "not recorded", "later", "pending",
        "todo", "to do", "xxx", "xx", "asdf", "lorem ipsum",
    }
)  # fmt: skip
# what programs print where a value is missing; the case matters: 'none' is a word, 'None' is a slip of a program
MACHINE_WORDS = frozenset({"None", "NULL", "null", "nan", "NaN", "NAN", "undefined", "NaT", "inf", "-inf", "<NA>"})
SIGNS = re.compile(r"""[\s\-–—−_.…·*?!"“”″〃'’`~/\\|=+,;:#]+""")


def placeholder(typed: str, field: Field, expected: str) -> Parsed | None:
    """Why a text stands for nothing, or None where it may stand for something."""
    text = typed.strip()
    if text in MACHINE_WORDS:
        message = f"'{field.heading}' holds '{text}', which a program wrote where a value was missing."
    elif SIGNS.fullmatch(typed) or same(typed) in FILLERS:
        message = f"'{field.heading}' holds '{visible(text)}', which stands for a value but is none."
    else:
        return None
    return fail(
        "cell_holds_no_placeholder",
        message,
        expected,
        "Type the value from the site sheet, or clear the cell where nothing is known.",
    )
