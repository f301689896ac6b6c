"""What an entry adds, in the words of the entries, and what becomes of the jobs."""

import re

from pipeline.errors import WorkbookRefusedError
from pipeline.facts.sheets import BY_TITLE, FIRST_ROW
from tests.catalogue.surgery import split
from tests.catalogue.week import JOBS, added, base_rows, opened


def spoilt(entry, change, spot):
    """What a change of this entry adds, the jobs that are not made, and the refusal if there is one."""
    book = opened()
    change(book, spot)
    photos = entry.photos(spot) if entry.photos else None
    try:
        news, held = added(book.content(), photos=photos)
    except WorkbookRefusedError as refusal:
        return [], list(JOBS), refusal
    return sorted(f"{place_of(cell, spot)} {rule} {verdict}" for cell, rule, verdict in news), held, None


def place_of(place, spot):
    """A place as the entries write it: told from the spoilt row."""
    match = re.fullmatch(r"(.*) ([A-Z]+[0-9]+)", place)
    if not match or match[1] not in BY_TITLE:
        return f"[{place}]"
    sheet, (column, number) = match[1], split(match[2])
    fields = list(BY_TITLE[sheet].row.fields())
    if column > len(fields):
        return f"[{place}]"
    attribute = fields[column - 1]
    if (sheet, number) == (spot.sheet, spot.number):
        return attribute
    rows = base_rows().get(sheet, [])
    job = rows[number - FIRST_ROW].get("job") if 0 <= number - FIRST_ROW < len(rows) else None
    if job is None or job == spot.job:
        return f"{sheet}.{attribute}"
    return f"{job}:{sheet}.{attribute}"
