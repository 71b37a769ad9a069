"""Clients' links and the browsers that opened them. Tokens come in as SHA-256."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.store.models import LinkEventRow, LinkRow, LinkSessionRow, RevisionRow
from app.store.records import LinkCard


@dataclass(frozen=True, slots=True)
class Opening:
    """What a token opens: the link, its revision and that one's job."""

    link: LinkCard
    job_id: int


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
    return Opening(_card(session, row.link, now), row.link.revision.job_id) if row else None


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
