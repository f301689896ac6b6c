"""The post: carries each letter at most once, whatever fails.

Before a letter goes it is entered as 'sending', afterwards with the server's answer. Where no answer came, the entry
'sending' stays the last one: the letter may have arrived, so it is not sent again until a person has decided.
"""

import smtplib
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from pipeline import points
from pipeline.errors import CommandError
from pipeline.mail.letters import Letter
from pipeline.mail.message import message_of
from pipeline.mail.server import Server, connected, said
from pipeline.points import Point
from pipeline.register import Register
from pipeline.register.mails import GONE, Delivery, Key, Step, deliveries, enter

OK, TOO_LARGE = range(200, 300), 552
MEGABYTE = 1_000_000
LARGEST = 25 * MEGABYTE
"""What a receiver's server can be relied on to take (common practice); what the own server takes it says itself."""
Answer = tuple[int, bytes]


@dataclass(frozen=True, slots=True)
class Planned:
    """One letter, its size in bytes, and what is known of it so far."""

    letter: Letter
    size: int
    before: Delivery | None

    @property
    def goes(self) -> bool:
        """Whether it would be sent now."""
        return bool(self.letter.address) and not self.is_large and (self.before is None or self.before.may_be_sent)

    @property
    def is_large(self) -> bool:
        """Whether a receiver's server may well refuse it."""
        return self.size > LARGEST


def planned(found: Sequence[Letter], register: Register, now: datetime) -> list[Planned]:
    """Each letter with what is known of it."""
    known = deliveries(register)
    return [
        Planned(each, len(message_of(each, now, draft=not each.address).as_bytes()), known.get((each.pack, each.to)))
        for each in found
    ]


def send(plans: Sequence[Planned], server: Server, register: Register, now: datetime) -> Iterator[Delivery]:
    """Send what may be sent, one connection each; raises MachineError where the server cannot be used at all."""
    for each in plans:
        if each.goes:
            client = connected(server)
            try:
                yield _sent(each, client, register, now)
            finally:
                with suppress(OSError, smtplib.SMTPException):
                    client.quit()


def _sent(plan: Planned, client: smtplib.SMTP, register: Register, now: datetime) -> Delivery:
    """Send one letter."""
    letter, at = plan.letter, now.isoformat(timespec="seconds")
    content = message_of(letter, now, draft=False).as_bytes()
    begun = Delivery(letter.pack, letter.to, Step.SENDING, at, letter.address)
    if too_large := _over(client, len(content)):
        return _entered(register, begun, letter, Step.TOO_LARGE, too_large)
    enter(register, begun, letter.message_id)
    points.passed(Point.SENDING)
    try:
        refused = _envelope(client, letter, len(content))
    except (OSError, smtplib.SMTPException):
        return _entered(register, begun, letter, Step.BROKEN_OFF, "no answer")
    try:
        code, words = refused or _content(client, content)
    except (OSError, smtplib.SMTPException):
        return begun
    points.passed(Point.ANSWERED)
    step = Step.ACCEPTED if code in OK else Step.TOO_LARGE if code == TOO_LARGE else Step.REFUSED
    return _entered(register, begun, letter, step, said(code, words))


def _over(client: smtplib.SMTP, size: int) -> str:
    """Why a mail of so many bytes is over the size that the server says it takes (RFC 1870); empty where it is not."""
    limit = client.esmtp_features.get("size", "")
    if not limit.isdecimal() or not 0 < int(limit) < size:
        return ""
    return f"the mail has {size / MEGABYTE:.1f} MB, the server takes {int(limit) / MEGABYTE:.1f} MB"


def _envelope(client: smtplib.SMTP, letter: Letter, size: int) -> Answer | None:
    """The server's refusal of sender or receiver, if any."""
    answer = client.mail(letter.sender[1], [f"size={size}"] if client.has_extn("size") else [])
    if answer[0] in OK:
        answer = client.rcpt(letter.address)
    return None if answer[0] in OK else answer


def _content(client: smtplib.SMTP, content: bytes) -> Answer:
    """The server's answer to the mail itself."""
    try:
        return client.data(content)
    except smtplib.SMTPDataError as trouble:
        words = trouble.smtp_error
        return trouble.smtp_code, words if isinstance(words, bytes) else words.encode()


def _entered(register: Register, begun: Delivery, letter: Letter, step: Step, answer: str) -> Delivery:
    """Enter an outcome."""
    ended = Delivery(begun.pack, begun.to, step, begun.at, begun.address, answer)
    enter(register, ended, letter.message_id)
    points.passed(Point.TOLD)
    return ended


def decide(register: Register, key: Key, *, arrived: bool, reason: str, now: datetime) -> Delivery:
    """Enter what a person found out about a letter; raises CommandError where there is nothing to decide."""
    before = deliveries(register).get(key)
    if before is None or before.step in GONE:
        known = f"its outcome is known ({before.step})" if before else "it was never sent"
        raise CommandError(
            f"The mail of pack {key[0]} to the {key[1]} needs no decision: {known}.", "See: handover send"
        )
    step = Step.DECIDED_SENT if arrived else Step.DECIDED_UNSENT
    decided = Delivery(*key, step, now.isoformat(timespec="seconds"), before.address, reason)
    enter(register, decided, "")
    return decided
