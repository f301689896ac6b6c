"""Word files in, PDFs out: batches over two LibreOffice processes, with the one document at fault named.

The exit status of LibreOffice is believed in one case only (start again). What counts is a fresh, whole PDF
in a folder that was empty before.
"""

import math
import shutil
import tempfile
import threading
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from queue import SimpleQueue
from types import TracebackType
from typing import Self

from pipeline.errors import MachineError
from pipeline.tools.fonts import missing_fonts
from pipeline.tools.process import TIMED_OUT, Processes
from pipeline.tools.program import START_AGAIN, command, find_program, program_version
from pipeline.tools.soundness import pdf_trouble, word_trouble

__all__ = ["Limits", "Office", "Trouble", "find_program", "missing_fonts"]

# A start takes as long as five documents; more in one than this would gain nothing.
LARGEST_BATCH = 200
SMALLEST_BATCH = 4
# So many documents failing alone, with none made at all, is LibreOffice's fault and not theirs.
_FRUITLESS = 4
_TARGET = "pdf"


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why one document did not become a PDF, and what to do about it."""

    message: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Limits:
    """Seconds without a further PDF after which LibreOffice counts as hanging: for the start, and for a document."""

    start: float = 60.0
    document: float = 4.0


class Office:
    """LibreOffice for the length of a run; its warmed-up profiles and all files vanish with it."""

    def __init__(
        self,
        program: Path | None = None,
        workers: int = 2,
        limits: Limits | None = None,
        within: Path | None = None,
    ) -> None:
        """Find the program (or take the one given) and make a scratch folder `within` one; nothing is started yet."""
        self.program = program or find_program()
        self.limits = limits or Limits()
        self._workers = workers
        self._folder = Path(tempfile.mkdtemp(prefix="office-", dir=within))
        # an office that is closed has only blanks here
        self._profiles: SimpleQueue[Path | None] = SimpleQueue()
        self._numbers = count()
        for _ in range(workers):
            self._profiles.put(self._new_profile())
        self._processes = Processes()
        self._lock = threading.Lock()
        self._made = self._failed = 0

    @property
    def version(self) -> str:
        """The version of the program, part of what decides whether earlier work can be used again."""
        return program_version(self.program)

    def __enter__(self) -> Self:
        """Use as a context."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """End whatever still runs and remove the scratch folder."""
        self.close()

    def close(self) -> None:
        """End whatever still runs and remove the scratch folder; nothing can be converted afterwards."""
        self._processes.stop()
        for _ in range(self._workers):
            self._profiles.get()  # whoever still has one is about to give it back
        for _ in range(self._workers):
            self._profiles.put(None)
        shutil.rmtree(self._folder, ignore_errors=True)

    def convert(self, documents: Mapping[str, bytes]) -> dict[str, bytes | Trouble]:
        """Turn Word files into PDFs; each name gives its PDF or the trouble with that document.

        Raises `MachineError` when LibreOffice makes nothing at all.
        """
        troubles = {name: word_trouble(content) for name, content in documents.items()}
        sound = [name for name, trouble in troubles.items() if not trouble]
        results: dict[str, bytes | Trouble] = {
            name: Trouble(
                f"The Word file of {name} is damaged: {trouble}.", "Make it again; if that fails, renew its template."
            )
            for name, trouble in troubles.items()
            if trouble
        }
        batches = [{name: documents[name] for name in batch} for batch in batched(sound, self._workers)]
        with ThreadPoolExecutor(self._workers) as pool:
            try:
                for made in pool.map(self._convert_batch, batches):
                    results |= made
            except BaseException:
                self._processes.stop()  # before the pool waits for its workers
                raise
        return {name: results[name] for name in documents}

    def _convert_batch(self, batch: Mapping[str, bytes]) -> dict[str, bytes | Trouble]:
        """Convert a batch; what it leaves open is tried alone, and whatever a culprit kept back, again together."""
        results: dict[str, bytes | Trouble] = {}
        waiting = dict(batch)
        while waiting:
            made, ended = self._start(waiting)
            results |= made
            left = {name: content for name, content in waiting.items() if name not in made}
            # A program that ended by itself passed over each of these; one that hung or crashed did so at the first.
            suspects = list(left) if ended == 0 else list(left)[:1]
            for name in suspects:
                results[name] = self._convert_alone(name, left.pop(name))
            waiting = left
        return results

    def _convert_alone(self, name: str, content: bytes) -> bytes | Trouble:
        """Convert one document by itself; if that fails too, the document is at fault."""
        made, ended = self._start({name: content})
        if name in made:
            return made[name]
        with self._lock:
            self._failed += 1
            if self._failed >= _FRUITLESS and not self._made:
                self._processes.stop()
                raise MachineError(
                    f"LibreOffice made no PDF of any of {self._failed} documents.",
                    "Start LibreOffice by hand once; if it does not open, install it anew.",
                )
        how = "did not come to an end with" if ended == TIMED_OUT else "could not make a PDF of"
        return Trouble(f"LibreOffice {how} {name}.", "Open its Word file by hand; if that fails, renew its template.")

    def _start(self, documents: Mapping[str, bytes]) -> tuple[dict[str, bytes], int]:
        """One start of LibreOffice in a fresh folder: the whole PDFs that it made, and its exit status."""
        profile = self._profiles.get()
        if profile is None:
            self._profiles.put(None)
            raise MachineError("LibreOffice was closed while documents were waiting.", "Start the run again.")
        ended = TIMED_OUT
        folder = Path(tempfile.mkdtemp(prefix="batch-", dir=self._folder))
        sources = {name: folder / f"{number:04d}.docx" for number, name in enumerate(documents)}
        try:
            for name, path in sources.items():
                path.write_bytes(documents[name])
            ended = self._run(profile, list(sources.values()), folder)
        finally:
            # A profile whose program was killed may be broken: it is not used again.
            self._profiles.put(profile if ended == 0 else self._new_profile())
        made = _collect({name: folder / _TARGET / f"{path.stem}.pdf" for name, path in sources.items()})
        shutil.rmtree(folder, ignore_errors=True)
        with self._lock:
            self._made += len(made)
        return made, ended

    def _run(self, profile: Path, sources: list[Path], folder: Path) -> int:
        """Run the program over Word files, once more if it asks for that, and return its exit status."""
        target = folder / _TARGET
        target.mkdir()
        words = command(self.program, profile, sources, target)
        patience = self.limits.start + self.limits.document

        def run() -> int:
            return self._processes.run(words, patience, folder, lambda: sum(1 for _ in target.iterdir()))

        ended = run()
        return run() if ended == START_AGAIN else ended

    def _new_profile(self) -> Path:
        """A place for a profile that the program has not used yet; it makes the folder itself."""
        return self._folder / f"profile-{next(self._numbers)}"


def batched(names: list[str], workers: int) -> list[list[str]]:
    """Share names out evenly over the workers, in batches of at most `LARGEST_BATCH`."""
    if not names:
        return []
    rounds = math.ceil(len(names) / (workers * LARGEST_BATCH))
    size = max(SMALLEST_BATCH, math.ceil(len(names) / (workers * rounds)))
    return [names[start : start + size] for start in range(0, len(names), size)]


def _collect(expected: Mapping[str, Path]) -> dict[str, bytes]:
    """The PDFs that are there and whole."""
    return {name: path.read_bytes() for name, path in expected.items() if path.is_file() and not pdf_trouble(path)}
