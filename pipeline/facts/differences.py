"""What differs between two records of one job: each value as typed before and after."""

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.facts.record import Json
from pipeline.facts.sheets import SHEETS

MOST_NAMED = 12
SHEET_OF = {sheet.part: sheet for sheet in SHEETS if sheet.part}


@dataclass(frozen=True, slots=True)
class Difference:
    """One field of one row: sheet, row (empty on sheets with one row a job), title, and its value before and after."""

    sheet: str
    row: str
    title: str
    before: str
    after: str

    @property
    def field(self) -> str:
        """The field without its values, which may name a person."""
        return " ".join(filter(None, (self.sheet, self.row, self.title)))


def differences(before: Json, after: Json) -> list[Difference]:
    """Every value that differs between two records, in the order of the sheets; rows are matched by their key."""
    found: list[Difference] = []
    for part in SHEET_OF:
        old, new = (_rows(part, record.get("job", {}).get(part, ())) for record in (before, after))
        for key in dict.fromkeys((*old, *new)):
            found += _of_row(part, key, old.get(key, {}), new.get(key, {}))
    return [*found, *_photos(before, after)]


def changed_fields(before: Json, after: Json) -> str:
    """The fields that differ in one line, without their values, so that it names nobody."""
    names = list(dict.fromkeys(each.field for each in differences(before, after)))
    more = [f"and {len(names) - MOST_NAMED} more"] if len(names) > MOST_NAMED else []
    return "; ".join([*names[:MOST_NAMED], *more])


def _rows(part: str, rows: object) -> dict[tuple[str, int], Json]:
    """The rows of one sheet by the texts that name them, counted where several have the same."""
    listed = rows if isinstance(rows, list) else [rows] if isinstance(rows, dict) else []
    keys = [name for name, field in SHEET_OF[part].row.fields().items() if field.key and name != "job"]
    found: dict[tuple[str, int], Json] = {}
    for row in listed:
        name = " ".join(filter(None, (_text(row.get(each, {})) for each in keys))) if isinstance(rows, list) else ""
        found[name, sum(1 for other, _ in found if other == name)] = row
    return found


def _of_row(part: str, key: tuple[str, int], old: Json, new: Json) -> Iterator[Difference]:
    """The fields of one row that differ."""
    for name, field in SHEET_OF[part].row.fields().items():
        before, after = _text(old.get(name, {})), _text(new.get(name, {}))
        if before != after:
            yield Difference(SHEET_OF[part].title, key[0], field.title, before, after)


def _photos(before: Json, after: Json) -> Iterator[Difference]:
    """Photos whose content differs."""
    old, new = (record.get("job", {}).get("photo_sums", {}) for record in (before, after))
    for name in sorted({*old, *new}):
        if old.get(name) != new.get(name):
            yield Difference("Photos", name, "content", old.get(name, "")[:16], new.get(name, "")[:16])


def _text(cell: Json) -> str:
    """A value as typed, else as shown."""
    return str(cell.get("typed") or cell.get("shown") or "")
