"""A key for signing: a PKCS#12 file (RFC 7292), opened by a password that comes from a person and never from a file."""

import os
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.errors import CommandError

if TYPE_CHECKING:
    from cryptography.x509 import Certificate
    from pyhanko.sign.signers import SimpleSigner

PASSWORD_VARIABLE = "HANDOVER_KEY_PASSWORD"  # noqa: S105 - the name of a variable, no password
KEYRING = "handover"
SMALLEST_RSA_BITS = 2048
"""BS EN 319 412 and its kin ask for no less today (from memory); what is weaker proves nothing for ten years."""

TRIAL = "TEST"
"""The word with which the names of authorities and keys for trying out begin."""


@dataclass(frozen=True, slots=True)
class Key:
    """A key that was opened: the certificate that goes with it, and what signs with it."""

    certificate: "Certificate"
    signer: "SimpleSigner" = field(repr=False)

    @property
    def holder(self) -> str:
        """The name of whoever holds the key, by its certificate."""
        return _name(self.certificate.subject)

    @property
    def issuer(self) -> str:
        """The name of the authority that vouches for the holder."""
        return _name(self.certificate.issuer)

    @property
    def for_trial(self) -> bool:
        """Whether it is a key for trying out, on which nobody may rely."""
        return self.issuer.startswith(f"{TRIAL} ")

    def belongs_to(self, name: str) -> bool:
        """Whether it is the key of a person, who may be written with the surname first."""
        words = set(self.holder.casefold().replace(",", " ").split())
        return bool(name.split()) and set(name.casefold().replace(",", " ").split()) <= words

    def require_valid(self, moment: datetime) -> None:
        """Raise CommandError unless the certificate holds at that moment."""
        first, last = self.certificate.not_valid_before_utc, self.certificate.not_valid_after_utc
        if not first <= moment <= last:
            word = "has expired" if moment > last else "is not valid yet"
            raise CommandError(
                f"The certificate of {self.holder} {word}: it holds from {first:%d %b %Y} to {last:%d %b %Y}.",
                "Sign with a certificate that holds today.",
            )


def open_key(path: Path, password: str) -> Key:
    """Open a key; raises CommandError for a file that is none, a wrong password, or a key that must not sign."""
    from asn1crypto import pkcs12  # noqa: PLC0415 - heavy, only where something is signed
    from cryptography.hazmat.primitives.serialization.pkcs12 import load_pkcs12  # noqa: PLC0415
    from pyhanko.sign.signers import SimpleSigner  # noqa: PLC0415

    try:
        content = path.read_bytes()
        pkcs12.Pfx.load(content, strict=True).native["version"]
    except (OSError, ValueError, TypeError, KeyError) as trouble:
        raise CommandError(
            f"{path.name} cannot be read as a key (PKCS#12).", "Give the .p12 or .pfx file of the key."
        ) from trouble
    try:
        opened = load_pkcs12(content, password.encode())
    except ValueError as trouble:
        raise CommandError(
            f"The password does not open {path.name}.", "Type it again; nothing was signed."
        ) from trouble
    if opened.key is None or opened.cert is None:
        raise CommandError(f"{path.name} holds no key with its certificate.", "Export both together from where it is.")
    signer = SimpleSigner.load_pkcs12_data(content, [], password.encode())
    key = Key(opened.cert.certificate, signer)
    _require_fit(key)
    return key


def _require_fit(key: Key) -> None:
    """Raise CommandError for a key that is weak, or that its certificate does not give for signing."""
    from cryptography import x509  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import ec, rsa  # noqa: PLC0415

    public = key.certificate.public_key()
    strong = isinstance(public, ec.EllipticCurvePublicKey) or (
        isinstance(public, rsa.RSAPublicKey) and public.key_size >= SMALLEST_RSA_BITS
    )
    try:
        usage: Any = key.certificate.extensions.get_extension_for_class(x509.KeyUsage).value
        given = usage.digital_signature or usage.content_commitment
    except x509.ExtensionNotFound:
        given = True
    if not strong or not given:
        raise CommandError(
            f"The key of {key.holder} is not fit for signing documents.",
            f"Use a key that was issued for signing: elliptic curve, or RSA of at least {SMALLEST_RSA_BITS} bits.",
        )


def password_for(path: Path, ask: Callable[[str], str] | None = None) -> str:
    """The password of a key: from the environment, the system's keyring, or whoever sits at the screen.

    Raises CommandError where none of them gives one. `ask` stands in for the person.
    """
    if PASSWORD_VARIABLE in os.environ:
        return os.environ[PASSWORD_VARIABLE]
    if kept := _kept(path.name):
        return kept
    if ask is None and not sys.stdin.isatty():
        raise CommandError(
            f"The password of {path.name} is needed, and nobody is there to be asked.",
            f"Set {PASSWORD_VARIABLE}, or keep it in the system's keyring: keyring set {KEYRING} {path.name}",
        )
    from getpass import getpass  # noqa: PLC0415

    return (ask or getpass)(f"Password of {path.name}: ")


def _kept(name: str) -> str | None:
    """The password that the system's keyring keeps, where there is a keyring and it has one."""
    import keyring  # noqa: PLC0415 - asks the system, only where a password is needed
    from keyring.errors import KeyringError  # noqa: PLC0415

    try:
        return keyring.get_password(KEYRING, name)
    except (KeyringError, RuntimeError):
        return None


def _name(subject: Any) -> str:
    """The common name in the subject of a certificate."""
    from cryptography.x509.oid import NameOID  # noqa: PLC0415

    found = subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    return str(found[0].value) if found else "somebody without a name"
