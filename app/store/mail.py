"""The firm's mail server, and the letters that were sent."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.models import LetterRow, MailRow

Security = Literal["starttls", "tls", "none"]


@dataclass(frozen=True, slots=True)
class MailServer:
    """How the firm's own mail server is reached; the password is no part of it."""

    host: str
    port: int
    security: Security
    user: str
    sender: str


@dataclass(frozen=True, slots=True)
class LetterCard:
    """One letter; `fault` is empty when the server took it."""

    at: datetime
    sent_to: str
    subject: str
    fault: str


def read_server(session: Session) -> MailServer | None:
    """Give the mail server, or None while none is set up."""
    row = session.get(MailRow, 1)
    if row is None or not row.host:
        return None
    security: Security = "tls" if row.security == "tls" else "none" if row.security == "none" else "starttls"
    return MailServer(row.host, row.port, security, row.user, row.sender)


def put_server(session: Session, server: MailServer) -> None:
    """Put the mail server in place; an empty host takes it away."""
    session.merge(
        MailRow(
            id=1,
            host=server.host,
            port=server.port,
            security=server.security,
            user=server.user,
            sender=server.sender,
        )
    )


def add_letter(session: Session, job_id: int | None, letter: LetterCard) -> None:
    """Keep that a letter was sent, or could not be; what stood in it is kept elsewhere."""
    session.add(
        LetterRow(
            job_id=job_id,
            at=letter.at,
            sent_to=letter.sent_to[:254],
            subject=letter.subject[:200],
            fault=letter.fault,
        )
    )


def list_letters(session: Session, most: int = 20) -> tuple[LetterCard, ...]:
    """Give the last letters, newest first."""
    query = select(LetterRow).order_by(LetterRow.id.desc()).limit(most)
    return tuple(LetterCard(row.at, row.sent_to, row.subject, row.fault) for row in session.scalars(query))
