"""What the screen says of each mail: how far it has come, and what to do now."""

from datetime import datetime

from pipeline.mail.post import LARGEST, MEGABYTE, Planned
from pipeline.register.mails import Delivery, Step

NO_ADDRESS = "no address on record"
ON_PAPER = "send the draft yourself (handover mail), or hand the pack over on paper"
LARGE = f"over {LARGEST // MEGABYTE} MB, which many servers refuse: hand it over another way"
FOR_NOW, LATER = "4", "the server refuses for now: run again later"  # RFC 5321, 4.2.1
NEXT = {
    Step.SENDING: "may have arrived: ask, then handover send --decide PACK",
    Step.ACCEPTED: "nothing",
    Step.REFUSED: "correct the address or ask the server's owner, then run again",
    Step.BROKEN_OFF: "run again",
    Step.TOO_LARGE: "hand it over another way, then handover send --decide PACK",
    Step.DECIDED_SENT: "nothing",
    Step.DECIDED_UNSENT: "run again",
}


def line_of(plan: Planned, done: Delivery | None, *, go: bool) -> tuple[str, ...]:
    """One mail in one line."""
    letter, known = plan.letter, done or plan.before
    start = (letter.pack, letter.to, letter.address or NO_ADDRESS, f"{plan.size / MEGABYTE:.1f}")
    if not letter.address and known is None:
        return (*start, "not sent", ON_PAPER)
    if plan.is_large and known is None:
        return (*start, "not sent", LARGE)
    if known is None or (plan.goes and done is None):
        return (*start, "not sent" if go else "would be sent", "run again" if go else "handover send --go")
    later = known.step is Step.REFUSED and known.answer.startswith(FOR_NOW)
    return (*start, so_far(known), LATER if later else NEXT[known.step])


def so_far(known: Delivery | None) -> str:
    """What is known of a mail."""
    if known is None:
        return "not sent"
    moment = datetime.fromisoformat(known.at).astimezone().strftime("%d %b %Y %H:%M")
    return f"{'UNKNOWN since' if known.unknown else str(known.step) + ','} {moment}"
