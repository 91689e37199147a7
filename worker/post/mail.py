"""Mail: one letter over SMTP, refused for good or not now.

A letter carries an id made from what it says, so that one sent twice can be known for it.
"""

from __future__ import annotations

import smtplib
import ssl
from dataclasses import dataclass
from email.message import EmailMessage
from typing import Final
from urllib.parse import unquote, urlsplit

from schemas.errors import NotNow
from schemas.signals import Letter
from worker.settings import Settings

PATIENCE: Final = 30.0
"""For the mail server. [s]"""


class MailRefused(Exception):
    """The mail server will never take this letter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Enclosure:
    """A file to go with a letter."""

    name: str
    content: bytes


def send(
    settings: Settings, letter: Letter, *, message_id: str, enclosed: tuple[Enclosure, ...] = ()
) -> None:
    """Hand a letter to the mail server.

    Args:
        settings: For server, sender and password.
        letter: The letter.
        message_id: The same at every try.
        enclosed: PDF files to go with it.

    Raises:
        MailRefused: It will never be taken.
        NotNow: The server cannot be reached, or says later.
    """
    message = EmailMessage()
    message["From"] = settings.mail_from
    message["To"] = letter.to
    message["Subject"] = letter.subject
    message["Message-ID"] = f"<{message_id}@dawnpack.invalid>"
    message["Auto-Submitted"] = "auto-generated"
    message.set_content(letter.text)
    for file in enclosed:
        message.add_attachment(
            file.content, maintype="application", subtype="pdf", filename=file.name
        )
    try:
        with _server(settings) as server:
            server.send_message(message)
    except smtplib.SMTPRecipientsRefused as no:
        codes = [code for code, _ in no.recipients.values()]
        _sort_out(min(codes), f"{letter.to} is refused: {no.recipients}", no)
    except smtplib.SMTPResponseException as no:
        _sort_out(no.smtp_code, f"{no.smtp_code} {no.smtp_error!r}", no)
    except (smtplib.SMTPException, OSError) as no:
        msg = f"the mail server cannot be used: {no}"
        raise NotNow(msg) from no


def _sort_out(code: int, says: str, no: Exception) -> None:
    """A code from 500 on is for good (RFC 5321, 4.2.1); but a wrong password is ours to mend."""
    if code >= 500 and not isinstance(no, smtplib.SMTPAuthenticationError):
        raise MailRefused(says) from no
    msg = f"the mail server says: {says}"
    raise NotNow(msg) from no


def _server(settings: Settings) -> smtplib.SMTP:
    parts = urlsplit(settings.smtp_url)
    host = parts.hostname or ""
    context = ssl.create_default_context()
    if parts.scheme == "smtps":
        server: smtplib.SMTP = smtplib.SMTP_SSL(
            host, parts.port or 465, timeout=PATIENCE, context=context
        )
    else:
        server = smtplib.SMTP(host, parts.port or 25, timeout=PATIENCE)
        if parts.scheme == "smtp+starttls":
            server.starttls(context=context)
    if parts.username:
        server.login(unquote(parts.username), _password(settings))
    return server


def _password(settings: Settings) -> str:
    if settings.smtp_password is None:
        msg = "smtp_url names a user: put the password into a file and name it in smtp_password"
        raise NotNow(msg)
    return settings.smtp_password.read_text("utf-8").strip()
