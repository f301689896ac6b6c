"""What the office does by command: void a number, withdraw a pack, release or sign packs, look at the register.

Each holds the outputs folder alone, changes the register by entries alone, and gives what to say.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path

from pipeline import points
from pipeline.disk import write_durably
from pipeline.errors import CommandError
from pipeline.issue import alone, now
from pipeline.place import require_place
from pipeline.points import Point
from pipeline.progress import Tell
from pipeline.register import STANDING, STATES, Kind, Register, name_of, pair_of
from pipeline.register.listing import DAY, TITLES, Choice, lines_of
from pipeline.register.page import page_of
from pipeline.register.sheet import workbook_of
from pipeline.stages.commit import Outputs, clear_scratch, is_whole
from pipeline.stages.release import SCAN, Release, finish_releases, is_this_release, release
from pipeline.stages.sign import Pen, is_signed_with, sign_all
from pipeline.standing import line_to_send

LARGEST_SCAN = 50_000_000
"""Bytes of a scan; a pack on paper scanned at 300 dpi in grey stays below."""


@contextmanager
def opened(outputs: Outputs) -> Iterator[Register]:
    """The register of an outputs folder that has one; raises CommandError for a folder without."""
    if not outputs.register.exists():
        raise CommandError(
            f"No pack was made in {outputs.root} yet.", "Name the folder in which the packs were made: --out DIR."
        )
    require_place(outputs)
    with alone(outputs), Register.open(outputs.register, now()) as register:
        finish_releases(register, outputs, now())
        yield register
        clear_scratch(register, outputs)
        leave_index(register, outputs, now())


def leave_index(register: Register, outputs: Outputs, moment: str) -> None:
    """Write the page of the register anew."""
    page = page_of(lines_of(register), date.fromisoformat(moment[:10]), register.check_value())
    write_durably(outputs.index, page.encode())
    points.passed(Point.LISTED)


def look(outputs: Outputs, choice: Choice, export: Path | None) -> list[tuple[str, ...]]:
    """The chosen lines of the register as texts, the titles first; written to a workbook too if asked for."""
    if export and export.suffix.lower() != ".xlsx":
        raise CommandError(f"{export.name} is no name for a workbook.", "Give a name that ends in .xlsx.")
    if choice.state not in {"", *STATES}:
        raise CommandError(f"No pack can be '{choice.state}'.", f"The states are: {', '.join(STATES)}.")
    if export and export.exists():
        raise CommandError(f"{export.name} is already there; it is not overwritten.", "Give another name.")
    with opened(outputs) as register:
        chosen = [each for each in lines_of(register) if choice.takes(each)]
    if export:
        write_durably(export, workbook_of(chosen))
    return [TITLES, *(tuple(map(_said, each.cells)) for each in chosen)]


def _said(value: str | date | None) -> str:
    """A value of a line as the screen shows it."""
    return value.strftime(DAY) if isinstance(value, date) else value or ""


def void(outputs: Outputs, number: str, reason: str) -> list[str]:
    """Give up a number that is reserved and has no pack; it stays in the register and is never given again."""
    reason = _reason(reason)
    if not number.isdecimal():
        raise CommandError(f"{number} is no number.", "Give the number alone, as in 0042.")
    with opened(outputs) as register:
        found = [each for each in register.standings() if each.number == int(number)]
        if not found:
            raise CommandError(f"The register has no number {int(number):04}.", "See: handover register")
        standing = found[-1]
        if standing.state is not Kind.RESERVED:
            raise CommandError(
                f"Pack {standing.name} is {standing.state}; only a number without a pack can become void.",
                f'To take a pack back: handover withdraw {standing.name} --reason "why"',
            )
        if is_whole(outputs.archive / standing.name):
            raise CommandError(
                f"Pack {standing.name} lies in the archive already.", "Run: handover build. It enters the pack."
            )
        register.give_up(standing, Kind.VOID, now(), reason)
        return [f"{standing.name} of job {standing.job} is void: {reason}", _closing(register)]


def withdraw(outputs: Outputs, name: str, reason: str) -> list[str]:
    """Take a pack back: it stays in archive and register, and is valid no longer."""
    reason = _reason(reason)
    pair_of(name)
    with opened(outputs) as register:
        standing = register.standing(name)
        if standing.state not in STANDING:
            raise CommandError(
                f"Pack {standing.name} is {standing.state}.",
                f"Only a pack that is {' or '.join(STANDING)} is withdrawn.",
            )
        register.give_up(standing, Kind.WITHDRAWN, now(), reason)
        return [
            f"{standing.name} of job {standing.job} is withdrawn: {reason}",
            "Tell whoever has received it. The job has no valid pack until a revision is made.",
            _closing(register),
        ]


def release_in_ink(outputs: Outputs, name: str, person: str, day: str, scan: Path | None) -> list[str]:
    """Enter that a pack was signed on paper; the same entered before is told, and nothing is done."""
    pair_of(name)
    papers = {SCAN: _scan(scan)} if scan else {}
    wanted = Release(name, person, day_of(day), papers=papers)
    with opened(outputs) as register:
        pack, told = register.standing(name).name, f"released by {person} on {wanted.day:%d %b %Y}"
        if is_this_release(wanted, register, outputs):
            return [f"{pack} is issued already: {told}. Nothing was done."]
        release(wanted, register, outputs, now())
        return [f"{pack} is issued: {told}.", _closing(register)]


def sign_by_key(outputs: Outputs, names: Sequence[str], pen: Pen) -> list[str]:
    """Sign packs and release them, or, without names, all that await their signature."""
    for each in names:
        pair_of(each)
    with opened(outputs) as register:
        waiting = [each.name for each in register.standings() if each.state is Kind.AWAITING]
        chosen = [name_of(*pair_of(each)) for each in names] or waiting
        if not chosen:
            return ["No pack awaits its signature."]
        before = [each for each in chosen if is_signed_with(pen.key, each, register)]
        wanted = [each for each in chosen if each not in before]
        sign_all(wanted, pen, register, outputs, now)
        told = [f"Signed by this key before, and issued: {', '.join(before)}."] if before else []
        return [*told, *signed_lines(wanted, pen), _closing(register)] if wanted else [*told, "Nothing was done."]


def signed_lines(names: Sequence[str], pen: Pen) -> list[str]:
    """What to say of packs that were signed; a key for trying out is told as one."""
    lines = [f"Signed and issued by the key of {pen.key.holder}: {', '.join(names)}."]
    if pen.key.for_trial:
        lines.append(
            "This was a test key: nobody may rely on these packs. Issue real ones into another folder (--out)."
        )
    return lines


def pen_of(path: Path, time_stamp: str, tell: Tell) -> Pen:
    """A key opened by its password, asked of a person if need be, before any work begins."""
    from pipeline.signing.key import open_key, password_for  # noqa: PLC0415 - heavy, only where something is signed
    from pipeline.signing.stamp import stamper  # noqa: PLC0415

    if not path.is_file():
        raise CommandError(f"There is no key at {path}.", "Give the .p12 or .pfx file; for trying out: handover keys")
    stamped = stamper(time_stamp)
    key = open_key(path, password_for(path))
    key.require_valid(datetime.fromisoformat(now()))
    return Pen(key, stamped, tell)


def make_keys(folder: Path, person: str) -> list[str]:
    """Make an authority and a key for trying out."""
    from pipeline.signing.key import password_for  # noqa: PLC0415 - heavy, only where keys are made
    from pipeline.signing.trial import KEY_FILE, make_trial_keys, trial_holder  # noqa: PLC0415

    authority, key = make_trial_keys(folder, person, password_for(folder / KEY_FILE))
    return [
        f"{key}: a key of {trial_holder(person)}, for trying out only. It holds for a year.",
        f"{authority}: the authority that vouches for it: handover verify … --trust {authority}",
        f"To sign with it: handover build WORKBOOK --sign {key}",
    ]


def _closing(register: Register) -> str:
    """The last line of each command that has changed the register."""
    return line_to_send(register.check_value(), date.fromisoformat(now()[:10]))


def _reason(reason: str) -> str:
    """A reason that says something; raises CommandError for a blank one."""
    if not reason.strip():
        raise CommandError("This needs its reason.", 'Add --reason "why", in one sentence.')
    return " ".join(reason.split())


def day_of(text: str) -> date:
    """A day as 2026-11-24; raises CommandError for anything else."""
    try:
        return date.fromisoformat(text)
    except ValueError as trouble:
        raise CommandError(f"{text} is no date.", "Write year, month and day, as in 2026-11-24.") from trouble


def _scan(path: Path) -> bytes:
    """A scan that can be read as a PDF; raises CommandError for any other file."""
    import pikepdf  # noqa: PLC0415 - only where a scan is given

    remedy = "Give the scan of the signed pack as a PDF file of at most 50 MB."
    try:
        if path.stat().st_size > LARGEST_SCAN:
            raise CommandError(f"{path.name} is too large for a scan.", remedy)
        content = path.read_bytes()
        with pikepdf.open(path) as pdf:
            pages = len(pdf.pages)
    except (OSError, pikepdf.PdfError) as trouble:
        raise CommandError(f"{path.name} cannot be read as a PDF.", remedy) from trouble
    if not pages:
        raise CommandError(f"{path.name} has no page.", remedy)
    return content
