"""A letter as a mail (RFC 5322): plain text, the same as HTML, and the files; as a draft that opens ready to send."""

from datetime import datetime
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from html import escape

from pipeline.errors import CommandError
from pipeline.mail.letters import Letter


def message_of(letter: Letter, now: datetime, *, draft: bool) -> EmailMessage:
    """The mail; raises CommandError for an address that is none. A draft is marked `X-Unsent` and may lack one."""
    mail = EmailMessage(policy=SMTP)
    mail["From"] = _address(letter.sender[1], letter.sender[0])
    if letter.address or not draft:
        mail["To"] = _address(letter.address)
    mail["Subject"] = letter.subject
    mail["Date"] = format_datetime(now)
    mail["Message-ID"] = letter.message_id
    if draft:
        mail["X-Unsent"] = "1"
    mail.set_content("\n\n".join(letter.paragraphs) + "\n", cte="quoted-printable")
    mail.add_alternative(_html(letter), subtype="html", cte="quoted-printable")
    for name, content in letter.files.items():
        mail.add_attachment(content, maintype="application", subtype="pdf", filename=name)
    return mail


def _address(text: str, name: str = "") -> Address:
    """An address as a mail's header takes it."""
    try:
        return Address(name, addr_spec=text)
    except (ValueError, IndexError) as trouble:
        raise CommandError(
            f"'{text}' is no e-mail address.", "Correct it in the workbook, and ask for a revision of that pack."
        ) from trouble


def _html(letter: Letter) -> str:
    """The same words for mail programs that show HTML; nothing is fetched from anywhere."""
    body = "".join(f"<p>{escape(each).replace(chr(10), '<br>')}</p>" for each in letter.paragraphs)
    head = f'<head><meta charset="utf-8"><title>{escape(letter.subject)}</title></head>'
    return f'<!DOCTYPE html><html lang="en-GB">{head}<body>{body}</body></html>\n'
