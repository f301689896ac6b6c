"""`handover sitesheet`: a sheet for the electrician of each job still to visit."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.commands.command import Command
from pipeline.commands.plain import sentence
from pipeline.desk_commands import lines_of_table
from pipeline.errors import ExitCode

if TYPE_CHECKING:
    from pipeline.sitesheets import Prepared

ABOUT = "write a site sheet for each job still to visit whose design holds up"


def _add(commands: Any) -> None:
    """The command line."""
    each = commands.add_parser("sitesheet", help=ABOUT, description=sentence(ABOUT))
    each.add_argument("workbook", type=Path, metavar="WORKBOOK", help="the week's .xlsx file")
    each.add_argument("--out", type=Path, default=Path("outputs"), metavar="DIR", help="where results go (outputs)")
    each.add_argument("--with", type=Path, dest="second", metavar="FILE", help="a second workbook, as for build")
    each.add_argument("--job", action="append", default=[], metavar="REF", help="only this job; may be repeated")
    each.add_argument("--templates", type=Path, metavar="DIR", help="your own copy of the Word templates")


def _run(chosen: argparse.Namespace) -> ExitCode:
    """Make the sheets, and say of each job what it has got or why not."""
    from pipeline.progress import progress  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.run import Options  # noqa: PLC0415
    from pipeline.sitesheets import site_sheets  # noqa: PLC0415

    options = Options(chosen.workbook, chosen.out, chosen.second, tuple(chosen.job), chosen.templates)
    with progress(terminal=sys.stderr.isatty()) as tell:
        sheets = site_sheets(options, tell)
    if not sheets:
        print("No job of this workbook is still to be visited: none has the state 'to visit'.")
        return ExitCode.OK
    print("\n".join(lines_of_table(("Job", "Site sheet", "Next"), [_line(each) for each in sheets])))
    for each in sheets:
        print("".join(f"{line}\n" for line in _why(each)), end="")
    return _exit_code(sheets)


def _line(sheet: "Prepared") -> tuple[str, str, str]:
    """One job in one line."""
    if sheet.trouble:
        return sheet.job, f"Word only: {sheet.files[0]}", "see below, then run the same command again"
    if sheet.files:
        return sheet.job, str(sheet.files[-1]), "print, and take along"
    return sheet.job, "none: held", "settle what is listed below, then run the same command again"


def _why(sheet: "Prepared") -> list[str]:
    """Why a job has no sheet, or none to print."""
    lines = []
    if sheet.unapproved:
        lines.append(f"{sheet.job}: the network operator must be asked first, since {sheet.unapproved}.")
        lines.append("  Nothing is connected until it agrees. Then enter 'given' and its reference on Supplies.")
    for each in sheet.held:
        where = ", ".join(map(str, each.places)) or each.subject
        lines.append(f"{sheet.job}: {str(each.verdict).upper()} {where}: {each.message}")
        lines.append(f"  Found: {each.found or 'nothing'}. Expected: {each.expected or 'see above'}. {each.remedy}")
    if sheet.trouble:
        lines.append(f"{sheet.job}: {sheet.trouble.message} {sheet.trouble.remedy}")
    return lines


def _exit_code(sheets: Sequence["Prepared"]) -> ExitCode:
    """The gravest of what happened."""
    if any(each.trouble for each in sheets):
        return ExitCode.MACHINE
    return ExitCode.OK if all(each.files for each in sheets) else ExitCode.HELD


COMMAND = Command(_add, _run)
