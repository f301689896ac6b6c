"""What has become of each mail: entered before anything is sent and again with the server's answer.

A mail whose last entry says 'sending' has an unknown outcome: it may have arrived. It stays so until a person decides.
"""

from dataclasses import dataclass
from enum import StrEnum

from pipeline.register.book import Register


class Step(StrEnum):
    """How far a mail has come."""

    SENDING = "sending"
    ACCEPTED = "accepted by the mail server"
    REFUSED = "refused by the mail server"
    BROKEN_OFF = "not sent: the connection broke off before"
    TOO_LARGE = "too large for the mail server"
    DECIDED_SENT = "has arrived, as somebody decided"
    DECIDED_UNSENT = "has not arrived, as somebody decided"


GONE = (Step.ACCEPTED, Step.DECIDED_SENT)
"""Steps after which a mail is never sent again."""

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Delivery:
    """The last that is known of one mail: to whom ('client'), at which address, and what the server answered."""

    pack: str
    to: str
    step: Step
    at: str
    address: str = ""
    answer: str = ""

    @property
    def unknown(self) -> bool:
        """Whether nobody knows if it arrived."""
        return self.step is Step.SENDING

    @property
    def may_be_sent(self) -> bool:
        """Whether it surely has not arrived."""
        return not self.unknown and self.step not in GONE


def deliveries(register: Register) -> dict[Key, Delivery]:
    """The last step of each mail, by pack and receiver."""
    found: dict[Key, Delivery] = {}
    for at, body, personal in register.mails():
        each = Delivery(
            body["pack"], body["to"], Step(body["step"]), at, personal.get("address", ""), personal.get("answer", "")
        )
        found[each.pack, each.to] = each
    return found


def enter(register: Register, delivery: Delivery, message_id: str) -> None:
    """Enter one step of a mail."""
    body = {"pack": delivery.pack, "to": delivery.to, "step": str(delivery.step), "message": message_id}
    register.enter_mail(delivery.at, body, {"address": delivery.address, "answer": delivery.answer})
