"""`python -m pipeline.demo FOLDER` writes the demo week: its workbook, its photos, and what each column takes."""

import sys
from pathlib import Path

from pipeline.demo.photos import drawing
from pipeline.demo.week import demo_rows
from pipeline.workbook.field_reference import FILE, field_reference
from pipeline.workbook.write import write_workbook

WORKBOOK = "demo-week.xlsx"
PHOTOS = "photos"


def write_demo(folder: Path) -> Path:
    """Write workbook, photos and the list of columns, replacing those of the same names; the workbook's path."""
    rows = demo_rows()
    photos = folder / PHOTOS
    photos.mkdir(parents=True, exist_ok=True)
    for row in rows["Photos"]:
        job, file, shows, caption = (str(row[each]) for each in ("job", "file", "shows", "caption"))
        (photos / file).write_bytes(drawing(job, shows, caption))
    workbook = folder / WORKBOOK
    write_workbook(workbook, rows)
    (folder / FILE).write_text(field_reference(), encoding="utf-8", newline="\n")
    return workbook


def main(arguments: list[str]) -> int:
    """Write the demo into the folder named; 2 where none or more than one is named."""
    if len(arguments) != 1:
        sys.stderr.write("usage: python -m pipeline.demo FOLDER\n")
        return 2
    sys.stdout.write(f"{write_demo(Path(arguments[0]))}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
