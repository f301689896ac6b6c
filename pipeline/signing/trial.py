"""An authority and a key for trying out: whoever looks at them sees that nobody may rely on them."""

import os
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from pipeline.disk import write_durably
from pipeline.errors import CommandError
from pipeline.signing.key import TRIAL

AUTHORITY_FILE, KEY_FILE = "test-authority.pem", "test-key.p12"
AUTHORITY = f"{TRIAL} authority of the charge-point demo"
ORGANISATION = f"{TRIAL} ONLY - nobody may rely on this"
LASTS = timedelta(days=365)
LEAST_PASSWORD = 4


def trial_holder(person: str) -> str:
    """The name that the certificate of a key for trying out gives its holder."""
    return f"{TRIAL} {person}"


def make_trial_keys(folder: Path, person: str, password: str) -> tuple[Path, Path]:
    """Write an authority's certificate and a key under it; gives both paths, and never replaces a file.

    The authority's own key is forgotten at once, so that nobody else can be vouched for by it.
    """
    from cryptography.hazmat.primitives.asymmetric import rsa  # noqa: PLC0415 - heavy, only where keys are made
    from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, Encoding  # noqa: PLC0415
    from cryptography.hazmat.primitives.serialization.pkcs12 import serialize_key_and_certificates  # noqa: PLC0415

    authority, key = folder / AUTHORITY_FILE, folder / KEY_FILE
    for path in (authority, key):
        if path.exists():
            raise CommandError(f"{path} is already there; it is not overwritten.", "Name another folder.")
    if len(password) < LEAST_PASSWORD:
        raise CommandError("The password is too short.", f"Give one of at least {LEAST_PASSWORD} characters.")
    root_key, own_key = (rsa.generate_private_key(public_exponent=65537, key_size=2048) for _ in range(2))
    root = _certificate(AUTHORITY, root_key.public_key(), AUTHORITY, root_key, is_authority=True)
    own = _certificate(trial_holder(person), own_key.public_key(), AUTHORITY, root_key, is_authority=False)
    sealed = serialize_key_and_certificates(
        trial_holder(person).encode(), own_key, own, [root], BestAvailableEncryption(password.encode())
    )
    folder.mkdir(parents=True, exist_ok=True)
    write_durably(authority, root.public_bytes(Encoding.PEM))
    write_durably(key, sealed)
    if os.name != "nt":
        key.chmod(stat.S_IRUSR | stat.S_IWUSR)
    return authority, key


def _certificate(subject: str, public: Any, issuer: str, issuer_key: Any, *, is_authority: bool) -> Any:
    """A certificate that holds for a year from yesterday, since clocks differ."""
    from cryptography import x509  # noqa: PLC0415
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415

    begin = datetime.now(UTC).replace(microsecond=0) - timedelta(days=1)
    unused = ("key_encipherment", "data_encipherment", "key_agreement", "encipher_only", "decipher_only")
    usage = {
        **dict.fromkeys(unused, False),
        "digital_signature": not is_authority,
        "content_commitment": not is_authority,
        "key_cert_sign": is_authority,
        "crl_sign": is_authority,
    }
    builder = (
        x509.CertificateBuilder()
        .subject_name(_name(subject))
        .issuer_name(_name(issuer))
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(begin)
        .not_valid_after(begin + LASTS)
        .add_extension(x509.BasicConstraints(ca=is_authority, path_length=0 if is_authority else None), critical=True)
        .add_extension(x509.KeyUsage(**usage), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(issuer_key.public_key()), critical=False)
    )
    return builder.sign(issuer_key, hashes.SHA256())


def _name(common: str) -> Any:
    """A name that says in every part of it what it is for."""
    from cryptography import x509  # noqa: PLC0415
    from cryptography.x509.oid import NameOID  # noqa: PLC0415

    return x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, ORGANISATION),
            x509.NameAttribute(NameOID.COMMON_NAME, common),
        ]
    )
