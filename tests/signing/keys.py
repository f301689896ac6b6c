"""Keys for the tests, made by others' tools alone: sound ones and ones that must be refused."""

from datetime import UTC, datetime, timedelta
from functools import cache

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, NoEncryption
from cryptography.hazmat.primitives.serialization.pkcs12 import serialize_key_and_certificates
from cryptography.x509.oid import NameOID

PASSWORD = "four words nobody knows"  # noqa: S105 - opens nothing but the keys made here
DAY = timedelta(days=1)
USAGES = ("digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement",
          "key_cert_sign", "crl_sign", "encipher_only", "decipher_only")  # fmt: skip
KINDS = {
    "rsa": lambda: rsa.generate_private_key(public_exponent=65537, key_size=2048),
    "curve": lambda: ec.generate_private_key(ec.SECP256R1()),
    "weak": lambda: rsa.generate_private_key(public_exponent=65537, key_size=1024),  # noqa: S505 - to be refused
    "other": ed25519.Ed25519PrivateKey.generate,
}


@cache
def private(kind):
    return KINDS[kind]()


def name(common):
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, common)])


def certificate(holder, kind="rsa", *, since=-30, until=300, uses=("digital_signature",)):
    """A certificate that vouches for itself, holding from and to so many days from now."""
    now = datetime.now(UTC)
    builder = (
        x509.CertificateBuilder()
        .subject_name(name(holder))
        .issuer_name(name(holder))
        .public_key(private(kind).public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now + since * DAY)
        .not_valid_after(now + until * DAY)
    )
    if uses is not None:
        usage = {**dict.fromkeys(USAGES, False), **dict.fromkeys(uses, True)}
        builder = builder.add_extension(x509.KeyUsage(**usage), critical=True)
    return builder.sign(private(kind), None if kind == "other" else hashes.SHA256())


def key_file(path, holder, kind="rsa", *, password=PASSWORD, key=True, **about):
    """A PKCS#12 file; without `key` it holds only the certificate."""
    sealing = BestAvailableEncryption(password.encode()) if password else NoEncryption()
    made = certificate(holder, kind, **about)
    content = serialize_key_and_certificates(
        b"key", private(kind) if key else None, made if key else None, None if key else [made], sealing
    )
    path.write_bytes(content)
    return path
