"""Formulas of strangers: none is ever computed, and those that could act when somebody opens the file are refused."""

import re

from pipeline.errors import WorkbookRefusedError

# functions that fetch from or hand over to something outside of the workbook
ACTING = re.compile(
    r"(?<![\w.])(?:_xlfn\.|_xll\.|_xlws\.)*"
    r"(?:WEBSERVICE|RTD|DDE|DDEINIT|CALL|REGISTER(?:\.ID)?|EXEC|IMAGE|STOCKHISTORY|SQL\.REQUEST"
    r"|IMPORT(?:DATA|XML|HTML|RANGE|FEED)|CUBE\w+)\s*\(",
    re.IGNORECASE,
)
QUOTED = re.compile(r'"(?:[^"]|"")*"')


def refuse_acting(formula: str) -> None:
    """Raise WorkbookRefusedError for a formula that starts a program or reaches into a network."""
    bare = QUOTED.sub('""', formula)
    # outside of quotation marks the bar has one use only: program|topic!item
    if "|" in bare or ACTING.search(bare):
        raise WorkbookRefusedError(
            "The workbook holds a formula that starts a program or fetches something from a network.",
            "Do not open it. Ask the sender where it came from, and type the week into a fresh workbook.",
        )
