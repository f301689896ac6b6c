"""Turn a reservation into an order: all that making a pack needs, as plain bytes."""

import json
from pathlib import Path

from pipeline.disk import make_folder, write_durably
from pipeline.errors import MachineError
from pipeline.facts.record import fingerprint
from pipeline.facts.sheets import SHEETS
from pipeline.orders import Envelope, Json, Order


class PhotoStore:
    """Photos kept by content in the scratch folder until their packs are finished."""

    def __init__(self, folder: Path) -> None:
        """Keep photos in `folder`, which is made when needed."""
        self.folder = folder

    def keep(self, source: Path, sums: dict[str, str]) -> None:
        """Copy a job's photos in, each under its sum; raises MachineError when one changed since it was read."""
        make_folder(self.folder)
        for name, wanted in sums.items():
            target = self.folder / wanted
            if not _is(target, wanted):
                write_durably(target, read_photos(source, {name: wanted})[name])

    def take(self, sums: dict[str, str]) -> dict[str, bytes]:
        """The photos of a job by file name; raises MachineError for one that is not there as it was kept."""
        for name, wanted in sums.items():
            if not _is(self.folder / wanted, wanted):
                raise MachineError(
                    f"The photo {name} that was kept for this pack is gone or damaged.",
                    'Give its number up (handover void NUMBER --reason "why"), then build again.',
                )
        return {name: (self.folder / wanted).read_bytes() for name, wanted in sorted(sums.items())}


def read_photos(source: Path, sums: dict[str, str]) -> dict[str, bytes]:
    """A job's photos from beside its workbook; raises MachineError when one changed since it was read."""
    found = {name: (source / name).read_bytes() for name in sums}
    for name, content in found.items():
        if fingerprint(content) != sums[name]:
            raise MachineError(f"The photo {name} changed while the workbook was read.", "Run the same command again.")
    return found


def _is(path: Path, wanted: str) -> bool:
    """Whether a file is there with the content of that sum."""
    return path.is_file() and fingerprint(path.read_bytes()) == wanted


def order_of(record: bytes, envelope: Envelope, photos: dict[str, bytes], templates: dict[str, bytes]) -> Order:
    """The order for one pack."""
    return Order(record, envelope, templates, photos, workbook_rows(json.loads(record)))


def workbook_rows(record: Json) -> bytes:
    """The job's rows as typed, as a small workbook; equal records give equal bytes."""
    from openpyxl import Workbook  # noqa: PLC0415 - heavy, only where a pack is made

    from pipeline.workbook.write import without_clock  # noqa: PLC0415

    book = Workbook()
    book.remove(book.worksheets[0])
    for sheet in SHEETS:
        rows = record["job"].get(sheet.part) or []
        filled = [
            row for row in (rows if isinstance(rows, list) else [rows]) if any("typed" in cell for cell in row.values())
        ]
        if not filled:
            continue
        page = book.create_sheet(sheet.title)
        page.append([field.heading for field in sheet.row.fields().values()])
        for row in filled:
            page.append([row[attribute].get("typed", "") for attribute in sheet.row.fields()])
        for cells in page.iter_rows():
            for cell in cells:
                cell.data_type = "s"
    return without_clock(book)
