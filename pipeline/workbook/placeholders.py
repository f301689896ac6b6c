"""Marks that people type instead of a value: a blank cell is honest, a dash is not."""

import re

from pipeline.facts.field import Field, Needed
from pipeline.workbook.parsed import SITE_SHEET, Parsed, fail, same, visible

FILLERS = frozenset(
    {
        "tbc", "tba", "tbd", "to follow", "to be confirmed", "to be advised", "as before", "as above", "see above",
        "same", "same as above", "ditto", "do.", "dto", "n/k", "nk", "not known", "not recorded", "later", "pending",
        "todo", "to do", "xxx", "xx", "asdf", "lorem ipsum", "idem", "not taken", "not measured", "no reading", "n/m",
    }
)  # fmt: skip
# no answer where a document cannot do without one; a remark may well say so
NO_ANSWER = frozenset(
    {
        "unknown",
        "missing",
        "not available",
        "not stated",
        "not given",
        "not supplied",
        "none given",
        "nil",
        "n/s",
        "no idea",
    }
)
# what programs print where a value is missing; the case matters: 'none' is a word, 'None' is a slip of a program
MACHINE_WORDS = frozenset(
    {
        "None", "NULL", "null", "nan", "NaN", "NAN", "undefined", "NaT", "inf", "-inf", "<NA>", "(null)", "(blank)",
        "[object Object]", "{}", "[]", "NoneType", "<null>", "nullptr",
    }
)  # fmt: skip
# how people write that something does not apply
NOT_APPLICABLE = re.compile(r"n\.? ?[/\\]? ?a\.?|not applicable", re.IGNORECASE)
SIGNS = re.compile(r"""[\s\-–—−_.…·*?!"“”″〃'’`~/\\|=+,;:#]+""")


def as_not_applicable(typed: str, field: Field) -> str:
    """The note on 'N/A' in other letters."""
    return f"'{field.heading}': '{visible(typed)}' is read as 'N/A'."


def placeholder(typed: str, field: Field, expected: str) -> Parsed | None:
    """Why a text stands for nothing, or None where it may stand for something."""
    text, fillers = typed.strip(), FILLERS if field.needed is Needed.NEVER else FILLERS | NO_ANSWER
    if text in MACHINE_WORDS:
        message = f"'{field.heading}' holds '{text}', which a program wrote where a value was missing."
    elif SIGNS.fullmatch(typed) or same(typed) in fillers:
        message = f"'{field.heading}' holds '{visible(text)}', which stands for a value but is none."
    else:
        return None
    return fail(
        "cell_holds_no_placeholder",
        message,
        expected,
        f"Type the value from {SITE_SHEET}; where it is not there, ask who did the work. A blank never passes.",
    )
