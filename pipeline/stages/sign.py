"""Sign: packs that await their signature are signed by key and released, each proved by a second reader first."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING

from pipeline.errors import CommandError, InspectionError, PipelineError
from pipeline.facts.record import Json
from pipeline.facts.rows.firm import Person
from pipeline.progress import Tell, silent
from pipeline.register import Kind, Register
from pipeline.stages.commit import Outputs
from pipeline.stages.release import KEY, SIGNED, UNSIGNED, Release, job_in, releasable, release, require_authority

if TYPE_CHECKING:
    from pipeline.signing.key import Key
    from pipeline.signing.stamp import Stamper


@dataclass(frozen=True, slots=True)
class Pen:
    """What is signed with: an opened key, and a time stamp authority where one was chosen."""

    key: "Key"
    stamper: "Stamper | None" = None
    tell: Tell = field(default=silent, repr=False)


def sign_all(names: Iterable[str], pen: Pen, register: Register, outputs: Outputs, clock: Callable[[], str]) -> None:
    """Sign and release packs; raises CommandError with everything that stands against it before any is signed."""
    pen.key.require_valid(datetime.fromisoformat(clock()))
    wanted = list(dict.fromkeys(names))
    refused = [f"{each}: {why}" for each in wanted if (why := refusal(each, pen, register, outputs, clock()))]
    if refused:
        raise CommandError("\n".join(refused), "Nothing was signed.")
    for count, name in enumerate(wanted, start=1):
        pen.tell(f"signing {name}", count, len(wanted))
        sign(name, pen, register, outputs, clock())


def is_signed_with(key: "Key", name: str, register: Register) -> bool:
    """Whether a pack is issued by this very key: a run that broke off is run again with the same names."""
    standing = register.standing(name)
    if standing.state is not Kind.ISSUED:
        return False
    certificate: Json = register.personal(standing.name, Kind.ISSUED).get("certificate", {})
    return certificate.get("sha256") == _sum_of(key)


def _sum_of(key: "Key") -> str:
    """The fingerprint of a key's certificate."""
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415 - heavy, only where something is signed

    return key.certificate.fingerprint(hashes.SHA256()).hex()


def refusal(name: str, pen: Pen, register: Register, outputs: Outputs, now: str) -> str:
    """Why a pack cannot be signed with this key now; empty when it can."""
    try:
        pen.key.require_valid(datetime.fromisoformat(now))
        standing = releasable(name, register, outputs)
        person = holder(pen.key, job_in(register, standing.name).people, standing.name)
        require_authority(person, standing.name, date.fromisoformat(now[:10]))
    except PipelineError as trouble:
        return f"{trouble.message} {trouble.remedy}"
    return ""


def sign(name: str, pen: Pen, register: Register, outputs: Outputs, now: str) -> None:
    """Sign one pack, prove it, release it; raises InspectionError when the second reader finds anything."""
    from pipeline.signing.sign import signed  # noqa: PLC0415 - heavy, only where something is signed

    standing = releasable(name, register, outputs)
    person = holder(pen.key, job_in(register, standing.name).people, standing.name)
    pack = (outputs.archive / standing.name / "data" / f"{standing.name}-{UNSIGNED}").read_bytes()
    content = signed(pack, pen.key, pen.stamper)
    if found := _problems(content, pack, pen.key):
        raise InspectionError(
            f"The signature in {standing.name} does not hold: {'; '.join(found[:3])}.",
            "It was not released. Tell whoever looks after the program.",
        )
    about = {
        "holder": pen.key.holder,
        "issuer": pen.key.issuer,
        "sha256": _sum_of(pen.key),
        **({"time_stamp": pen.stamper.url} if pen.stamper else {}),
    }
    day = date.fromisoformat(now[:10])
    release(Release(standing.name, str(person.person), day, KEY, {SIGNED: content}, about), register, outputs, now)


def holder(key: "Key", people: Sequence[Person], name: str) -> Person:
    """The person of a pack's own record to whom the key belongs; raises CommandError where there is none."""
    found = [each for each in people if key.belongs_to(each.shown("name"))]
    if not found:
        raise CommandError(
            f"The key belongs to {key.holder}, and pack {name} names no such person.",
            "Sign with the key of a person of the sheet People, or add the person there and revise the pack.",
        )
    return max(found, key=lambda each: len(each.shown("name").split()))


def _problems(content: bytes, pack: bytes, key: "Key") -> list[str]:
    """What two readers that had no part in signing find in the signed pack."""
    from pipeline.audit.signatures import signatures  # noqa: PLC0415
    from pipeline.signing.second import problems  # noqa: PLC0415

    found = [fault.message for each in signatures(content, (), "pack") for fault in each.faults]
    return [*problems(content, pack, key), *found]
