"""A week built and a pack released in a process that may die: forked from this one, so that loading costs nothing.

Making is stood in for by files that depend on the order alone; everything from the reservation to the closing entry is
the program's own. The same scene with the real make is what `real` asks for.
"""

import io
import json
import mmap
import os
import signal
import subprocess
import sys
import threading
import time
import traceback
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from pipeline import __version__, cli, issue, points, run
from pipeline.commands import told as after_build
from pipeline.demo.__main__ import write_demo
from pipeline.demo.spoil import keep_jobs, set_cell
from pipeline.demo.week import demo_rows as make_rows
from pipeline.desk_commands import DEMO_SIGNER
from pipeline.orders import Made
from pipeline.points import Point
from pipeline.progress import silent
from pipeline.run import Options, judge
from pipeline.signing import second
from pipeline.signing.key import PASSWORD_VARIABLE
from pipeline.stages import read
from pipeline.tools import libreoffice
from pipeline.workbook.write import write_workbook
from tests.audit.freeze import FROZEN
from tests.crash.invariants import MARK
from tests.signing.keys import PASSWORD, key_file

FIRST, SECOND, THIRD = "LN-101", "LN-102", "LN-103"
At = Callable[[Point, int], None]
TODAY = datetime.now(UTC).astimezone().date()


@dataclass(frozen=True)
class Ended:
    """How a run ended: its exit code (minus the signal, if one ended it), what it said, the points it passed."""

    code: int
    said: str
    sighed: str
    passed: tuple[Point, ...]
    mark: str
    calls: str = ""


class StandIn:
    """In the place of LibreOffice, where nothing is converted."""

    def __enter__(self):
        return self

    def __exit__(self, *_):
        return None

    def convert(self, documents):
        assert not documents
        return {}


def paper(name: str) -> bytes:
    """What stands for a pack where nobody reads it."""
    return b"%PDF pack " + name.encode()


