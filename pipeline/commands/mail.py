"""`handover mail` and `handover send`: drafts for the mail program, or the program as its own postman."""

import argparse
import sys
from pathlib import Path
from typing import Any

from pipeline.commands.command import Command
from pipeline.commands.plain import sentence
from pipeline.desk_commands import lines_of_table
from pipeline.errors import CommandError, ExitCode

ABOUT_MAIL = "write mail drafts for issued packs: to the client, and to each body to be told"
ABOUT_SEND = "say which mails would be sent; with --go send them, each at most once"


def _common(each: argparse.ArgumentParser) -> None:
    """What both commands understand."""
    each.add_argument("--out", type=Path, default=Path("outputs"), metavar="DIR", help="where the packs are")
    each.add_argument("--pack", action="append", default=[], metavar="NUMBER-REVISION", help="only this pack")


def _add_mail(commands: Any) -> None:
    """The command line of `mail`."""
    _common(commands.add_parser("mail", help=ABOUT_MAIL, description=sentence(ABOUT_MAIL)))


def _add_send(commands: Any) -> None:
    """The command line of `send`."""
    each = commands.add_parser("send", help=ABOUT_SEND, description=sentence(ABOUT_SEND))
    _common(each)
    each.add_argument("--go", action="store_true", help="really send")
    each.add_argument("--decide", metavar="PACK", help="enter what became of a mail of this pack")
    each.add_argument("--to", choices=("client", "network operator", "building control"), help="of which mail")
    each.add_argument("--arrived", choices=("yes", "no"), help="what you found out")
    each.add_argument("--reason", default="", help="how you know, in one sentence")


def _mail(chosen: argparse.Namespace) -> ExitCode:
    """Write the drafts."""
    from pipeline.correspondence import write_drafts  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.mail.post import LARGEST  # noqa: PLC0415
    from pipeline.mail.words import LARGE, NO_ADDRESS, so_far  # noqa: PLC0415
    from pipeline.stages.commit import Outputs  # noqa: PLC0415

    drafts = write_drafts(Outputs(chosen.out), chosen.pack)
    if not drafts:
        print("No pack is issued, so there is nothing to mail. A pack is issued once it is signed: handover release.")
        return ExitCode.OK
    rows = [
        (each.letter.pack, each.letter.to, each.letter.address or NO_ADDRESS, str(each.file), so_far(each.before))
        for each in drafts
    ]
    print("\n".join(lines_of_table(("Pack", "To", "Address", "Draft", "So far"), rows)))
    for each in drafts:
        if each.file.stat().st_size > LARGEST:
            print(f"{each.file.name} is {LARGE}.")
    print("Open a draft in your mail program, read it, and send it. Or let the program send: handover send")
    return ExitCode.OK


def _send(chosen: argparse.Namespace) -> ExitCode:
    """Plan, send or decide."""
    from pipeline.correspondence import post  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.mail.words import line_of  # noqa: PLC0415
    from pipeline.register.mails import Step  # noqa: PLC0415
    from pipeline.stages.commit import Outputs  # noqa: PLC0415

    if chosen.decide:
        return _decide(chosen)
    plans, done, trouble = post(Outputs(chosen.out), chosen.pack, really=chosen.go)
    if not plans:
        print("No pack is issued, so there is nothing to send.")
        return ExitCode.OK
    outcomes = {(each.pack, each.to): each for each in done}
    lines = [line_of(each, outcomes.get((each.letter.pack, each.letter.to)), go=chosen.go) for each in plans]
    print("\n".join(lines_of_table(("Pack", "To", "Address", "MB", "Outcome", "Next"), lines)))
    for each in done:
        if each.answer and each.step is not Step.ACCEPTED:
            print(f"{each.pack} to the {each.to}: {each.answer}")
    if trouble:
        print(f"{trouble.message}\n{trouble.remedy}", file=sys.stderr)
        return ExitCode.MACHINE
    if not chosen.go:
        print("Nothing was sent. To send what would be sent: handover send --go")
    return ExitCode.OK if all(each.step is Step.ACCEPTED for each in done) else ExitCode.HELD


def _decide(chosen: argparse.Namespace) -> ExitCode:
    """Enter a decision."""
    from pipeline.correspondence import settle_mail  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.stages.commit import Outputs  # noqa: PLC0415

    if not chosen.to or not chosen.arrived:
        raise CommandError(
            "A decision names the mail and what you found out.",
            'As in: handover send --decide 0042-1 --to client --arrived yes --reason "the client rang"',
        )
    arrived = chosen.arrived == "yes"
    decided = settle_mail(Outputs(chosen.out), chosen.decide, chosen.to, arrived=arrived, reason=chosen.reason)
    print(f"The mail of pack {decided.pack} to the {decided.to} {decided.step}: {decided.answer}")
    return ExitCode.OK


MAIL = Command(_add_mail, _mail)
SEND = Command(_add_send, _send)
