"""A signed pack looked at by a reader that had no part in signing it, before it counts as signed."""

import hashlib
import io
from collections.abc import Iterator
from typing import Any

from pipeline.pack.conformance import failures
from pipeline.pack.opening import opened
from pipeline.pack.wholeness import claim_of, description_problems
from pipeline.signing.key import Key


def problems(pdf: bytes, pack: bytes, key: Key) -> list[str]:
    """What keeps a signed file from being the pack, released by that key; empty when nothing does."""
    if not pdf.startswith(pack):
        return ["What was to be signed was changed on the way."]
    with opened(pdf) as read:
        claim = claim_of(read)
        found = list(description_problems(read))
    if claim is None:
        return [*found, "It does not say any more that it is a PDF/A-3."]
    return [*found, *failures(pdf, claim), *_signature_problems(pdf, key)]


def _signature_problems(pdf: bytes, key: Key) -> Iterator[str]:
    """Whether one signature covers the whole file and is that of the key."""
    from cryptography.exceptions import InvalidSignature  # noqa: PLC0415 - heavy, only where something is signed

    ranges = _ranges(pdf)
    if ranges is None:
        yield "It does not hold one signature."
        return
    start, length, again, rest = ranges
    if start or again + rest != len(pdf) or pdf[length : length + 1] != b"<" or pdf[again - 1 : again] != b">":
        yield "The signature does not cover the whole file."
        return
    try:
        digest, attributes, signature = _message(bytes.fromhex(pdf[length + 1 : again - 1].decode("ascii")), key)
        _check(key, signature, attributes)
    except (ValueError, KeyError, TypeError, InvalidSignature) as trouble:
        yield f"The signature is not that of {key.holder} ({type(trouble).__name__})."
        return
    if digest != hashlib.sha256(pdf[:length] + pdf[again:]).digest():
        yield "The signature is one over other bytes."


def _ranges(pdf: bytes) -> tuple[int, int, int, int] | None:
    """The bytes that the one signature of a file covers; None where there is not exactly one."""
    from pypdf import PdfReader  # noqa: PLC0415

    root: Any = PdfReader(io.BytesIO(pdf), strict=True).trailer["/Root"]
    fields = [each.get_object() for each in root.get("/AcroForm", {}).get("/Fields", [])]
    found = [each["/V"]["/ByteRange"] for each in fields if each.get("/FT") == "/Sig" and "/V" in each]
    if len(found) != 1 or len(found[0]) != 4:
        return None
    start, length, again, rest = map(int, found[0])
    return start, length, again, rest


def _message(content: bytes, key: Key) -> tuple[bytes, bytes, bytes]:
    """What a signed message (RFC 5652) says: digest of the file, the attributes that were signed, the signature."""
    from asn1crypto import cms  # noqa: PLC0415
    from cryptography.hazmat.primitives.serialization import Encoding  # noqa: PLC0415

    data = cms.ContentInfo.load(content)["content"]
    [signer] = data["signer_infos"]
    if key.certificate.public_bytes(Encoding.DER) not in {each.chosen.dump() for each in data["certificates"]}:
        message = "the certificate of the key is not in it"
        raise ValueError(message)
    attributes = signer["signed_attrs"]
    [digest] = [each["values"][0].native for each in attributes if each["type"].native == "message_digest"]
    return digest, attributes.untag().dump(), signer["signature"].native


def _check(key: Key, signature: bytes, attributes: bytes) -> None:
    """Raise InvalidSignature unless the key has signed the attributes."""
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import ec, padding, rsa  # noqa: PLC0415

    public = key.certificate.public_key()
    if isinstance(public, rsa.RSAPublicKey):
        public.verify(signature, attributes, padding.PKCS1v15(), hashes.SHA256())
    elif isinstance(public, ec.EllipticCurvePublicKey):
        public.verify(signature, attributes, ec.ECDSA(hashes.SHA256()))
    else:
        message = "a key of another kind"
        raise TypeError(message)
