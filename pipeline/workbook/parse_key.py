"""Names that tie rows together: plain letters and digits, so that two that look alike are alike."""

import re

from pipeline.facts.field import Field
from pipeline.facts.findings import Verdict
from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.parsed import Parsed, Remark, fail, not_typed, stripped, visible
from pipeline.workbook.placeholders import placeholder

LONGEST = 24
JOB_NAME = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9-]*[A-Za-z0-9])?")
# what stands on a board's label or an instrument's sticker
DESIGNATION = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ./_+()-]*[A-Za-z0-9)+])?")
NOT_IN_JOB, NOT_IN_DESIGNATION = re.compile(r"[^A-Za-z0-9-]"), re.compile(r"[^A-Za-z0-9 ./_+()-]")
DEVICES = frozenset({"CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(10))})
# formats that show a name as it is held
PLAIN_FORMAT = re.compile(r"General|@|0|#|#?0_?.?")


def parse_key(cell: Cell, field: Field, *, job: bool = False) -> Parsed:
    """The name; one that breaks the rules still names its row, so that the finding reaches it."""
    refusal = not_typed(cell, field)
    if refusal:
        return refusal
    if cell.content is Content.DATE:
        return fail(
            "key_is_plain",
            f"'{field.heading}': Excel turned the name into a date ({cell.text}).",
            _expected(job=job),
            "Format the cell as Text and type the name again.",
        )
    text = stripped(cell.text)
    trouble = _trouble(text, job=job)
    # a job called '..' is told for what it is: a name that would lead somewhere, not a mark for a missing one
    filler = None if job and trouble else placeholder(cell.text, field, _expected(job=job))
    if filler:
        return filler
    if trouble:
        # a broken name is shown with its odd characters spelt out, so that two such names stay two
        return Parsed(visible(text), (_refused(trouble, text, field, job=job),))
    return Parsed(" ".join(text.split()), _asides(text, cell, field))


def _trouble(text: str, *, job: bool) -> str:
    """What is wrong with a name, or nothing."""
    if len(text) > LONGEST:
        return f"is longer than {LONGEST} characters"
    form, odd = (JOB_NAME, NOT_IN_JOB) if job else (DESIGNATION, NOT_IN_DESIGNATION)
    if form.fullmatch(text):
        return "is a word that Windows keeps for itself" if job and text.upper() in DEVICES else ""
    strange = sorted(set(odd.findall(text)))
    named = ", ".join("a blank" if each == " " else visible(each) for each in strange)
    return f"holds {named}" if strange else "begins or ends with a sign"


def _refused(trouble: str, text: str, field: Field, *, job: bool) -> Remark:
    """Say why a name is refused."""
    return Remark(
        "key_is_plain",
        Verdict.FAIL,
        f"'{field.heading}': the name '{visible(text)}' {trouble}.",
        _expected(job=job),
        "Type a plain name here and wherever it is used.",
    )


def _asides(text: str, cell: Cell, field: Field) -> tuple[Remark, ...]:
    """Blanks around a name, and zeros that only the format shows."""
    remarks = []
    if text != cell.text:
        note = f"'{field.heading}': blanks around '{visible(text)}' are left out."
        remarks.append(Remark("key_is_plain", Verdict.NOTE, note))
    if cell.content is Content.NUMBER and not PLAIN_FORMAT.fullmatch(cell.format.split(";")[0]):
        remarks.append(
            Remark(
                "key_is_shown_as_held",
                Verdict.QUERY,
                f"'{field.heading}' holds {text}, but its format '{visible(cell.format)}' shows it otherwise.",
                "the same name in the cell and on the screen",
                "Format the cell as Text and type the name as it is meant.",
            )
        )
    return tuple(remarks)


def _expected(*, job: bool) -> str:
    """What a name may be."""
    more = "" if job else ", blanks and . / _ + ( ) inside"
    return f"letters A to Z, digits, hyphens{more}; at most {LONGEST} characters"
