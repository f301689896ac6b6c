"""Signatures in a pack: what each covers, whether anything came after it, who signed, and who vouches for the signer.

The only module that knows how signatures are checked. 'Valid' alone is not believed: the whole file must be covered,
nothing may have been modified, and the container that holds the signature must be written in the one canonical way,
since its bytes are the only ones that no signature can cover (ISO 32000-1, 12.8.1).
"""

import io
import logging
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.audit.faults import Fault, Kind
from pipeline.errors import CommandError

if TYPE_CHECKING:
    from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature

# writers use either, but none mixes them
_HEX = (frozenset(b"0123456789ABCDEF"), frozenset(b"0123456789abcdef"))
_STAMP = "signature_time_stamp_token"


@dataclass(frozen=True, slots=True)
class Signature:
    """One signature: who signed, when by their own clock, and whether one of the given authorities vouches for them.

    `trusted` is None where no authority was given.
    """

    signer: str
    claimed: str
    trusted: bool | None
    faults: tuple[Fault, ...] = ()

    def __str__(self) -> str:
        """The signature in one line."""
        vouched = {None: "trust not judged: no authority was given", True: "vouched for", False: "not vouched for"}
        return f"{self.signer}, {self.claimed or 'no time'} by the signer's clock, {vouched[self.trusted]}"


def authorities(files: Sequence[Path]) -> tuple[bytes, ...]:
    """Certificates of authorities from PEM or DER files, as DER; raises CommandError for a file that holds none."""
    from asn1crypto import pem  # noqa: PLC0415
    from cryptography.x509 import load_der_x509_certificate  # noqa: PLC0415

    found: list[bytes] = []
    for path in files:
        try:
            content = path.read_bytes()
            ders = [der for _, _, der in pem.unarmor(content, multiple=True)] if pem.detect(content) else [content]
            for der in ders:
                load_der_x509_certificate(der)
        except (OSError, ValueError) as trouble:
            raise CommandError(
                f"{path.name} holds no certificate ({trouble}).", "Give the authority's own, a .pem or .cer file."
            ) from trouble
        found += ders
    return tuple(found)


def signatures(pdf: bytes, roots: Sequence[bytes], where: str) -> list[Signature]:
    """All signatures of a PDF; raises errors of pyhanko when the file cannot be read as one."""
    if b"/ByteRange" not in pdf and b"/Sig" not in pdf:
        return []
    from pyhanko.pdf_utils.reader import PdfFileReader  # noqa: PLC0415 - heavy, few packs of an old archive are signed

    logging.getLogger("pyhanko").setLevel(logging.CRITICAL)  # what it would print is told as a fault
    logging.getLogger("pyhanko_certvalidator").setLevel(logging.CRITICAL)
    reader = PdfFileReader(io.BytesIO(pdf))
    return [_signature(pdf, each, roots, where) for each in reader.embedded_regular_signatures]


def _signature(pdf: bytes, embedded: "EmbeddedPdfSignature", roots: Sequence[bytes], where: str) -> Signature:
    """One signature with everything that keeps it from proving the file."""
    from pyhanko.sign.diff_analysis import ModificationLevel  # noqa: PLC0415
    from pyhanko.sign.validation import validate_pdf_signature  # noqa: PLC0415
    from pyhanko.sign.validation.status import SignatureCoverageLevel  # noqa: PLC0415

    claimed = embedded.self_reported_timestamp
    status = validate_pdf_signature(embedded, _context(roots, claimed))
    signer = embedded.signer_cert.subject.native.get("common_name", "somebody without a name")
    faults = []
    if not (status.intact and status.valid):
        told = f"The bytes that {signer} signed are not the bytes of this file."
        faults.append(Fault(where, Kind.SIGNATURE, told))
    if status.coverage is not SignatureCoverageLevel.ENTIRE_FILE or status.modification_level not in {
        None,
        ModificationLevel.NONE,
    }:
        told = f"The signature of {signer} does not cover the entire file: something was added after it."
        faults.append(Fault(where, Kind.APPENDED, told))
    faults += [Fault(where, Kind.SIGNATURE, each) for each in container_problems(pdf, embedded)]
    trusted = bool(status.trusted) if roots else None
    if trusted is False and status.intact and status.valid:
        told = f"{signer} signed, and none of the given authorities vouches for them."
        faults.append(Fault(where, Kind.STRANGER, told))
    return Signature(str(signer), claimed.isoformat() if claimed else "", trusted, tuple(faults))


