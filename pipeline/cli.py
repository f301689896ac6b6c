"""The commands, their exit codes, and the only place where the program speaks to a person."""

import argparse
import sys
import traceback
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline import __version__
from pipeline.commands import ADDED
from pipeline.commands.plain import PlainParser, sentence
from pipeline.desk_commands import DESK, add_desk, add_pen, run_desk
from pipeline.errors import CommandError, ExitCode, MachineError, PipelineError, refused_by_machine

if TYPE_CHECKING:
    from pipeline.progress import Tell
    from pipeline.run import Options, Report

EXIT_CODES = """exit codes:
  0    the run did its work (held jobs are told in the summary)
  1    check, sitesheet, or build --strict: at least one job is or would be held;
       build --sign: a pack was refused its signature;
       verify: something was found, or a pack is not proved unaltered
  2    the workbook cannot be read, or the command line is wrong
  3    something on this machine is missing or failed
  70   our fault
  130  interrupted
  The gravest of a run wins."""

CAUTION = "The program assists a competent person and does not replace one; local codes and licensed practice prevail."
OURS = "This is a fault of the program, not of your workbook. Nothing half-made was issued."


def parser() -> argparse.ArgumentParser:
    """The command line."""
    top = PlainParser(
        prog="handover",
        description="Turns a week's workbook of charge-point jobs into checked, archived handover packs.",
        epilog=f"{EXIT_CODES}\n\n{CAUTION}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name, about in (
        ("build", "check a workbook and make a pack of every job that holds up"),
        ("check", "say what a build would do; makes no document and reserves no number"),
    ):
        each = commands.add_parser(
            name,
            help=about,
            description=sentence(about),
            epilog=EXIT_CODES,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        told, count = ("; without one, what an earlier run began is completed", "?") if name == "build" else ("", None)
        each.add_argument("workbook", type=Path, nargs=count, metavar="WORKBOOK", help=f"the week's .xlsx file{told}")
        each.add_argument("--out", type=Path, default=Path("outputs"), metavar="DIR", help="where results go (outputs)")
        each.add_argument(
            "--with",
            type=Path,
            dest="second",
            metavar="FILE",
            help="a second workbook that holds firm, people, instruments and models",
        )
        each.add_argument("--job", action="append", default=[], metavar="REF", help="only this job; may be repeated")
        each.add_argument(
            "--revise",
            action="append",
            default=[],
            metavar="REF",
            help="make a revision of this job's pack; needs --reason",
        )
        each.add_argument("--reason", default="", help="why the revision is needed")
        if name == "build":
            each.add_argument("--templates", type=Path, metavar="DIR", help="your own copy of the Word templates")
            each.add_argument("--draft", action="store_true", help="drafts only, each page marked; no number is given")
            each.add_argument("--strict", action="store_true", help="exit 1 when a job is held")
            each.add_argument("--cluster", default="", metavar="URL", help="let a Dask cluster make the packs: tcp://…")
            add_pen(each, "--sign", "sign and issue this workbook's packs with this key (.p12, .pfx)")
    about = "write an empty workbook ready to type into"
    blank = commands.add_parser("blank", help=about, description=sentence(about))
    blank.add_argument("file", type=Path, metavar="FILE.xlsx", help="a new name, such as week-48.xlsx")
    _add_templates(commands)
    add_desk(commands)
    _add_verify(commands)
    for added in ADDED.values():
        added.add(commands)
    return top


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code; no traceback reaches the screen."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    chosen = parser().parse_args(arguments)
    try:
        desk = dict.fromkeys(DESK, _desk)
        command: dict[str, Callable[[argparse.Namespace], ExitCode]] = {name: each.run for name, each in ADDED.items()}
        command |= {"blank": _blank, "verify": _verify, "templates": _templates, **desk}
        return int(command.get(chosen.command, _run)(chosen))
    except PipelineError as trouble:
        print(f"{trouble.message}\n{trouble.remedy}", file=sys.stderr)
        return int(trouble.exit_code)
    except KeyboardInterrupt:
        print("Interrupted. Run the same command again to go on where it stopped.", file=sys.stderr)
        return int(ExitCode.INTERRUPTED)
    except BrokenPipeError:  # whoever read the output has seen enough
        sys.stderr.close()
        return int(ExitCode.OK)
    except Exception as unforeseen:  # noqa: BLE001 - the one boundary: what no disk or system refused is our fault
        told = refused_by_machine(unforeseen)
        if told is None:
            return _our_fault(getattr(chosen, "out", Path()))
        print(f"{told.message}\n{told.remedy}", file=sys.stderr)
        return int(told.exit_code)


def _our_fault(folder: Path) -> int:
    """Keep the trace for whoever mends the program, and tell the user in two lines."""
    trace = (folder if folder.is_dir() else Path()) / "fault.txt"
    trace.write_text(traceback.format_exc(), encoding="utf-8")
    print(f"{OURS}\nSend the file {trace} to whoever looks after it.", file=sys.stderr)
    return int(ExitCode.OUR_FAULT)


def _add_templates(commands: Any) -> None:
    """The command for a firm's own templates."""
    about = "check your own Word templates and try them on a proof job; or write the supplied ones"
    each = commands.add_parser("templates", help=about, description=sentence(about))
    each.add_argument("folder", type=Path, nargs="?", metavar="DIR", help="the folder with your copies")
    each.add_argument("--write", action="store_true", help="write the supplied templates (into DIR, else templates/)")


def _templates(chosen: argparse.Namespace) -> ExitCode:
    """Pour the supplied templates, or prove a firm's own."""
    from pipeline.documents.templates import write  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.progress import progress  # noqa: PLC0415
    from pipeline.proving import prove  # noqa: PLC0415

    folder: Path | None = chosen.folder
    if chosen.write:
        print(f"{write(folder or Path('templates'))} templates written to {folder or 'templates'}.")
        return ExitCode.OK
    if folder is None:
        raise CommandError("Nothing says which templates.", "Name the folder of your copies, or add --write.")
    with progress(terminal=sys.stderr.isatty()) as tell:
        troubles = prove(folder, tell)
    if troubles:
        print("\n".join(troubles))
        print(f"Not proved: {len(troubles)} to mend; until then a build makes drafts only.")
        return ExitCode.HELD
    print(f"Proved. Build with: handover build WORKBOOK --templates {folder}")
    return ExitCode.OK


def _add_verify(commands: Any) -> None:
    """The command for whoever audits."""
    each = commands.add_parser(
        "verify",
        help="prove packs, an archive and its register, or name what is wrong; changes nothing",
        description="Hold packs, bags and register against each other. What is found is named and never mended.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    each.add_argument(
        "paths", type=Path, nargs="+", metavar="PATH", help="a pack, a bag, an archive, an outputs folder"
    )
    each.add_argument("--quick", action="store_true", help="bytes and register alone, which is fast")
    each.add_argument("--known", action="append", default=[], metavar="CHECKVALUE", help="a check value from outside")
    each.add_argument(
        "--trust", action="append", default=[], type=Path, metavar="CERT", help="an authority (.pem, .cer)"
    )
    each.add_argument("--word", default="", help="a word of your own, from which the sample is drawn")
    each.add_argument("--report", type=Path, metavar="DIR", help="write a workbook and a letter there")


def _verify(chosen: argparse.Namespace) -> ExitCode:
    """Verify, tell what was found and what is not proved, and write the report that was asked for."""
    from pipeline.audit.known import known_value  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.audit.report import refuse_inside, write_report  # noqa: PLC0415
    from pipeline.audit.signatures import authorities  # noqa: PLC0415
    from pipeline.audit.verify import Options, verify  # noqa: PLC0415
    from pipeline.audit.words import screen, verdict  # noqa: PLC0415
    from pipeline.progress import progress  # noqa: PLC0415

    known = tuple(known_value(each) for each in chosen.known)
    if chosen.report:
        refuse_inside(chosen.report, chosen.paths)
    roots = authorities(chosen.trust)
    with progress(terminal=sys.stderr.isatty()) as tell:
        found = verify(Options(tuple(chosen.paths), not chosen.quick, known, roots, chosen.word), tell)
    print("\n".join(screen(found)))
    trouble = None
    if chosen.report:
        try:
            print("Report: " + ", ".join(map(str, write_report(found, chosen.report))))
        except MachineError as failed:
            trouble = failed
            print(f"The letter stays a Word file. {failed.message}\n{failed.remedy}", file=sys.stderr)
    print(verdict(found))
    if found.faults or found.unproved:
        return ExitCode.HELD
    return ExitCode.MACHINE if trouble else ExitCode.OK


def _desk(chosen: argparse.Namespace) -> ExitCode:
    """Do what the office asks for, and say what came of it."""
    from pipeline.progress import progress  # noqa: PLC0415

    with progress(terminal=sys.stderr.isatty()) as tell:
        lines = run_desk(chosen, tell)
    print("\n".join(lines))
    return ExitCode.OK


def _blank(chosen: argparse.Namespace) -> ExitCode:
    """Write an empty workbook, never over an existing file."""
    from pipeline.workbook.write import write_workbook  # noqa: PLC0415 - heavy, not needed for --help

    file: Path = chosen.file
    if file.suffix.lower() != ".xlsx":
        raise CommandError(f"{file.name} is no name for a workbook.", "Give a name that ends in .xlsx.")
    if not file.parent.is_dir():
        raise CommandError(f"There is no folder {file.parent}.", "Make the folder first, or give another name.")
    if file.exists():
        raise CommandError(f"{file.name} is already there; it is not overwritten.", "Give another name.")
    write_workbook(file)
    print(f"{file} is ready. Open it, read the sheet 'Start here', fill in, save, then: handover check {file}")
    return ExitCode.OK


def _run(chosen: argparse.Namespace) -> ExitCode:
    """Check or build, then tell what came of it."""
    from concurrent.futures import ThreadPoolExecutor  # noqa: PLC0415

    from pipeline.progress import progress  # noqa: PLC0415

    if chosen.workbook is None:
        return _complete(chosen)
    with progress(terminal=sys.stderr.isatty()) as tell, ThreadPoolExecutor(1) as aside:
        from pipeline.stages.read import read  # noqa: PLC0415

        reading = aside.submit(read, chosen.workbook)  # by a process of its own, while this one loads the rules
        from pipeline.commands.told import tell_report  # noqa: PLC0415 - heavy, not needed for --help
        from pipeline.run import build, check_only  # noqa: PLC0415

        options = replace(_options(chosen, tell), reading=reading)
        report = (build if chosen.command == "build" else check_only)(options, tell)
    tell_report(report, options, made=chosen.command == "build")
    return _exit_code(report, strict=chosen.command == "check" or chosen.strict)


def _complete(chosen: argparse.Namespace) -> ExitCode:
    """Complete what an earlier run began, without its workbook."""
    from pipeline.progress import progress  # noqa: PLC0415
    from pipeline.run import complete  # noqa: PLC0415

    if chosen.job or chosen.revise or chosen.reason or chosen.second:
        raise CommandError("These options need a workbook.", "Name the week's .xlsx file.")
    with progress(terminal=sys.stderr.isatty()) as tell:
        done, check_value = complete(chosen.out, chosen.templates, tell)
    for name, trouble in done.items():
        print(f"{name}: {trouble or 'completed'}")
    print(f"{'' if done else 'Nothing was left unfinished. '}Register check value {check_value}")
    return ExitCode.MACHINE if any(done.values()) else ExitCode.OK


def _options(chosen: argparse.Namespace, tell: "Tell") -> "Options":
    """The command line as options; asks for the password of a key before any work begins."""
    from pipeline.desk import pen_of  # noqa: PLC0415
    from pipeline.run import Options  # noqa: PLC0415

    if chosen.revise and not chosen.reason.strip():
        raise CommandError(
            "A revision needs its reason.", 'Add --reason "why", in one sentence that the client may read.'
        )
    if chosen.revise and getattr(chosen, "draft", False):
        raise CommandError("A draft has no number to revise.", "Leave out --revise, or leave out --draft.")
    if chosen.reason.strip() and not chosen.revise:
        raise CommandError("A reason goes with a revision.", "Say which job is to be revised: add --revise REF.")
    return Options(
        workbook=chosen.workbook,
        out=chosen.out,
        second=chosen.second,
        only=tuple(chosen.job),
        templates=getattr(chosen, "templates", None),
        draft=getattr(chosen, "draft", False),
        revisions=dict.fromkeys(chosen.revise, chosen.reason.strip()),
        cluster=getattr(chosen, "cluster", ""),
        pen=pen_of(chosen.key, chosen.time_stamp, tell) if getattr(chosen, "key", None) else None,
    )


def _exit_code(report: "Report", *, strict: bool) -> ExitCode:
    """The gravest of what happened; a row that belongs to no job counts like a held job."""
    from pipeline.facts.findings import holds  # noqa: PLC0415
    from pipeline.report import troubles  # noqa: PLC0415
    from pipeline.stages.decide import Status  # noqa: PLC0415

    if report.machine_trouble or report.failed_drafts or troubles(report.decisions):
        return ExitCode.MACHINE
    if report.unsigned:
        return ExitCode.HELD
    held = any(each.status is Status.HELD for each in report.decisions) or any(map(holds, report.of_workbook))
    return ExitCode.HELD if held and strict else ExitCode.OK
