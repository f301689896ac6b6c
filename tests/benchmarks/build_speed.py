"""How long a build takes beside the converter alone, and beside the script that people write.

    python -m tests.benchmarks.build_speed [JOBS] [PLAIN]

The floor is the time that LibreOffice needs for the very same Word files in batches on all cores, doing nothing else.
The plain script fills each template with docxtpl and starts LibreOffice for each document; it is measured on the
documents of the first PLAIN jobs and told per document.
"""

import shutil
import subprocess
import sys
import tempfile
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import psutil

from pipeline.stages.workers import cores
from pipeline.tools.program import command, find_program
from tests.benchmarks.weeks import ROOT, write_week

BATCH = 50


class Memory(threading.Thread):
    """The largest resident memory of a process and all below it, looked at ten times a second."""

    def __init__(self, number):
        super().__init__(daemon=True)
        self.peak, self._top = 0, psutil.Process(number)
        self.start()

    def run(self):
        while self._top.is_running():
            total = 0
            try:
                for each in [self._top, *self._top.children(recursive=True)]:
                    total += each.memory_info().rss
            except psutil.Error:
                pass
            self.peak = max(self.peak, total)
            time.sleep(0.1)


def timed(*words):
    """A command of the program: seconds, and the peak of its memory in MB."""
    start = time.perf_counter()
    process = subprocess.Popen([sys.executable, "-m", "pipeline", *map(str, words)], cwd=ROOT, stdout=subprocess.PIPE)
    memory = Memory(process.pid)
    told, _ = process.communicate()
    assert process.returncode == 0, told.decode()[-2000:]
    return time.perf_counter() - start, memory.peak / 1e6


def converted(files, folder, number):
    """Seconds that one LibreOffice needs for files in batches, with a profile of its own that it knows already."""
    target = folder / f"target-{number}"
    for start in range(0, len(files), BATCH):
        words = command(find_program(), folder / f"profile-{number}", files[start : start + BATCH], target)
        subprocess.run(words, capture_output=True, check=False)


def floor(files, folder):
    """Seconds for all files on all cores."""
    count = cores()
    flat = []
    (folder / "words").mkdir()
    for number, path in enumerate(files):
        flat.append(folder / "words" / f"{number}.docx")
        shutil.copyfile(path, flat[-1])
    for number in range(count):
        converted(flat[:1], folder, number)
        converted(flat[:1], folder, number)
    start = time.perf_counter()
    with ThreadPoolExecutor(count) as pool:
        list(pool.map(lambda number: converted(flat[number::count], folder, number), range(count)))
    seconds = time.perf_counter() - start
    made = sum(1 for number in range(count) for _ in (folder / f"target-{number}").glob("*.pdf"))
    assert made >= len(files), f"{made} of {len(files)} converted"
    return seconds


def plain(files, folder):
    """Seconds per document of the plain script, given the filled files: filling them again, and a start for each."""
    from docxtpl import DocxTemplate

    start = time.perf_counter()
    for number, path in enumerate(files):
        template = DocxTemplate(path)
        template.render({})
        template.save(folder / f"plain-{number}.docx")
        words = command(find_program(), folder / "profile-0", [folder / f"plain-{number}.docx"], folder / "plain")
        subprocess.run(words, capture_output=True, check=False)
    return (time.perf_counter() - start) / len(files)


def change_one(workbook):
    """Correct one reading of one job, as an admin does."""
    from openpyxl import load_workbook

    book = load_workbook(workbook)
    page = book["Charge points"]
    heads = {cell.value: cell.column for cell in next(page.iter_rows(min_row=1, max_row=3)) if cell.value} | {
        cell.value: cell.column for row in page.iter_rows(min_row=1, max_row=3) for cell in row if cell.value
    }
    column = next(number for head, number in heads.items() if str(head).startswith("Serial"))
    cell = next(page.cell(row, column) for row in range(page.max_row, 1, -1) if page.cell(row, column).value)
    cell.value = f"{cell.value}X"
    book.save(workbook)


def measure(jobs, plain_jobs, folder):
    """Everything, as a table of figures by name."""
    from pypdf import PdfReader

    workbook, out = write_week(folder / "week", jobs), folder / "out"
    out.mkdir()
    help_seconds, _ = timed("--help")
    build_seconds, peak = timed("build", workbook, "--out", out)
    packs = sorted((out / "packs").iterdir())
    words = [path for pack in packs for path in sorted(pack.glob("*.docx"))]
    pages = sum(len(PdfReader(path).pages) for path in out.glob("packs/*/*-handover-pack.pdf"))
    again_seconds, _ = timed("build", workbook, "--out", out)
    change_one(workbook)
    one_seconds, _ = timed("build", workbook, "--out", out, "--revise", f"J-{jobs - 1:04}", "--reason", "Serial number")
    floor_seconds = floor(words, folder)
    first = [path for pack in packs[:plain_jobs] for path in sorted(pack.glob("*.docx"))]
    plain_seconds = plain(first, folder) * len(words)
    quick_seconds, _ = timed("verify", out, "--quick")
    return {
        "jobs": len(packs),
        "Word files a job": len(words) / len(packs),
        "pages a job": pages / len(packs),
        "help s": help_seconds,
        "build s": build_seconds,
        "build s a job": build_seconds / len(packs),
        "peak MB": peak,
        "floor s": floor_seconds,
        "build / floor": build_seconds / floor_seconds,
        f"plain script s (from {len(first)} documents)": plain_seconds,
        "plain script / build": plain_seconds / build_seconds,
        "nothing changed s": again_seconds,
        "one job changed s": one_seconds,
        "verify --quick s": quick_seconds,
    }


def main(jobs=100, plain_jobs=3):
    with tempfile.TemporaryDirectory(prefix="speed-") as folder:
        for name, figure in measure(jobs, plain_jobs, Path(folder)).items():
            print(f"{name:40} {figure:10.2f}")  # noqa: T201


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
