"""One round of the watcher: each complete workbook is built, answered beside it, and put away."""

import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from pipeline.disk import write_durably
from pipeline.errors import CommandError, MachineError, PipelineError, WorkbookRefusedError
from pipeline.facts.record import fingerprint
from pipeline.progress import silent
from pipeline.run import Options, Report, build
from pipeline.stages.commit import Outputs
from pipeline.stages.decide import Status
from pipeline.stages.leave import COPY_NAME, leave_copy
from pipeline.watch.folder import DONE, Watched, free_names, put_away
from pipeline.watch.memory import Memory

AGAIN_S = 300.0
"""After trouble with this machine a workbook is tried again so much later."""
AWAY = "cannot be read now. Nothing is lost: its workbooks are built once it is there again."
BACK = "can be read again."
FAULT = "A fault of the program, not of your workbook. Nothing half-made was issued."


@dataclass(frozen=True, slots=True)
class Result:
    """What a workbook gave: the note, and the marked copy if one could be made.

    `stays` says that the workbook is left where it is, `again` that it is to be tried later.
    """

    note: str
    copy: Path | None = None
    stays: bool = False
    again: bool = False


@dataclass(slots=True)
class Watcher:
    """What watches one folder: the second workbook lies there as well and is no week."""

    watched: Watched
    outputs: Outputs
    memory: Memory
    tell: Callable[[str], None]
    second: Path | None = None
    later: dict[str, tuple[str, float]] = field(default_factory=dict)
    away: bool = False

    def round(self) -> int:
        """Look once at every workbook; gives how many were built."""
        found = self.watched.workbooks()
        if self.away != (found is None):
            self.away = found is None
            self.tell(f"{self.watched.folder} {AWAY if self.away else BACK}")
        if found is None:
            return 0
        paths = [path for path in found if not self._is_second(path)]
        self.memory.forget_missing({path.name for path in paths})
        return sum(self._look(path) for path in paths)

    def _is_second(self, path: Path) -> bool:
        """Whether a file is the workbook of firm, people, instruments and models."""
        return self.second is not None and path.resolve() == self.second.resolve()

    def _look(self, path: Path) -> bool:
        """Build one workbook if it is complete, new, and not from this program; whether it was built."""
        content = self.watched.complete(path)
        if content is None:
            return False
        content_sum = fingerprint(content)
        if self.memory.wrote(content_sum) or self.memory.is_done(path.name, content_sum):
            return False
        tried, at = self.later.get(path.name, ("", 0.0))
        if tried == content_sum and time.monotonic() - at < AGAIN_S:
            return False
        try:
            result = self._build(path, content_sum)
        except FileNotFoundError:
            self.tell(f"{path.name} was taken away before it was read.")
            return False
        if result is None:
            return False
        self._answer(path, content_sum, result)
        return True

    def _build(self, path: Path, content_sum: str) -> Result | None:
        """Build, and put every kind of trouble into words; None where the file changed under our hands."""
        options = Options(path, self.outputs.root, self.second)
        try:
            report = build(options, silent)
        except PipelineError as trouble:
            if not path.exists():
                raise FileNotFoundError(path) from trouble
            refused = isinstance(trouble, WorkbookRefusedError | CommandError)
            said = f"{trouble.message}\n{trouble.remedy}"
            return Result(f"{'Refused' if refused else 'Not built'}. {said}", stays=True, again=not refused)
        except Exception:  # noqa: BLE001 - a boundary: the watcher goes on with the other files
            self.outputs.root.mkdir(parents=True, exist_ok=True)
            trace = self.outputs.root / "fault.txt"
            trace.write_text(traceback.format_exc(), encoding="utf-8")
            return Result(f"{FAULT}\nSend the file {trace} to whoever looks after it.", stays=True)
        return self._told(report, path) if report.week.sha256 == content_sum else None

    def _told(self, report: Report, path: Path) -> Result:
        """The note of a build, and its marked copy."""
        from pipeline import report as words  # noqa: PLC0415 - needs the run
        from pipeline.telling import groups, questions  # noqa: PLC0415

        write_durably(self.outputs.corrections, words.corrections(report).encode())
        lines = [words.totals(report)]
        if report.recovered:
            lines.append(f"Finished what an earlier run had begun: {', '.join(report.recovered)}.")
        for job, outcome, pack, todo in words.summary_rows(report):
            lines.append(f"{job}: {outcome}{f' ({pack})' if pack else ''}. Next: {todo}.")
        lines += [*words.answers(report), *words.notices(report, self.outputs.held)]
        lines += [f"Failed on this machine: {each}" for each in words.troubles(report.decisions)]
        if report.machine_trouble:
            lines += [report.machine_trouble.message, report.machine_trouble.remedy]
        copy = None
        try:
            copy = leave_copy(report.week.content, path, self.outputs, groups(report), questions(report))
        except MachineError as trouble:
            lines += [trouble.message, trouble.remedy]
        if any(each.number for each in report.decisions):
            lines.append(f"Packs: {self.outputs.packs}")
        lines.append(f"What to fix, as text: {self.outputs.corrections}")
        again = report.machine_trouble is not None or any(each.status is Status.FAILED for each in report.decisions)
        return Result("\n".join(lines), copy, stays=again or not report.decisions, again=again)

    def _answer(self, path: Path, content_sum: str, result: Result) -> None:
        """Leave copy and note beside the workbook, and put it away or remember it."""
        now = datetime.now(UTC).astimezone()
        moved = None if result.stays else put_away(path, content_sum, now.date())
        beside = self._copy_beside(path, result.copy) if result.copy else None
        if result.again:
            self.later[path.name] = (content_sum, time.monotonic())
        elif moved is None:
            self.memory.note_done(path.name, content_sum)
        lines = [f"{path.name}, {now:%d %b %Y %H:%M}", "", result.note]
        if beside:
            lines.append(f"Every finding at its cell: {beside.name} (correct that file, and leave it here)")
        elif result.copy:
            lines.append(f"Every finding at its cell: {result.copy}")
        lines.append(_where(moved, result))
        note = self._write_note(path, "\n".join(lines) + "\n")
        first = result.note.splitlines()[0].removesuffix(".")
        self.tell(f"{path.name}: {first}. Note: {note}")

    def _copy_beside(self, path: Path, copy: Path) -> Path | None:
        """The marked copy beside the workbook, never over a file that somebody worked in; None where none can be."""
        content = copy.read_bytes()
        stem = COPY_NAME.sub("", path.stem)
        self.memory.note_own(fingerprint(content))
        try:
            for target in free_names(path.parent, f"{stem}-corrections", ".xlsx"):
                if not target.exists() or (target != path and self.memory.wrote(fingerprint(target.read_bytes()))):
                    write_durably(target, content)
                    return target
        except OSError:
            return None
        return None

    def _write_note(self, path: Path, text: str) -> Path:
        """The note beside the workbook, or in the outputs where nothing may be written there."""
        name = f"{path.stem}-result.txt"
        with suppress(OSError):
            write_durably(path.parent / name, text.encode())
            return path.parent / name
        self.outputs.watched.mkdir(parents=True, exist_ok=True)
        write_durably(self.outputs.watched / name, text.encode())
        return self.outputs.watched / name


def _where(moved: Path | None, result: Result) -> str:
    """Where the workbook is now."""
    if moved:
        return f"The workbook is now in {DONE}/{moved.parent.name}/{moved.name}."
    if result.again:
        return "The workbook stays where it is and is tried again in some minutes."
    return "The workbook stays where it is; it is built again once it is changed."


@contextmanager
def watching(folder: Path, outputs: Outputs, tell: Callable[[str], None], second: Path | None) -> Iterator[Watcher]:
    """The only watcher with these outputs; raises CommandError or MachineError where there can be none."""
    from filelock import FileLock, Timeout  # noqa: PLC0415 - only while watching

    if not folder.is_dir():
        raise CommandError(f"There is no folder {folder}.", "Make the folder first, or give another name.")
    outputs.work.mkdir(parents=True, exist_ok=True)
    lock = FileLock(outputs.work / "watch.lock")
    try:
        lock.acquire(timeout=0)
    except Timeout as trouble:
        raise MachineError(
            "Another watcher already works with these outputs.",
            "Stop that one first, or give other outputs: --out DIR.",
        ) from trouble
    try:
        yield Watcher(Watched(folder), outputs, Memory(outputs.work / "watch.json"), tell, second)
    finally:
        lock.release()
