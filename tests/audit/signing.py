"""An invented authority and signers under it, and packs signed by them, without a word of the program."""

import io
from datetime import UTC, datetime, timedelta
from functools import cache

from asn1crypto import keys
from asn1crypto.x509 import Certificate
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.x509.oid import NameOID
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import fields, signers
from pyhanko_certvalidator.registry import SimpleCertificateStore

DAY = datetime(2026, 11, 1, tzinfo=UTC)


class _Writer(IncrementalPdfFileWriter):
    """Leaves title and dates as they are."""

    def _update_meta(self):
        """Nothing is written anew."""


def _name(text):
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _certificate(subject, key, issuer, issuer_key, *, authority):
    usage = dict.fromkeys(
        ("digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement",
         "key_cert_sign", "crl_sign", "encipher_only", "decipher_only"), False,
    )  # fmt: skip
    usage |= {"key_cert_sign": True} if authority else {"digital_signature": True, "content_commitment": True}
    builder = (
        x509.CertificateBuilder()
        .subject_name(_name(subject))
        .issuer_name(_name(issuer))
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(DAY - timedelta(days=400))
        .not_valid_after(DAY + timedelta(days=4000))
        .add_extension(x509.BasicConstraints(ca=authority, path_length=None), critical=True)
        .add_extension(x509.KeyUsage(**usage), critical=True)
    )
    return builder.sign(issuer_key, hashes.SHA256()).public_bytes(serialization.Encoding.DER)


@cache
def signer(person, authority):
    """A signer under an authority of their own, and that authority's certificate."""
    root_key, key = (rsa.generate_private_key(public_exponent=65537, key_size=2048) for _ in range(2))
    root = _certificate(authority, root_key, authority, root_key, authority=True)
    own = _certificate(person, key, authority, root_key, authority=False)
    private = key.private_bytes(
        serialization.Encoding.DER, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    store = SimpleCertificateStore()
    store.register(Certificate.load(root))
    made = signers.SimpleSigner(
        signing_cert=Certificate.load(own), signing_key=keys.PrivateKeyInfo.load(private), cert_registry=store
    )
    return made, root


def signed(pack, person="Invented Supervisor", authority="Invented Authority"):
    """A pack with an invisible signature over all of it."""
    made, _ = signer(person, authority)
    about = signers.PdfSignatureMetadata(
        field_name="Release", subfilter=fields.SigSeedSubFilter.PADES, md_algorithm="sha256"
    )
    target = io.BytesIO()
    signers.PdfSigner(about, made).sign_pdf(_Writer(io.BytesIO(pack)), output=target)
    return target.getvalue()


def signed_again(pdf):
    """A signed PDF with a second signature, of somebody else."""
    made, _ = signer("Somebody Else", "Other Authority")
    about = signers.PdfSignatureMetadata(
        field_name="Again", subfilter=fields.SigSeedSubFilter.PADES, md_algorithm="sha256"
    )
    target = io.BytesIO()
    signers.PdfSigner(about, made).sign_pdf(_Writer(io.BytesIO(pdf)), output=target)
    return target.getvalue()


def root_of(person="Invented Supervisor", authority="Invented Authority"):
    """The certificate of a signer's authority."""
    return signer(person, authority)[1]
