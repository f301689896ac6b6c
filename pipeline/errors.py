"""Trouble with the surroundings: one error type per kind, each with its exit code and how to mend it.

Trouble with a job's data is never an error but a finding (`pipeline.facts.findings`).
"""

from enum import IntEnum


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


class WorkbookRefusedError(PipelineError):
    """The workbook cannot be used at all: nothing of it is read."""

    exit_code = ExitCode.UNREADABLE


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
