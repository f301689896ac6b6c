"""`python -m pipeline.demo FOLDER` writes the demo week: its workbook, and its photos beside it."""

import sys
from pathlib import Path

from pipeline.demo.photos import drawing
from pipeline.demo.week import demo_rows
from pipeline.workbook.write import write_workbook

WORKBOOK = "demo-week.xlsx"
PHOTOS = "photos"


def write_demo(folder: Path) -> Path:
    """Write workbook and photos into a folder, replacing those of the same names; the workbook's path."""
    rows = demo_rows()
    photos = folder / PHOTOS
    photos.mkdir(parents=True, exist_ok=True)
    for row in rows["Photos"]:
        job, file, shows, caption = (str(row[each]) for each in ("job", "file", "shows", "caption"))
        (photos / file).write_bytes(drawing(job, shows, caption))
    workbook = folder / WORKBOOK
    write_workbook(workbook, rows)
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
