"""Cells that name a row of another sheet: the name has to be there, and a near miss is only suggested."""

import re

from pipeline.facts.field import Field
from pipeline.facts.findings import Verdict
from pipeline.facts.row import Row
from pipeline.facts.rows.firm import Instrument, Person
from pipeline.facts.rows.inspections import Inspection
from pipeline.workbook.notices import ORPHAN
from pipeline.workbook.parsed import Remark, did_you_mean, same, visible

ALIKE = str.maketrans({"O": "0", "o": "0", "I": "1", "l": "1", "i": "1", "L": "1"})


Listed = dict[str, frozenset[str]]
"""The names of a list, each with what it can do: an instrument's functions, a person's roles."""


def abilities_of(row: Row) -> frozenset[str]:
    """What a row of a list can do; nothing for rows of which that is not asked."""
    can = row.functions if isinstance(row, Instrument) else row.roles if isinstance(row, Person) else None
    return frozenset(map(str, can or ()))


def unlisted(name: str, field: Field, listed: Listed) -> Remark | None:
    """What to say of a name that its list does not have; None where it has it.

    Only what can do the thing is suggested; a row that does not say what it can do may be meant.
    """
    if name in listed:
        return None
    known = [each for each, can in listed.items() if not (field.able and can) or field.able & can]
    twins = [each for each in known if _plain(each) == _plain(name)]
    message = f"'{visible(name)}' is not on the sheet '{field.refers}'."
    hint = f" Did you mean '{twins[0]}'?" if twins else did_you_mean(name, known)
    return Remark(
        "reference_is_listed",
        Verdict.QUERY if twins else Verdict.FAIL,
        f"{message}{hint}",
        f"a name from the sheet '{field.refers}'",
        f"Mend the name, or add its row on the sheet '{field.refers}'.",
    )


def orphan(typed: str, lacking: tuple[list[str], list[str]]) -> Remark:
    """What to say of a row that belongs to no job.

    `lacking` are the jobs that have no such row yet, and of them those without any row on this sheet: a job that
    has its row cannot be meant.
    """
    text = visible(typed)
    what = f"The job '{text}' is not on the sheet 'Jobs'." if text else "The row has no job reference."
    without, due = lacking
    twins = [each for each in without if _plain(each) == _plain(text)]
    hint = f" Did you mean '{twins[0]}'?" if len(twins) == 1 else did_you_mean(text, due) if text else ""
    return Remark(
        ORPHAN,
        Verdict.FAIL,
        f"{what}{hint} Nothing of the row is used.",
        "the reference of a job on the sheet 'Jobs'",
        "Make the reference here and on the sheet Jobs the same, or delete the row.",
    )


def _plain(name: str) -> str:
    """A name without what is easily mistaken: letters like digits, blanks, hyphens, case."""
    return re.sub(r"[\W_]", "", name.translate(ALIKE)).casefold()


def aspect_of(name: str) -> str | None:
    """The title of the inspected aspect that a remark names, or None."""
    titles = {same(each.title): each.title for attribute, each in Inspection.fields().items() if attribute != "job"}
    return titles.get(same(name))


def unlisted_aspect(name: str, field: Field) -> Remark:
    """What to say of a remark on an aspect that nobody inspects."""
    titles = [each.title for attribute, each in Inspection.fields().items() if attribute != "job"]
    return Remark(
        "reference_is_listed",
        Verdict.FAIL,
        f"'{field.heading}': '{visible(name)}' is no heading of the sheet 'Inspections'.{did_you_mean(name, titles)}",
        "the heading of an aspect on the sheet 'Inspections'",
        "Copy the heading from there.",
    )
