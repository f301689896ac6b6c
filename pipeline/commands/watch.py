"""`handover watch`: build whatever workbook is dropped into a folder."""

import argparse
import time
from pathlib import Path
from typing import Any

from pipeline.commands.command import Command
from pipeline.commands.plain import sentence
from pipeline.errors import CommandError, ExitCode

ABOUT = "build each workbook that is dropped into a folder, and leave the answer beside it"


def _add(commands: Any) -> None:
    """The command line."""
    each = commands.add_parser("watch", help=ABOUT, description=sentence(ABOUT))
    each.add_argument("folder", type=Path, metavar="FOLDER", help="where workbooks are dropped, as in inputs")
    each.add_argument("--out", type=Path, default=Path("outputs"), metavar="DIR", help="where results go (outputs)")
    each.add_argument("--with", type=Path, dest="second", metavar="FILE", help="a second workbook, as for build")
    each.add_argument("--every", type=float, default=10.0, metavar="SECONDS", help="time between two looks (10)")
    each.add_argument("--once", action="store_true", help="build what is complete now, then end")


def _run(chosen: argparse.Namespace) -> ExitCode:
    """Look, wait, look again; with --once two looks, since only a file that stays the same is complete."""
    from pipeline.stages.commit import Outputs  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.watch.round import watching  # noqa: PLC0415

    if not chosen.every > 0:
        raise CommandError(
            f"Between two looks there cannot be {chosen.every:g} seconds.", "Give more than 0, as in --every 10."
        )
    with watching(chosen.folder, Outputs(chosen.out), _say, chosen.second) as watcher:
        if not chosen.once:
            print(f"Watching {chosen.folder}. Drop workbooks there. To end: Ctrl-C.", flush=True)
        watcher.round()
        time.sleep(chosen.every)
        while True:
            built = watcher.round()
            if chosen.once:
                print(f"Built: {built}.")
                return ExitCode.OK
            time.sleep(chosen.every)


def _say(line: str) -> None:
    """One line, at once."""
    print(line, flush=True)


COMMAND = Command(_add, _run)
