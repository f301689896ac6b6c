"""Trouble with the surroundings: one error type per kind, each with its exit code and how to mend it.

Trouble with a job's data is never an error but a finding (`pipeline.facts.findings`).
"""

import errno
import os
import sqlite3
from collections.abc import Sequence
from enum import IntEnum
from typing import NamedTuple


class ExitCode(IntEnum):
    """What the program tells its caller; the gravest of a run wins."""

    OK = 0
    HELD = 1
    UNREADABLE = 2
    MACHINE = 3
    OUR_FAULT = 70
    INTERRUPTED = 130


class PipelineError(Exception):
    """Something around the work is wrong: a message that says what, and a remedy that says what to do."""

    exit_code = ExitCode.OUR_FAULT

    def __init__(self, message: str, remedy: str) -> None:
        """Keep both halves apart, so that a screen can set them on two lines."""
        super().__init__(message)
        self.message = message
        self.remedy = remedy

    def __reduce__(self) -> tuple[type, tuple[str, str]]:
        """How it travels from one process to another."""
        return type(self), (self.message, self.remedy)


class Slip(NamedTuple):
    """One thing that is wrong with a workbook's sheets and headings: where, what, and what to do."""

    sheet: str
    cell: str
    message: str
    remedy: str


class WorkbookRefusedError(PipelineError):
    """The workbook cannot be used at all: nothing of it is read."""

    exit_code = ExitCode.UNREADABLE

    def __init__(self, message: str, remedy: str, slips: Sequence[Slip] = ()) -> None:
        """Keep, besides the sentences, each slip with its place."""
        super().__init__(message, remedy)
        self.slips = tuple(slips)

    @classmethod
    def of_slips(cls, slips: Sequence[Slip]) -> "WorkbookRefusedError":
        """Everything that is wrong in one refusal."""
        remedies = dict.fromkeys(each.remedy for each in slips)
        return cls(" ".join(each.message for each in slips), " ".join(remedies), slips)


class CommandError(PipelineError):
    """The command line names something that is not there or contradicts itself."""

    exit_code = ExitCode.UNREADABLE


class MachineError(PipelineError):
    """Something on this machine is missing or failed: a program, a font, the disk, a lock."""

    exit_code = ExitCode.MACHINE


class ConversionError(MachineError):
    """LibreOffice made no usable PDF of a document."""


class InspectionError(MachineError):
    """A finished pack does not say what its record says, or is no PDF/A-3."""


class RegisterError(MachineError):
    """The register is damaged, elsewhere, or held by another run."""


_FULL = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})
_FORBIDDEN = frozenset({errno.EACCES, errno.EPERM, errno.EROFS})


def refused_by_machine(trouble: Exception) -> MachineError | None:
    """What the disk or the system refused to do, in plain words; None where our own fault is behind the trouble."""
    again = "then run the same command again: nothing half-made counts, and it completes what was begun."
    if isinstance(trouble, sqlite3.OperationalError):
        return MachineError(f"The register cannot be used now ({trouble}).", f"Check the disk that it is on, {again}")
    number, file = _refusal(trouble)
    if not number:
        return None
    if number in _FULL:
        return MachineError(f"The disk is full: {file or 'a file'} could not be written.", f"Make room, {again}")
    if number in _FORBIDDEN:
        told = f"The system does not allow access to {file or 'a file'}."
        return MachineError(told, f"Check who may write there, {again}")
    return MachineError(
        f"The disk or the system failed at {file or 'a file'} ({os.strerror(number)}).", f"Check it, {again}"
    )


def _refusal(trouble: Exception) -> tuple[int, str]:
    """The system's number of what it refused, and the file; 0 for any other trouble."""
    if isinstance(trouble, OSError):
        return trouble.errno or 0, str(trouble.filename or "")
    name = str(trouble).removeprefix("IO_")  # as lxml says it, when a workbook cannot be written
    return (getattr(errno, name, 0), "") if type(trouble).__name__ == "SerialisationError" else (0, "")
