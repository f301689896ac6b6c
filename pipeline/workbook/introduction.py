"""The words of the sheet "Start here": what to type where, how a reading is typed, and who may use the workbook."""

from pipeline.facts.sheets import FIRM_FILE_CELL, LISTS, SHARED, SHEETS, Belongs

TITLE = "Charge-point jobs of one week"
SUBTITLE = "Type each site sheet once; certificates, instructions and notices are made from what stands here."
VERSION_LABEL = "Version of this workbook"
FIRM_FILE_LABEL = "Workbook of the firm, if apart"

Section = tuple[str, tuple[tuple[str, str], ...]]


def sections() -> tuple[Section, ...]:
    """Headings, each with its lines of a short label and a sentence."""
    return (
        ("Caution", _CAUTION),
        ("What to do, in this order", _ORDER),
        ("How to type", _TYPING),
        ("Sheets that are filled in once", _abouts(Belongs.WEEK)),
        ("Sheets that are filled in for each job", _abouts(Belongs.JOB)),
        ("Sheets that the check fills in for you", _abouts(Belongs.OFFICE)),
        ("Colours", _COLOURS),
    )


_CAUTION = (
    (
        "Who may use it",
        (
            "Office staff may type; what is typed must come from the site sheet of the electrician who did the work. "
            "Only a qualified electrician may design, install, test, or decide that a reading is good enough."
        ),
    ),
    (
        "A bad reading",
        (
            "Type it as it was measured. If a point failed a test, ring the electrician today: "
            "it has to be isolated and locked off until it is mended and tested again."
        ),
    ),
    (
        "What it is not",
        (
            "The checks assist the person who signs and do not replace that person's judgement. "
            "Local codes and licensed practice prevail."
        ),
    ),
    ("Personal data", "Names, addresses and telephone numbers only in the columns that ask for them."),
)

_ORDER = (
    (
        "1. Once",
        (
            "Fill in the sheets of the firm (listed below) and keep them up to date. They may stand in a workbook of "
            f"their own: type its file name into {FIRM_FILE_CELL} above, keep it in the same folder, and leave "
            f"{', '.join(SHARED[:-1])} and {SHARED[-1]} empty here. Defaults stay in the week's own workbook."
        ),
    ),
    ("2. Every week", "Start from a copy; remove last week's rows from Jobs onward, keep the sheets of the firm."),
    (
        "3. For each job",
        (
            "First its row on Jobs, then its rows on the other sheets from left to right. "
            "Rows of one job carry the same job reference. Leave out the sheets that do not concern it."
        ),
    ),
    ("4. Photos", "Put them into a folder called photos beside this workbook and name each file on the sheet Photos."),
    (
        "5. Check",
        (
            "Save, then run: handover check. It leaves a copy of this workbook in which each cell that is missing "
            "or odd is marked and explained. Correct the copy and check that; marks are taken out by themselves."
        ),
    ),
    ("6. Make", "Then run: handover build. Jobs with nothing to mend get their pack for the supervisor to sign."),
    (
        "7. Answers",
        (
            "A query that is right as it stands is answered on the sheet Answers of the copy, by a person who is "
            "competent to judge it: person, reason, date. Never answer a query on another's behalf."
        ),
    ),
)

_TYPING = (
    ("A reading", "The figure as the instrument showed it, in the unit of the heading, with a point: 0.62"),
    (">999", "Above what the instrument can show; type the sign. Usual for insulation resistance."),
    ("<0.01", "Below what the instrument can show."),
    (
        "LIM: reason",
        (
            "The test could not be made. The reason stands behind LIM in the same cell, "
            "or on the sheet Readings in the column Reason for LIM."
        ),
    ),
    ("N/A", "The test does not apply here, e.g. phase sequence on a single-phase circuit."),
    ("Blank", "Not known yet. A blank is never taken as passed; no dash, no 'as before', no 0 for 'not tested'."),
    (
        "A date",
        (
            "Day/month/year with all four digits of the year, the day first: 04/03/2026 is 4 March. The cell shows the "
            "month in letters: compare, since an Excel that is set to month/day/year turns the two round."
        ),
    ),
    ("A choice", f"Pick from the list of the cell, or type it with the same letters; all words are on {LISTS}."),
    ("Several choices", "Where the note of the heading says so: separated by commas."),
    ("A second test", "A new row on Readings with attempt 2. The first row stays as it was."),
    ("The first line", "The line in grey under each heading is an example. It is not read; type below it."),
    ("Sheets, headings", "Do not rename, move or remove a sheet or a heading, and do not merge cells."),
)

_COLOURS = (
    ("Darker heading", "Needed in every row that is filled in."),
    ("Lighter heading", "Needed as soon as the job is tested."),
    ("White heading", "Only where it applies; the note of the heading says when."),
    ("Mark with a line", "Only in a copy with corrections: what the check found; the cell's note says what."),
    ("Shaded cell", "Unusual, or text where a number is expected: look again."),
    ("Shaded, red figure", "Impossible: the figure cannot be right in this unit."),
)


def _abouts(belongs: Belongs) -> tuple[tuple[str, str], ...]:
    """Title and purpose of the sheets of one kind."""
    return tuple((sheet.title, sheet.about) for sheet in SHEETS if sheet.belongs is belongs)
