"""Mail by the firm's own server; without one everything works by copying the link."""

import smtplib
import ssl
from dataclasses import dataclass
from datetime import datetime
from email.message import EmailMessage
from email.utils import format_datetime, formataddr, make_msgid

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.records import StaffMember
from app.settings import Settings
from app.store import audit, mail, shop
from app.store.mail import LetterCard, MailServer, Security

__all__ = ["LetterCard", "MailServer", "Security"]

TIMEOUT_S = 15
SECURITIES: tuple[Security, ...] = ("starttls", "tls", "none")


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter to be sent; attachments are PDF."""

    to: str
    subject: str
    text: str
    job_id: int | None = None
    attachments: tuple[tuple[str, bytes], ...] = ()


def mail_server(db: Database) -> MailServer | None:
    """The firm's mail server; None while none is set up."""
    with db.read() as session:
        return mail.read_server(session)


def save_mail_server(db: Database, staff: StaffMember, server: MailServer, now: datetime) -> None:
    """Save how the mail server is reached; an empty host takes it away. Refused."""
    if staff.role != "owner":
        raise Refused("Only the owner changes firm-wide settings.")
    if server.host:
        if not 1 <= server.port <= 65535:
            raise Refused(f"A port is a number from 1 to 65535, such as 587; not {server.port}.")
        _check_address(server.sender)
        if any(letter.isspace() for letter in server.host):
            raise Refused("Give the server’s name without spaces, such as mail.example.org.")
    with db.write() as session:
        mail.put_server(session, server)
        what = f"set the mail server to {server.host}:{server.port}" if server.host else "took mail away"
        audit.note(session, now, staff.name, what, "shop")


def list_letters(db: Database) -> tuple[LetterCard, ...]:
    """The last letters, newest first."""
    with db.read() as session:
        return mail.list_letters(session)


def send(db: Database, letter: Letter, now: datetime) -> None:
    """Send one letter and keep that it was sent; Refused, in words, when the server does not take it."""
    server = mail_server(db)
    if server is None:
        raise Refused("No mail server is set up; copy the link and send it yourself.")
    _check_address(letter.to)
    with db.read() as session:
        name = shop.read_shop(session).firm.name if shop.has_shop(session) else ""
    fault = _hand_over(server, _message(server, name, letter, now))
    with db.write() as session:
        mail.add_letter(session, letter.job_id, LetterCard(now, letter.to, letter.subject, fault))
    if fault:
        raise Refused(f"The mail server did not take the letter: {fault}")


def _message(server: MailServer, firm_name: str, letter: Letter, now: datetime) -> EmailMessage:
    """Make the letter; header lines cannot be smuggled in, since the library refuses line ends there."""
    message = EmailMessage()
    message["From"] = formataddr((firm_name, server.sender))
    message["To"] = letter.to
    message["Subject"] = " ".join(letter.subject.split())
    message["Date"] = format_datetime(now)
    message["Message-ID"] = make_msgid(domain=server.sender.rpartition("@")[2])
    message["Auto-Submitted"] = "auto-generated"
    message.set_content(letter.text)
    for file_name, content in letter.attachments:
        message.add_attachment(content, maintype="application", subtype="pdf", filename=file_name)
    return message


def _hand_over(server: MailServer, message: EmailMessage) -> str:
    """Hand a letter to the server; gives the fault in words, or nothing."""
    password = Settings().mail_password
    try:
        with _connected(server) as connection:
            if server.user:
                connection.login(server.user, password)
            connection.send_message(message)
    except smtplib.SMTPResponseException as fault:
        words = fault.smtp_error
        return f"{fault.smtp_code} {words.decode(errors='replace') if isinstance(words, bytes) else words}"
    except smtplib.SMTPRecipientsRefused as fault:
        return "; ".join(f"{to}: {code} {words!r}" for to, (code, words) in fault.recipients.items())
    except (OSError, smtplib.SMTPException) as fault:
        return f"{type(fault).__name__}: {fault}"
    return ""


def _connected(server: MailServer) -> smtplib.SMTP:
    """Connect as the settings say; a password never goes over a line that is not closed."""
    if server.security == "tls":
        return smtplib.SMTP_SSL(
            server.host, server.port, timeout=TIMEOUT_S, context=ssl.create_default_context()
        )
    connection = smtplib.SMTP(server.host, server.port, timeout=TIMEOUT_S)
    if server.security == "starttls":
        _close_line(connection)
    elif server.user and server.host not in ("localhost", "127.0.0.1", "::1"):
        connection.close()
        raise smtplib.SMTPException("a password is sent over a closed line only; choose STARTTLS or TLS")
    return connection


def _close_line(connection: smtplib.SMTP) -> None:
    """Go over to TLS, or give up before anything of the letter or the password was sent."""
    try:
        connection.starttls(context=ssl.create_default_context())
    except smtplib.SMTPNotSupportedError as fault:
        connection.close()
        wanted = "choose TLS from the start, or ask who runs the server. Nothing was sent"
        raise smtplib.SMTPException(f"the server does not offer STARTTLS; {wanted}") from fault
    except BaseException:
        connection.close()
        raise


def _check_address(address: str) -> None:
    name, at, host = address.rpartition("@")
    if not at or not name or "." not in host or any(letter in address for letter in "\r\n ,;<>"):
        raise Refused(
            f"{address or 'Nothing'} is no e-mail address; one such as office@example.org would do."
        )
