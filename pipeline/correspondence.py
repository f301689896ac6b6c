"""What the office does by command about mail: drafts for the mail program, sending, deciding what became of a mail."""

import shutil
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from pipeline.desk import opened
from pipeline.disk import write_durably
from pipeline.errors import CommandError, MachineError
from pipeline.mail.letters import Letter, letters
from pipeline.mail.message import message_of
from pipeline.mail.post import Planned, decide, planned, send
from pipeline.mail.server import server_of
from pipeline.register import Kind, Register, pair_of
from pipeline.register.mails import Delivery
from pipeline.stages.commit import Outputs


@dataclass(frozen=True, slots=True)
class Drafted:
    """One draft: its letter, its file, and what is known of sending it."""

    letter: Letter
    file: Path
    before: Delivery | None


def write_drafts(outputs: Outputs, only: Sequence[str]) -> list[Drafted]:
    """Write a draft of every letter of every issued pack; those of packs that are issued no longer go."""
    now = datetime.now(UTC).astimezone()
    with opened(outputs) as register:
        found = planned(letters(register, outputs, _issued(register, only)), register, now)
        _clear(outputs, register)
    done = []
    for each in found:
        letter = each.letter
        file = outputs.mail / letter.pack / f"{letter.pack}-{letter.to.replace(' ', '-')}.eml"
        file.parent.mkdir(parents=True, exist_ok=True)
        write_durably(file, message_of(letter, now, draft=True).as_bytes())
        done.append(Drafted(letter, file, each.before))
    return done


def post(
    outputs: Outputs, only: Sequence[str], *, really: bool
) -> tuple[list[Planned], list[Delivery], MachineError | None]:
    """What would be sent, and what came of it where it was really to be sent; trouble with the server ends the run."""
    now = datetime.now(UTC).astimezone()
    server = server_of() if really else None
    done: list[Delivery] = []
    with opened(outputs) as register:
        plans = planned(letters(register, outputs, _issued(register, only)), register, now)
        try:
            for each in send(plans, server, register, now) if server else ():
                done.append(each)  # noqa: PERF402 - what was sent before a trouble must be told
        except MachineError as trouble:
            return plans, done, trouble
    return plans, done, None


def settle_mail(outputs: Outputs, pack: str, to: str, *, arrived: bool, reason: str) -> Delivery:
    """Enter what somebody found out about a mail whose outcome is unknown."""
    if not reason.strip():
        raise CommandError("A decision needs its reason.", 'Add --reason "how you know", in one sentence.')
    with opened(outputs) as register:
        name = register.standing(pack).name
        return decide(
            register, (name, to), arrived=arrived, reason=" ".join(reason.split()), now=datetime.now(UTC).astimezone()
        )


def _issued(register: Register, only: Sequence[str]) -> tuple[str, ...]:
    """The names of the packs asked for; raises CommandError for one that is not issued."""
    names = []
    for each in only:
        pair_of(each)
        standing = register.standing(each)
        if standing.state is not Kind.ISSUED:
            raise CommandError(
                f"Pack {standing.name} is {standing.state}.",
                "Only an issued pack is mailed. One that awaits its signature is issued by: handover release.",
            )
        names.append(standing.name)
    return tuple(names)


def _clear(outputs: Outputs, register: Register) -> None:
    """Take away the drafts of packs that are issued no longer."""
    issued = {each.name for each in register.standings() if each.state is Kind.ISSUED}
    with suppress(FileNotFoundError):
        for folder in outputs.mail.iterdir():
            if folder.is_dir() and folder.name not in issued:
                shutil.rmtree(folder)
