"""Weeks of any size: the demo's jobs that hold up, again and again under other names and with readings of their own."""

from copy import deepcopy
from pathlib import Path

from PIL import Image

from pipeline.demo.week import demo_rows
from pipeline.workbook.write import write_workbook

ROOT = Path(__file__).parents[2]
NO_PACK = ("LN-110", "LN-113", "LN-114", "LN-115", "LN-117")


def rows_of(jobs):
    """The rows of a week of so many jobs."""
    given = demo_rows()
    names = [row["job"] for row in given["Jobs"] if row["job"] not in NO_PACK]
    rows = {sheet: [row for row in each if "job" not in row] for sheet, each in given.items()}
    for number in range(jobs):
        source, again = names[number % len(names)], number // len(names)
        for sheet, each in given.items():
            rows[sheet] += [own(row, f"J-{number:04}", again) for row in each if row.get("job") == source]
    return rows


def own(row, job, again):
    """A row under another job's name: site, serial number, photo and readings are its own."""
    new = {**deepcopy(row), "job": job}
    if "site" in new:
        new["site"] = f"Unit {job[2:]}, {new['site']}"
    if "serial" in new:
        new["serial"] = f"{new['serial']}{job[2:]}"
    if "file" in new:
        new["file"] = f"{job.lower()}-{new['file']}"
    for name, most in (("rcd_time", 7), ("rcd_time_180", 5)):
        if isinstance(new.get(name), int):
            new[name] += again % most
    return new


def write_week(folder, jobs):
    """The workbook of such a week, with its photos beside it; gives the workbook's path."""
    rows = rows_of(jobs)
    (folder / "photos").mkdir(parents=True)
    for row in rows["Photos"]:
        name = row["file"]
        with Image.open(ROOT / "inputs" / "photos" / name.split("-", 2)[2]) as photo:
            photo.putpixel((0, 0), (int(name[2:6]) % 256, int(name[2:6]) // 256, 9))
            photo.save(folder / "photos" / name, quality=88)
    write_workbook(folder / "week.xlsx", rows)
    return folder / "week.xlsx"