@cache
def real_paper(name: str) -> bytes:
    """A real pack that can be signed, with a name of its own in a place that nobody looks at."""
    import pikepdf

    [one] = sorted((FROZEN / __version__ / "archive").glob("*/data/*-handover-pack.pdf"))
    content = io.BytesIO()
    with pikepdf.open(one) as pdf:
        pdf.Root.OfTheTests = pikepdf.String(name)
        pdf.save(content, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return content.getvalue()


class Scene:
    """Two workbooks of a week, the second with a revision and a new job, and everything that a run needs of them."""

    def __init__(self, home: Path, jobs: tuple[str, ...] = (FIRST, SECOND), *, real: bool = False) -> None:
        self.home, self.real = home, real
        self.change: Callable[[], object] = bool
        self.paper = paper
        write_demo(home)
        self.weeks = {}
        rows = keep_jobs(make_rows(), *jobs)
        self.first = self._written("first.xlsx", rows)
        self.one = self._written("one.xlsx", keep_jobs(make_rows(), FIRST))
        later = keep_jobs(make_rows(), *jobs, THIRD)
        self.second = self._written("second.xlsx", set_cell(later, "Jobs", FIRST, "occupier", "Robin Sample"))

    def _written(self, name: str, rows) -> str:
        path = self.home / name
        write_workbook(path, rows)
        self.weeks[str(path)] = judge(Options(path, self.home / "none"), silent)
        assert not [each for _, judged in self.weeks.values() for one in judged for each in one.holding]
        return str(path)

    def build(self, out: Path, week: str | None = None, *more: str) -> list[str]:
        """The command that builds a week; without one, that which completes."""
        return ["build", *([week] if week else []), "--out", str(out), *more]

    def revise(self, out: Path) -> list[str]:
        """The command that builds the second week."""
        return self.build(out, self.second, "--revise", FIRST, "--reason", "occupier added")

    def release(self, out: Path) -> list[str]:
        """The command that releases the first pack, with a scan."""
        scan = self.home / "scan.pdf"
        if not scan.exists():
            import pikepdf

            with pikepdf.new() as pdf:
                pdf.add_blank_page()
                pdf.save(scan)
        _, judged = self.weeks[self.first]
        by = judged[0].job.row.supervisor
        return ["release", "0001-1", "--by", by, "--on", TODAY.isoformat(), "--scan", str(scan), "--out", str(out)]

    def sign(self, out: Path) -> list[str]:
        """The command that signs whatever awaits its signature."""
        key = self.home / "key.p12"
        if not key.exists():
            key_file(key, DEMO_SIGNER, "curve")
        return ["sign", "--all", "--key", str(key), "--out", str(out)]

    def _made(self, orders, *_):
        """Small files that depend on nothing but the order."""
        for order in orders:
            name = order.envelope.name
            files = {f"{name}-record.json": order.record, f"{name}-handover-pack.pdf": self.paper(name)}
            files |= {f"{name}-cover.docx": b"cover " + name.encode()}
            yield Made(order.envelope, files, {"cover": 1})

    def run(self, command: list[str], at: At | None = None, tracer: "Tracer | None" = None) -> Ended:
        """Run a command in a process of its own; `at` is asked there at each point, with how often it was passed."""
        return self.start(command, at, tracer).end()

    def start(self, command: list[str], at: At | None = None, tracer: "Tracer | None" = None) -> "Process":
        """Start a command and leave it running, under the eyes of a tracer if one is given."""
        sheet, mark = Sheet(), uuid.uuid4().hex
        held, let_go = os.pipe()
        number = os.fork()
        if not number:
            os.read(held, 1)
            self._child(command, at, sheet, mark)
        if tracer:
            tracer.watch(number)
        os.write(let_go, b"x")
        for each in (held, let_go):
            os.close(each)
        return Process(number, sheet, mark, tracer)

    def _child(self, command: list[str], at: At | None, sheet: "Sheet", mark: str) -> None:
        """What the process does; never returns."""
        code = 99
        said, sighed = io.StringIO(), io.StringIO()
        passed: list[str] = []

        def note(point: Point) -> None:
            passed.append(point.name)
            sheet.write({"passed": passed})
            if at:
                at(point, passed.count(point.name))

        try:
            sys.stdout, sys.stderr = said, sighed
            os.environ |= {MARK: mark, PASSWORD_VARIABLE: PASSWORD}
            signal.signal(signal.SIGINT, signal.default_int_handler)
            self._stand_in()
            points.passed = note
            self.change()
            code = cli.main(command)
        except BaseException:  # noqa: BLE001 - whatever it is, it is shown and the process ends here
            sighed.write(traceback.format_exc())
        finally:
            sheet.write({"said": said.getvalue(), "sighed": sighed.getvalue(), "passed": passed})
            os._exit(code)

    def _stand_in(self) -> None:
        """Put what is quick in the place of what is slow, in this process alone."""
        # the judge of PDF/A works with threads of its own, which do not come along into a process that is forked
        second.failures = lambda *_: ()
        read.read = lambda _: None
        run.judge = lambda options, *_: self.weeks[str(options.workbook)]
        after_build._leave_copy = lambda *_: None
        if not self.real:
            issue.make_all = self._made
            run.need_machine = lambda: None
            libreoffice.Office = StandIn


class Sheet:
    """What a process tells: memory shared with it, so that telling is no call that could be refused."""

    def __init__(self) -> None:
        self._memory = mmap.mmap(-1, 1 << 20)

    def write(self, told: dict) -> None:
        content = json.dumps(told).encode()
        self._memory.seek(0)
        self._memory.write(len(content).to_bytes(4, "big") + content)

    def read(self) -> dict:
        self._memory.seek(0)
        content = self._memory.read(int.from_bytes(self._memory.read(4), "big"))
        return {"said": "", "sighed": "", "passed": [], **(json.loads(content) if content else {})}


class Tracer:
    """strace beside a process: it notes calls to the system, and refuses some of them if asked to."""

    def __init__(self, calls: str, refusal: str = "") -> None:
        self._words = ["-e", f"trace={calls}", *(["-e", f"inject={calls}:{refusal}"] if refusal else [])]

    def watch(self, number: int) -> None:
        """Begin with a process, which has not begun yet."""
        command = ["strace", "-f", "-qq", "-y", "-s", "0", *self._words, "-p", str(number)]
        self._process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
        self._log: list[str] = []
        self._reader = threading.Thread(target=lambda: self._log.extend(self._process.stderr))
        self._reader.start()
        while "TracerPid:\t0\n" in Path(f"/proc/{number}/status").read_text():
            time.sleep(0.001)

    def end(self) -> str:
        """What was noted, line by line."""
        self._process.wait()
        self._reader.join()
        return "".join(self._log)


@dataclass(frozen=True)
class Process:
    """A run under way."""

    number: int
    sheet: Sheet
    mark: str
    tracer: Tracer | None = None

    def end(self) -> Ended:
        """Wait for its end."""
        _, status = os.waitpid(self.number, 0)
        calls = self.tracer.end() if self.tracer else ""
        told = self.sheet.read()
        passed = tuple(Point[each] for each in told["passed"])
        return Ended(os.waitstatus_to_exitcode(status), told["said"], told["sighed"], passed, self.mark, calls)


def dying(point: Point, times: int) -> At:
    """What ends the process at a point, as a cut of power does: no clean-up, no word."""

    def at(passed: Point, count: int) -> None:
        if (passed, count) == (point, times):
            os.kill(os.getpid(), signal.SIGKILL)

    return at
