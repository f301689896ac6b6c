"""An issued pack without a word processor, and a mail server on this machine that does as it is told."""

import datetime as dt
import ssl
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from email import message_from_bytes
from ipaddress import ip_address
from pathlib import Path

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, AuthResult, Envelope, Session
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID
from documents.sample import job, record

from pipeline.disk import move_new
from pipeline.facts.record import canonical
from pipeline.register import RELEASED, Register, Wish
from pipeline.stages.commit import Outputs, bagged, finish
from tests.crash.invariants import mail_faults, state_of

NOW = "2026-11-24T10:00:00+00:00"
PASSWORD = "right"  # noqa: S105 - of the server in these tests
PDF = b"%PDF-1.7 a pack for these tests"


def issue(
    outputs: Outputs,
    reference: str = "EXAMPLE-1",
    *,
    release: bool = True,
    papers: dict[str, bytes] | None = None,
    **typed: str | None,
) -> str:
    """A pack that lies in archive and register, released unless told otherwise; gives its name."""
    outputs.root.mkdir(exist_ok=True)
    content = canonical(record(job(1, job=reference, **typed)))
    with Register.open(outputs.register, NOW) as register:
        reserved = register.reserve([Wish(reference, "key", content)], NOW, "2026-11-12")[0]
        name = reserved.envelope.name
        outputs.archive.mkdir(exist_ok=True)
        move_new(bagged(name, {f"{name}-handover-pack.pdf": PDF}, "2026-11-12", outputs), outputs.archive / name)
        finish(reserved, register, outputs, NOW)
        if release:
            folder = outputs.archive / f"{name}{RELEASED}"
            files = {f"{name}-{ending}": content for ending, content in (papers or {}).items()}
            move_new(bagged(folder.name, {f"{name}-release.json": b"{}"} | files, "2026-11-24", outputs), folder)
            register.issue(register.standing(name), NOW, {"on": "2026-11-24"}, {})
    return name


@pytest.fixture
def outputs(tmp_path: Path) -> Outputs:
    """An outputs folder with one issued pack, 0001-1."""
    found = Outputs(tmp_path / "outputs")
    issue(found)
    return found


@dataclass
class Office:
    """The server's side: what it took, and what it shall do."""

    taken: list[Envelope] = field(default_factory=list)
    rcpt: str | Callable[[SMTP, str], str] = "250 OK"
    data: str | Callable[[SMTP], str] = "250 taken as 4711"

    async def handle_RCPT(self, server: SMTP, session: Session, envelope: Envelope, address: str, _: list[str]) -> str:  # noqa: N802, ARG002
        answer = self.rcpt if isinstance(self.rcpt, str) else self.rcpt(server, address)
        if answer.startswith("250"):
            envelope.rcpt_tos.append(address)
        return answer

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:  # noqa: N802, ARG002
        if callable(self.data):
            return self.data(server)
        if self.data.startswith("250"):
            self.taken.append(envelope)
        return self.data


@pytest.fixture(scope="session")
def certificate(tmp_path_factory) -> tuple[Path, Path]:
    """A certificate for this machine, and its key."""
    folder = tmp_path_factory.mktemp("tls")
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "localhost")])
    start = dt.datetime.now(dt.UTC) - dt.timedelta(days=1)
    names = x509.SubjectAlternativeName([x509.DNSName("localhost"), x509.IPAddress(ip_address("127.0.0.1"))])
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(1)
        .not_valid_before(start)
        .not_valid_after(start + dt.timedelta(days=30))
        .add_extension(names, critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    plain = serialization.NoEncryption()
    (folder / "key.pem").write_bytes(
        key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, plain)
    )
    (folder / "cert.pem").write_bytes(made.public_bytes(serialization.Encoding.PEM))
    return folder / "cert.pem", folder / "key.pem"


def check(server: SMTP, session: Session, envelope: Envelope, mechanism: str, given: object) -> AuthResult:
    return AuthResult(success=getattr(given, "password", b"") == PASSWORD.encode(), handled=False)


@pytest.fixture
def offices() -> list[Office]:
    """Every mail server of a test."""
    return []


@pytest.fixture(autouse=True)
def at_most_once(tmp_path, offices) -> Iterator[None]:
    """Whatever a test does: what is entered of mails and what the servers took agree."""
    yield
    taken = [message_from_bytes(each.original_content)["Message-ID"] for one in offices for each in one.taken]
    assert mail_faults(state_of(tmp_path / "outputs"), taken) == []


@pytest.fixture
def start(certificate, monkeypatch, offices) -> Iterator[Callable[..., Office]]:
    """Starts the server and points the environment at it."""
    running: list[Controller] = []

    def begin(*, size: int = 30_000_000, security: str = "starttls", encrypted: bool = True) -> Office:
        context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
        context.load_cert_chain(*certificate)
        office = Office()
        offices.append(office)
        tls = {"tls_context": context, "require_starttls": True} if security == "starttls" and encrypted else {}
        if security == "tls":
            tls = {"ssl_context": context}
        controller = Controller(
            office,
            hostname="127.0.0.1",
            port=0,
            data_size_limit=size,
            authenticator=check,
            auth_required=encrypted,
            auth_require_tls=security == "starttls" and encrypted,
            **tls,
        )
        controller.port = _free()
        controller.start()
        running.append(controller)
        values = {"HOST": "127.0.0.1", "PORT": str(controller.port), "SECURITY": security, "USER": "office"}
        for name, value in (values | {"PASSWORD": PASSWORD, "CA": str(certificate[0])}).items():
            monkeypatch.setenv(f"HANDOVER_SMTP_{name}", value)
        return office

    yield begin
    for each in running:
        each.stop()


def _free() -> int:
    """A port that nobody uses."""
    import socket

    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])
