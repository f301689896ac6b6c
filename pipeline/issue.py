"""From decisions to packs: reserve, make, commit."""

import os
import socket
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline import points
from pipeline.errors import MachineError
from pipeline.facts.findings import Scope
from pipeline.facts.record import canonical, record_of
from pipeline.points import Point
from pipeline.progress import Tell
from pipeline.register import Kind, Register, Reservation, Wish
from pipeline.stages.commit import Outputs, commit, finish, lies_there, publish_missing, refuse_unknown
from pipeline.stages.decide import Decision, Status
from pipeline.stages.order import PhotoStore, order_of
from pipeline.stages.release import finish_releases
from pipeline.stages.sign import Pen, refusal, sign
from pipeline.stages.workers import make_all
from pipeline.standing import made_by, made_with

if TYPE_CHECKING:
    from pipeline.tools.libreoffice import Office

WAIT_FOR_LOCK_S = 20


def now() -> str:
    """The present moment with its offset, to the second."""
    return datetime.now(UTC).astimezone().isoformat(timespec="seconds")


def need_machine() -> None:
    """Raise MachineError, with what to type, unless LibreOffice and the one typeface are there."""
    from pipeline.tools.fonts import missing_fonts  # noqa: PLC0415
    from pipeline.tools.program import find_program  # noqa: PLC0415

    find_program()
    if fonts := missing_fonts():
        raise MachineError(
            f"The fonts {', '.join(fonts)} are missing: documents would come out in another typeface.",
            "Run the first line of the README again; it brings them.",
        )


@dataclass(frozen=True, slots=True)
class Workshop:
    """What every pack of a run is made with and where it goes; `cluster` is the address of machines that make it."""

    outputs: Outputs
    templates: Mapping[str, bytes]
    photos: Path
    as_of: date
    tell: Tell
    cluster: str = ""

    @property
    def store(self) -> PhotoStore:
        """The photos of packs under way."""
        return PhotoStore(self.outputs.photos)


@contextmanager
def alone(outputs: Outputs) -> Iterator[None]:
    """Hold the outputs folder for one run; a second one waits a little, then is told who holds it."""
    from filelock import FileLock, Timeout  # noqa: PLC0415

    outputs.root.mkdir(parents=True, exist_ok=True)
    holder = outputs.root / ".holder"
    lock = FileLock(outputs.lock)
    try:
        lock.acquire(timeout=WAIT_FOR_LOCK_S)
    except Timeout as trouble:
        who = holder.read_text(encoding="utf-8") if holder.exists() else "another run"
        raise MachineError(
            f"{outputs.root.name} is in use by {who}.", "Wait until that run has ended, then try again."
        ) from trouble
    try:
        began = datetime.now(UTC).astimezone()
        who = f"another run (process {os.getpid()} on {socket.gethostname()}, begun {began:%d %b %Y %H:%M})"
        holder.write_text(who, encoding="utf-8")
        yield
    finally:
        holder.unlink(missing_ok=True)
        lock.release()


def issue(decisions: Sequence[Decision], register: Register, shop: Workshop, office: "Office") -> list[Decision]:
    """Reserve a number for each job to be made, make its pack, bring it home; the other decisions pass through."""
    chosen = [each for each in decisions if each.status is Status.TO_MAKE]
    for each in chosen:
        shop.store.keep(shop.photos, each.judged.job.photo_sums)
    wishes = [
        Wish(
            each.reference,
            each.key,
            record_bytes(each, shop.as_of),
            each.reason,
            tuple(answer.as_json() for answer in each.judged.answers),
            made_with(each.judged, shop.templates),
        )
        for each in chosen
    ]
    points.passed(Point.KEPT)
    reserved = register.reserve(wishes, now(), shop.as_of.isoformat()) if wishes else []
    points.passed(Point.RESERVED)
    done = dict(_complete(reserved, register, shop, office))
    by_job = {each.job: each.envelope.name for each in reserved}
    return [
        _outcome(each, by_job[each.reference], done[by_job[each.reference]]) if each.status is Status.TO_MAKE else each
        for each in decisions
    ]


def _outcome(decision: Decision, number: str, trouble: str) -> Decision:
    """What a job to be made has become."""
    return replace(decision, status=Status.FAILED if trouble else Status.AWAITING, number=number, trouble=trouble)


def finish_interrupted(register: Register, shop: Workshop, office: "Office") -> dict[str, str]:
    """Complete what an earlier run reserved and did not finish, without its workbook.

    Gives each pack's number with the trouble that stopped it again, if any.
    """
    refuse_unknown(register, shop.outputs)
    publish_missing(register, shop.outputs)
    finish_releases(register, shop.outputs, now())
    finished: dict[str, str] = {}
    waiting = []
    for each in register.unfinished():
        if lies_there(each, shop.outputs):
            finish(each, register, shop.outputs, now())
            finished[each.envelope.name] = ""
        else:
            waiting.append(each)
    return finished | dict(_complete(waiting, register, shop, office))


def _complete(
    reserved: Sequence[Reservation], register: Register, shop: Workshop, office: "Office"
) -> Iterator[tuple[str, str]]:
    """Make and commit reservations; gives each number with the trouble that stopped it, if any."""
    orders = []
    for each in reserved:
        try:
            photos = shop.store.take(each.photo_sums)
        except MachineError as trouble:
            yield each.envelope.name, f"{trouble.message} {trouble.remedy}"
        else:
            orders.append(order_of(each.record, each.envelope, photos, dict(shop.templates)))
    tools = made_by(shop.templates)
    made_all = make_all(orders, office, shop.tell, shop.cluster) if orders else ()
    by_name = {each.envelope.name: replace(each, made_with=each.made_with | tools) for each in reserved}
    for count, made in enumerate(made_all, start=1):
        points.passed(Point.MADE)
        shop.tell(f"pack {made.envelope.name}", count, len(orders))
        if not made.trouble:
            commit(made, by_name[made.envelope.name], register, shop.outputs, now())
        yield made.envelope.name, f"{made.trouble} {made.remedy}".strip()


def sign_made(
    decisions: Sequence[Decision], register: Register, outputs: Outputs, pen: Pen | None
) -> tuple[list[Decision], tuple[str, ...]]:
    """Sign what awaits its signature among the jobs of this run; gives also why a pack could not be signed."""
    signed, refused = [], []
    waiting = {each.name for each in register.standings() if each.state is Kind.AWAITING}
    for each in decisions:
        if pen is None or each.number not in waiting or each.status is Status.HELD:
            signed.append(each)
        elif why := refusal(each.number, pen, register, outputs, now()):
            refused.append(f"{each.number}: {why}")
            signed.append(each)
        else:
            pen.tell(f"signing {each.number}")
            sign(each.number, pen, register, outputs, now())
            signed.append(replace(each, status=Status.ISSUED))
    return signed, tuple(refused)


def record_bytes(decision: Decision, as_of: date) -> bytes:
    """The canonical record of a judged job."""
    judged = decision.judged
    edition = judged.edition.as_json() if judged.edition else {}
    answers = [each.as_json() for each in judged.accepted if each.finding.scope is not Scope.WEEK]
    return canonical(record_of(judged.job, list(judged.findings), edition, as_of, answers))
