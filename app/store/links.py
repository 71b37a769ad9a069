"""Clients' links and the browsers that opened them. Tokens come in as SHA-256."""

from dataclasses import dataclass
from datetime import datetime
from hmac import compare_digest
from typing import Any, Literal

from sqlalchemy import Select, bindparam, delete, func, select
from sqlalchemy.orm import Session, aliased

from app.store.models import (
    CancellationRow,
    CounterSignRow,
    LinkEventRow,
    LinkRow,
    LinkSessionRow,
    MailRow,
    QuestionRow,
    RevisionRow,
    SignCodeRow,
    SignOffRow,
)
from app.store.records import LinkCard
from app.store.signed import COPY_SENT, PDF_FETCHED

_Other = aliased(RevisionRow)


@dataclass(frozen=True, slots=True)
class Opening:
    """What a token opens: the link, its revision and that one's job."""

    link: LinkCard
    job_id: int
    visit_id: int = 0  # of the browser that opened it; 0 when asked for otherwise


@dataclass(frozen=True, slots=True)
class Visit:
    """What one browser did beside reading: consented to electronic records, gave the code sent by mail."""

    records_consent_at: datetime | None
    code_given_at: datetime | None
    code_sent_to: str


@dataclass(frozen=True, slots=True)
class Stamp:
    """Everything in the database that can change what one browser of a client sees."""

    cookie_hash: str
    revoked_at: datetime | None
    expires_at: datetime
    fingerprint: str
    declined_at: datetime | None
    records_consent_at: datetime | None
    code_given_at: datetime | None
    newest: int
    sign_off_id: int | None
    counter_sign_id: int | None
    cancellation_id: int | None
    copy_at: datetime | None
    last_said_id: int | None
    mail_host: str | None


def _stamp_question() -> Select[Any]:
    """Make the question for a stamp: once, since making it takes longer than asking it."""
    newest = select(func.max(_Other.number)).where(_Other.job_id == RevisionRow.job_id).scalar_subquery()
    signed = select(func.max(SignOffRow.id)).where(SignOffRow.revision_id == RevisionRow.id).scalar_subquery()
    counter = (
        select(func.max(CounterSignRow.id))
        .where(CounterSignRow.revision_id == RevisionRow.id)
        .scalar_subquery()
    )
    cancelled = (
        select(func.max(CancellationRow.id))
        .where(CancellationRow.revision_id == RevisionRow.id)
        .scalar_subquery()
    )
    # The signed copy in the client's hands can start its clock.
    copy_at = (
        select(func.max(LinkEventRow.at))
        .where(LinkEventRow.link_id == LinkRow.id, LinkEventRow.what.in_((COPY_SENT, PDF_FETCHED)))
        .scalar_subquery()
    )
    # What is said is added to and never changed.
    last_said = (
        select(func.max(QuestionRow.id)).where(QuestionRow.job_id == RevisionRow.job_id).scalar_subquery()
    )
    mail_host = select(MailRow.host).where(MailRow.id == 1).scalar_subquery()
    return (
        select(
            LinkRow.revoked_at,
            LinkRow.expires_at,
            RevisionRow.fingerprint,
            RevisionRow.declined_at,
            LinkSessionRow.records_consent_at,
            LinkSessionRow.code_given_at,
            newest,
            signed,
            counter,
            cancelled,
            copy_at,
            last_said,
            mail_host,
        )
        .join(LinkRow, LinkRow.id == LinkSessionRow.link_id)
        .join(RevisionRow, RevisionRow.id == LinkRow.revision_id)
        .where(LinkSessionRow.cookie_hash == bindparam("cookie_hash"))
    )


_STAMP = _stamp_question()


def stamp_of(session: Session, cookie_hash: str) -> Stamp | None:
    """Give the stamp of a browser's cookie, in one question; None when it opens nothing."""
    row = session.execute(_STAMP, {"cookie_hash": cookie_hash}).one_or_none()
    return Stamp(cookie_hash, *row) if row is not None else None


def add_link(
    session: Session, revision_id: int, token_hash: str, who: str, now: datetime, expires_at: datetime
) -> int:
    """Add a link and give its id."""
    row = LinkRow(
        revision_id=revision_id,
        token_hash=token_hash,
        made_at=now,
        made_by=who,
        expires_at=expires_at,
        revoked_at=None,
        opened=0,
        last_opened_at=None,
    )
    session.add(row)
    session.flush()
    return row.id


def list_links(session: Session, job_id: int, now: datetime) -> tuple[LinkCard, ...]:
    """Give all links of a job, newest first."""
    query = select(LinkRow).join(RevisionRow).where(RevisionRow.job_id == job_id).order_by(LinkRow.id.desc())
    return tuple(_card(session, row, now) for row in session.scalars(query))


def opened_by_token(session: Session, token_hash: str, now: datetime) -> Opening | None:
    """Give what a link's token opens, or None."""
    row = session.scalar(select(LinkRow).where(LinkRow.token_hash == token_hash))
    return Opening(_card(session, row, now), row.revision.job_id) if row else None


