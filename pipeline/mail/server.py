"""The mail server: where it is, who we are there, and a connection that nobody can listen to.

Names and password come from the environment or the system's keyring, never from a workbook or command line.
"""

import os
import smtplib
import ssl
from collections.abc import Mapping
from dataclasses import dataclass, field

from pipeline.errors import CommandError, MachineError

PREFIX = "HANDOVER_SMTP_"
PORTS = {"starttls": 587, "tls": 465}  # RFC 6409 and RFC 8314
STORE = "handover-smtp"
"""The name under which the password lies in the system's keyring, with the user's name."""
PATIENCE_S = 60
NOTHING_SENT = "Nothing was sent."


@dataclass(frozen=True, slots=True)
class Server:
    """How to reach the mail server."""

    host: str
    port: int
    security: str
    user: str
    password: str = field(repr=False)
    authority: str = ""


def server_of(environment: Mapping[str, str] = os.environ) -> Server:
    """The server as the environment names it; raises CommandError for what is missing or unknown."""
    host = environment.get(f"{PREFIX}HOST", "")
    if not host:
        raise CommandError(
            "No mail server is named.",
            f"Set {PREFIX}HOST and {PREFIX}USER in the environment; the password as {PREFIX}PASSWORD, "
            f"or in the system's keyring: keyring set {STORE} USER",
        )
    security = environment.get(f"{PREFIX}SECURITY", "starttls").lower()
    port = environment.get(f"{PREFIX}PORT", "") or str(PORTS.get(security, ""))
    if security not in PORTS or not port.isdecimal():
        raise CommandError(
            f"{PREFIX}SECURITY is '{security}' and {PREFIX}PORT '{port}'.",
            f"SECURITY is one of {', '.join(PORTS)}; PORT is a number. Nothing is ever sent without encryption.",
        )
    user = environment.get(f"{PREFIX}USER", "")
    password = environment.get(f"{PREFIX}PASSWORD", "") or _stored(user)
    return Server(host, int(port), security, user, password, environment.get(f"{PREFIX}CA", ""))


def _stored(user: str) -> str:
    """The password in the system's keyring; empty where there is none, or no keyring."""
    import keyring  # noqa: PLC0415 - only where mail is sent
    from keyring.errors import KeyringError  # noqa: PLC0415

    try:
        return (keyring.get_password(STORE, user) or "") if user else ""
    except KeyringError:
        return ""


def connected(server: Server) -> smtplib.SMTP:
    """A connection that is encrypted and signed in; raises MachineError, with what to do, before anything is sent."""
    try:
        return _signed_in(server)
    except smtplib.SMTPAuthenticationError as trouble:
        raise MachineError(
            f"The mail server refuses the user or the password: {said(trouble.smtp_code, trouble.smtp_error)}. "
            f"{NOTHING_SENT}",
            f"Check {PREFIX}USER and {PREFIX}PASSWORD, or the password in the system's keyring.",
        ) from trouble
    except ssl.SSLError as trouble:
        raise MachineError(
            f"The mail server does not prove that it is {server.host}. {NOTHING_SENT}",
            f"Check the name in {PREFIX}HOST. For an authority of your own, name its certificate in {PREFIX}CA.",
        ) from trouble
    except smtplib.SMTPNotSupportedError as trouble:
        raise MachineError(
            f"The mail server offers no encryption, or no signing in. {NOTHING_SENT}",
            f"Ask its owner which port to use; set {PREFIX}SECURITY and {PREFIX}PORT.",
        ) from trouble
    except (OSError, smtplib.SMTPException) as trouble:
        raise MachineError(
            f"The mail server {server.host} cannot be reached ({_short(trouble)}). {NOTHING_SENT}",
            f"Check the network, {PREFIX}HOST and {PREFIX}PORT, then run the same command again.",
        ) from trouble


def _signed_in(server: Server) -> smtplib.SMTP:
    """The same; whatever goes wrong closes the connection."""
    context = ssl.create_default_context(cafile=server.authority or None)
    if server.security == "tls":
        client: smtplib.SMTP = smtplib.SMTP_SSL(server.host, server.port, timeout=PATIENCE_S, context=context)
    else:
        client = smtplib.SMTP(server.host, server.port, timeout=PATIENCE_S)
    try:
        if server.security == "starttls":
            client.starttls(context=context)
        client.ehlo()
        if server.user:
            client.login(server.user, server.password)
    except BaseException:
        client.close()
        raise
    return client


def said(code: int, words: bytes | str) -> str:
    """A server's answer in one line."""
    text = words.decode(errors="replace") if isinstance(words, bytes) else words
    return f"{code} {' '.join(text.split())}"


def _short(trouble: Exception) -> str:
    """What the system said, in few words."""
    return getattr(trouble, "strerror", None) or type(trouble).__name__
