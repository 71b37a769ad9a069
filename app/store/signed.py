"""What follows a client's signature: the firm's own below it, the copies, a notice of cancellation."""

import hashlib
import json
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.agreement.records import Cancellation, CounterSign
from app.store.models import CancellationRow, CounterSignRow, LinkEventRow, LinkRow, SignOffRow

COPY_SENT = "signed copy sent by mail"
PDF_FETCHED = "PDF fetched"
SEAL_SHOWN = 32  # hexadecimal figures of it in the trail: 128 bits


def add_counter_sign(session: Session, revision_id: int, given: CounterSign) -> None:
    """Put the firm's signature below the client's; a second one breaks the table's rule."""
    session.add(
        CounterSignRow(
            revision_id=revision_id,
            name=given.name,
            who=given.who,
            fingerprint=given.fingerprint,
            signed_at=given.signed_at,
        )
    )
    session.flush()
    session.expire_all()


def add_cancellation(session: Session, revision_id: int, link_id: int | None, given: Cancellation) -> None:
    """Keep a client's notice that it cancels; a second one breaks the table's rule."""
    session.add(
        CancellationRow(
            revision_id=revision_id,
            link_id=link_id,
            name=given.name,
            words=given.words,
            cancelled_at=given.cancelled_at,
            address=given.address[:80],
            browser=given.browser[:400],
        )
    )
    session.flush()
    session.expire_all()


def copy_delivered_at(session: Session, revision_id: int, signed_at: datetime) -> datetime | None:
    """Give when the client first had the signed copy: sent by mail, or fetched on its page; None before."""
    query = (
        select(func.min(LinkEventRow.at))
        .join(LinkRow, LinkRow.id == LinkEventRow.link_id)
        .where(
            LinkRow.revision_id == revision_id,
            LinkEventRow.at >= signed_at,
            LinkEventRow.what.in_((COPY_SENT, PDF_FETCHED)),
        )
    )
    return session.scalar(query)


def counter_sign_of(row: CounterSignRow | None) -> CounterSign | None:
    """Give the firm's signature as a record."""
    return CounterSign(row.name, row.who, row.fingerprint, row.signed_at) if row else None


def cancellation_of(row: CancellationRow | None) -> Cancellation | None:
    """Give a notice as a record."""
    if row is None:
        return None
    return Cancellation(row.name, row.words, row.cancelled_at, row.address, row.browser)


def seal_of(signed: SignOffRow) -> str:
    """Give the hash of everything that is kept of a signature; the trail carries it."""
    kept = (
        signed.name,
        signed.consent,
        signed.fingerprint,
        signed.document_sha256,
        signed.signed_at.isoformat(),
        signed.address,
        signed.browser,
        signed.combination,
        signed.evidence,
    )
    return hashlib.sha256(json.dumps(kept, ensure_ascii=False).encode()).hexdigest()


def seal_in(session: Session, revision_id: int) -> str:
    """Give the seal of the signature under a revision."""
    return seal_of(session.scalars(select(SignOffRow).where(SignOffRow.revision_id == revision_id)).one())