def opened_by_cookie(session: Session, cookie_hash: str, now: datetime) -> Opening | None:
    """Give what a browser's cookie opens, or None."""
    row = session.scalar(select(LinkSessionRow).where(LinkSessionRow.cookie_hash == cookie_hash))
    return Opening(_card(session, row.link, now), row.link.revision.job_id, row.id) if row else None


def visit_of(session: Session, opening: Opening) -> Visit:
    """Give what the browser of an opening did."""
    row = session.get_one(LinkSessionRow, opening.visit_id)
    query = select(SignCodeRow.sent_to).where(
        SignCodeRow.link_session_id == row.id, SignCodeRow.used_at.is_not(None)
    )
    return Visit(row.records_consent_at, row.code_given_at, session.scalar(query) or "")


def consent_to_records(session: Session, opening: Opening, now: datetime) -> None:
    """Note that the client consented to electronic records in this browser; the first time stays."""
    row = session.get_one(LinkSessionRow, opening.visit_id)
    row.records_consent_at = row.records_consent_at or now
    add_event(session, opening.link.id, "consented to electronic records", now)


def add_code(session: Session, opening: Opening, code_hash: str, sent_to: str, now: datetime) -> None:
    """Keep a one-time code that is sent; earlier ones of this browser count no more."""
    session.execute(delete(SignCodeRow).where(SignCodeRow.link_session_id == opening.visit_id))
    session.add(
        SignCodeRow(
            link_session_id=opening.visit_id,
            code_hash=code_hash,
            sent_to=sent_to,
            made_at=now,
            tries=0,
            used_at=None,
        )
    )
    session.flush()


def code_sent_at(session: Session, opening: Opening) -> datetime | None:
    """Give when the last code was sent to this browser's client."""
    return session.scalar(select(SignCodeRow.made_at).where(SignCodeRow.link_session_id == opening.visit_id))


def try_code(
    session: Session, opening: Opening, code_hash: str, now: datetime, oldest: datetime, most_tries: int
) -> bool:
    """Hold a code against the one that was sent: once, not too old, not too often."""
    row = session.scalar(select(SignCodeRow).where(SignCodeRow.link_session_id == opening.visit_id))
    if row is None or row.used_at is not None or row.made_at < oldest or row.tries >= most_tries:
        return False
    row.tries += 1
    if not compare_digest(row.code_hash, code_hash):
        return False
    row.used_at = now
    session.get_one(LinkSessionRow, opening.visit_id).code_given_at = now
    add_event(session, opening.link.id, "gave the code sent by mail", now)
    return True


def find_link(session: Session, link_id: int, now: datetime) -> Opening | None:
    """Give one link by its id, or None."""
    row = session.get(LinkRow, link_id)
    return Opening(_card(session, row, now), row.revision.job_id) if row else None


def revoke(session: Session, link_id: int, now: datetime) -> None:
    """Withdraw a link; the time of the first withdrawal stays."""
    row = session.get_one(LinkRow, link_id)
    row.revoked_at = row.revoked_at or now


def add_cookie(session: Session, link_id: int, cookie_hash: str, now: datetime) -> None:
    """Note that a browser opened a link."""
    row = session.get_one(LinkRow, link_id)
    row.opened += 1
    row.last_opened_at = now
    session.add(LinkSessionRow(link_id=link_id, cookie_hash=cookie_hash, made_at=now))
    add_event(session, link_id, "opened", now)


def add_event(session: Session, link_id: int, what: str, now: datetime) -> None:
    """Note what was done through a link."""
    session.add(LinkEventRow(link_id=link_id, at=now, what=what))


def saw(session: Session, link_id: int, what: str, now: datetime, since: datetime) -> bool:
    """Note that a part was looked at, unless that was noted since an instant; tell whether it was new."""
    query = select(LinkEventRow.id).where(
        LinkEventRow.link_id == link_id, LinkEventRow.what == what, LinkEventRow.at >= since
    )
    if session.scalar(query.limit(1)) is not None:
        return False
    add_event(session, link_id, what, now)
    return True


def events(session: Session, link_id: int) -> tuple[tuple[datetime, str], ...]:
    """Give what was done through a link, in order."""
    query = select(LinkEventRow).where(LinkEventRow.link_id == link_id).order_by(LinkEventRow.id)
    return tuple((row.at, row.what) for row in session.scalars(query))


def _card(session: Session, row: LinkRow, now: datetime) -> LinkCard:
    return LinkCard(
        id=row.id,
        revision_id=row.revision_id,
        revision_number=row.revision.number,
        made_at=row.made_at,
        made_by=row.made_by,
        expires_at=row.expires_at,
        revoked_at=row.revoked_at,
        opened=row.opened,
        last_opened_at=row.last_opened_at,
        state=_state(session, row, now),
    )


def _state(
    session: Session, row: LinkRow, now: datetime
) -> Literal["live", "expired", "revoked", "superseded"]:
    if row.revoked_at is not None:
        return "revoked"
    if now >= row.expires_at:
        return "expired"
    if row.revision.sign_off is None:
        newest = session.scalar(
            select(func.max(RevisionRow.number)).where(RevisionRow.job_id == row.revision.job_id)
        )
        if newest != row.revision.number:
            return "superseded"
    return "live"