def _context(roots: Sequence[bytes], moment: datetime | None) -> Any:
    """Trust in the given authorities alone, at the time that the signature claims; the network is never asked."""
    from asn1crypto.x509 import Certificate  # noqa: PLC0415
    from pyhanko_certvalidator import ValidationContext  # noqa: PLC0415

    trusted = [Certificate.load(each) for each in roots]
    return ValidationContext(trust_roots=trusted, allow_fetching=False, moment=moment, best_signature_time=moment)


def container_problems(pdf: bytes, embedded: "EmbeddedPdfSignature") -> Iterator[str]:
    """What is not canonical in the container of a signature, whose bytes the signature itself cannot cover."""
    start, length, again, _ = embedded.byte_range
    gap = pdf[start + length : again]
    if (
        start != 0
        or gap[:1] != b"<"
        or gap[-1:] != b">"
        or not any(each.issuperset(gap[1:-1]) for each in _HEX)
        or len(gap) % 2
    ):
        yield "The container of the signature is not written in plain hexadecimal digits of one case."
        return
    content = bytes.fromhex(gap[1:-1].decode("ascii"))
    if content != embedded.pkcs7_content:
        yield "The container of the signature is not the one that the file names."
        return
    yield from _structure_problems(content, embedded.signer_cert)


def _structure_problems(content: bytes, owner: Any) -> Iterator[str]:
    """What a signed message holds besides what it needs, or in another form than the canonical one (X.690, DER)."""
    from asn1crypto import cms  # noqa: PLC0415

    try:
        message = cms.ContentInfo.load(content)
        whole = message.dump()
        plain = cms.ContentInfo({"content_type": "signed_data", "content": message["content"].copy()})
        rewritten = plain.dump(force=True)
        signed, (signer, *others) = message["content"], message["content"]["signer_infos"]
        surplus = content[len(whole) :].strip(b"\0")
        certificates = [each.chosen for each in signed["certificates"]]
    except (ValueError, TypeError, KeyError) as trouble:
        yield f"The container of the signature cannot be read: {trouble}."
        return
    if surplus:
        yield "Something stands in the container behind the signature."
    if rewritten != whole:
        yield "The signature is not written in the one canonical form."
    digests = [each["algorithm"].native for each in signed["digest_algorithms"]]
    stamped = [each["type"].native for each in signer["unsigned_attrs"] or ()]
    if (
        others
        or signed["version"].native != "v1"
        or signer["version"].native != "v1"
        or digests != [signer["digest_algorithm"]["algorithm"].native]
        or signed["encap_content_info"]["content"].native is not None
        or signed["crls"]
        or set(stamped) - {_STAMP}
    ):
        yield "The container holds something besides one signature and its certificates."
    yield from (
        f"The certificate of {name} in the container holds no longer." for name in _unproved(certificates, owner)
    )


def _unproved(certificates: Sequence[Any], signer: Any) -> Iterator[str]:
    """Certificates of a container that none there proves; the issuer of the signer's own may be elsewhere."""
    from cryptography.exceptions import InvalidSignature  # noqa: PLC0415
    from cryptography.x509 import load_der_x509_certificate  # noqa: PLC0415

    for each in certificates:
        name = each.subject.native.get("common_name", "somebody")
        try:
            ours = load_der_x509_certificate(each.dump())
            issuers = [
                load_der_x509_certificate(other.dump()) for other in certificates if other.subject == each.issuer
            ]
            for issuer in issuers:
                ours.verify_directly_issued_by(issuer)
            if not issuers and each.dump() != signer.dump():
                yield str(name)
        except (ValueError, TypeError, InvalidSignature):
            yield str(name)
