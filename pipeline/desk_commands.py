"""The commands on packs that were made: how they are asked for, and what is said of what they did."""

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.commands.plain import sentence
from pipeline.errors import CommandError
from pipeline.progress import Tell

if TYPE_CHECKING:
    from pipeline.stages.commit import Outputs

DESK = ("sign", "release", "withdraw", "void", "register", "keys")
PACK = "NUMBER-REVISION"
DEMO_SIGNER = "Cass Jo Notional"
"""The qualified supervisor of the demo week."""


def add_desk(commands: Any) -> None:
    """Add the commands to the command line."""
    for name, what, about in (
        ("release", PACK, "enter that a pack was signed in ink: it is issued from then on"),
        ("withdraw", PACK, "take a pack back; it stays in archive and register"),
        ("void", "NUMBER", "give up a reserved number that has no pack; it is never given again"),
    ):
        each = _command(commands, name, about)
        each.add_argument("pack", metavar=what, help="as in 0042-1" if what is PACK else "as in 0042")
        _add_out(each)
        if name == "release":
            each.add_argument("--by", required=True, metavar="PERSON", help="who signed: the short name on People")
            each.add_argument("--on", required=True, metavar="DATE", help="the day of the signature, as in 2026-11-24")
            each.add_argument("--scan", type=Path, metavar="FILE.pdf", help="the signed pages, scanned")
        else:
            each.add_argument("--reason", required=True, help="why, in one sentence")
    _add_sign(commands)
    _add_keys(commands)
    _add_register(commands)


def add_pen(command: argparse.ArgumentParser, option: str, about: str, *, required: bool = False) -> None:
    """Add what is signed with: the key under the given option, and a time stamp authority."""
    command.add_argument(option, dest="key", type=Path, metavar="KEY", help=about, required=required)
    command.add_argument(
        "--time-stamp", default="", metavar="URL", help="ask this authority for a time stamp (RFC 3161)"
    )


def run_desk(chosen: argparse.Namespace, tell: Tell) -> list[str]:
    """Run one of the commands; gives what to say."""
    from pipeline.stages.commit import Outputs  # noqa: PLC0415 - heavy, not needed for --help

    act: Callable[..., list[str]] = {
        "sign": _sign, "release": _release, "withdraw": _close, "void": _close, "register": _register, "keys": _keys,
    }[chosen.command]  # fmt: skip
    return act(chosen, Outputs(getattr(chosen, "out", Path())), tell)


def lines_of_table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> list[str]:
    """A plain table whose columns are as wide as what stands in them, a blank line behind it."""
    widths = [max(len(row[place]) for row in (head, *rows)) for place in range(len(head))]
    return [
        *(
            "  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)).rstrip()
            for row in (head, tuple("-" * width for width in widths), *rows)
        ),
        "",
    ]


def _command(commands: Any, name: str, about: str) -> argparse.ArgumentParser:
    """One command with its description."""
    made: argparse.ArgumentParser = commands.add_parser(name, help=about, description=sentence(about))
    return made


def _add_out(command: argparse.ArgumentParser) -> None:
    """Add the folder in which the packs are."""
    command.add_argument("--out", type=Path, default=Path("outputs"), metavar="DIR", help="where the packs are")


def _add_sign(commands: Any) -> None:
    """The command to sign by key."""
    each = _command(commands, "sign", "sign packs by key: they are issued from then on")
    each.add_argument("packs", nargs="*", metavar=PACK, help="as in 0042-1; several may be given")
    each.add_argument("--all", action="store_true", help="every pack that awaits its signature")
    add_pen(each, "--key", "the key of the person responsible (.p12, .pfx)", required=True)
    _add_out(each)


def _add_keys(commands: Any) -> None:
    """The command to make keys for trying out."""
    each = _command(commands, "keys", "make a test authority and a test key, for trying out signing; no real one")
    each.add_argument("folder", type=Path, nargs="?", default=Path("test-keys"), metavar="DIR", help="(test-keys)")
    each.add_argument("--name", default=DEMO_SIGNER, help=f"the full name on the sheet People ({DEMO_SIGNER})")


def _add_register(commands: Any) -> None:
    """The command to look at the register."""
    each = _command(
        commands, "register", "print the register, filtered; export it as a workbook; write index.html anew"
    )
    _add_out(each)
    each.add_argument("--state", default="", help="only packs in this state, such as 'awaiting signature'")
    each.add_argument("--job", default="", metavar="REF", help="only this job")
    each.add_argument(
        "--due", action="store_true", help="only packs of which somebody is still to be told, or to be looked up"
    )
    each.add_argument("--inspection-before", metavar="DATE", help="only packs to be inspected again up to this day")
    each.add_argument("--export", type=Path, metavar="FILE.xlsx", help="write these lines to a new workbook")


def _sign(chosen: argparse.Namespace, outputs: "Outputs", tell: Tell) -> list[str]:
    """Sign by key."""
    from pipeline import desk  # noqa: PLC0415 - heavy, not needed for --help

    if bool(chosen.packs) == chosen.all:
        raise CommandError("Say which packs to sign.", "Name them, as in 0042-1 0043-1, or say --all.")
    return desk.sign_by_key(outputs, chosen.packs, desk.pen_of(chosen.key, chosen.time_stamp, tell))


def _release(chosen: argparse.Namespace, outputs: "Outputs", _: Tell) -> list[str]:
    """Release in ink."""
    from pipeline import desk  # noqa: PLC0415 - heavy, not needed for --help

    return desk.release_in_ink(outputs, chosen.pack, chosen.by, chosen.on, chosen.scan)


def _close(chosen: argparse.Namespace, outputs: "Outputs", _: Tell) -> list[str]:
    """Void a number or withdraw a pack."""
    from pipeline import desk  # noqa: PLC0415 - heavy, not needed for --help

    return (desk.void if chosen.command == "void" else desk.withdraw)(outputs, chosen.pack, chosen.reason)


def _register(chosen: argparse.Namespace, outputs: "Outputs", _: Tell) -> list[str]:
    """Look at the register."""
    from pipeline import desk  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.register.listing import Choice  # noqa: PLC0415

    inspected = desk.day_of(chosen.inspection_before) if chosen.inspection_before else None
    choice = Choice(chosen.state, chosen.job, chosen.due, inspected)
    head, *rows = desk.look(outputs, choice, chosen.export)
    return lines_of_table(head, rows) if rows else ["The register has no such pack."]


def _keys(chosen: argparse.Namespace, _: "Outputs", __: Tell) -> list[str]:
    """Make keys for trying out."""
    from pipeline import desk  # noqa: PLC0415 - heavy, not needed for --help

    return desk.make_keys(chosen.folder, chosen.name)
