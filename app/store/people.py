"""Staff, their sessions, and wrong guesses. Tokens come in as SHA-256; the store never sees one."""

from datetime import datetime, timedelta
from typing import cast

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from app.store.models import GuessRow, SessionRow, StaffRow
from app.store.records import Role, StaffMember


def count_staff(session: Session) -> int:
    """Give how many accounts there are."""
    return session.scalar(select(func.count()).select_from(StaffRow)) or 0


def add_staff(
    session: Session, name: str, email: str, password_hash: str, role: Role, now: datetime
) -> StaffMember:
    """Add an account; the address must be free."""
    row = StaffRow(
        name=name, email=email.lower(), password_hash=password_hash, role=role, is_active=True, made_at=now
    )
    session.add(row)
    session.flush()
    return _member(row)


def staff_by_email(session: Session, email: str) -> tuple[StaffMember, str] | None:
    """Give an active account and its password hash, or None."""
    query = select(StaffRow).where(StaffRow.email == email.lower(), StaffRow.is_active)
    row = session.scalar(query)
    return (_member(row), row.password_hash) if row else None


def list_staff(session: Session) -> tuple[StaffMember, ...]:
    """Give all active accounts by name."""
    query = select(StaffRow).where(StaffRow.is_active).order_by(StaffRow.name)
    return tuple(_member(row) for row in session.scalars(query))


def set_password_hash(session: Session, staff_id: int, password_hash: str) -> None:
    """Put a new password hash in place of the old one."""
    session.get_one(StaffRow, staff_id).password_hash = password_hash


def add_session(session: Session, staff_id: int, token_hash: str, now: datetime) -> None:
    """Add one signed-in browser."""
    session.add(SessionRow(token_hash=token_hash, staff_id=staff_id, made_at=now, last_seen_at=now))


def session_of(session: Session, token_hash: str) -> tuple[StaffMember, datetime, datetime] | None:
    """Give whose session it is, when it began and when it was last seen; None when there is none."""
    row = session.scalar(select(SessionRow).where(SessionRow.token_hash == token_hash))
    if row is None or not row.staff.is_active:
        return None
    return _member(row.staff), row.made_at, row.last_seen_at


def touch_session(session: Session, token_hash: str, now: datetime) -> None:
    """Note that a session was seen."""
    row = session.scalar(select(SessionRow).where(SessionRow.token_hash == token_hash))
    if row is not None:
        row.last_seen_at = max(row.last_seen_at, now)


def end_session(session: Session, token_hash: str) -> None:
    """End one session."""
    session.execute(delete(SessionRow).where(SessionRow.token_hash == token_hash))


def end_sessions(session: Session, staff_id: int) -> None:
    """End every session of one person."""
    session.execute(delete(SessionRow).where(SessionRow.staff_id == staff_id))


def end_old_sessions(session: Session, made_before: datetime, seen_before: datetime) -> None:
    """Remove sessions that have run out."""
    session.execute(
        delete(SessionRow).where(
            (SessionRow.made_at <= made_before) | (SessionRow.last_seen_at <= seen_before)
        )
    )


def add_guess(session: Session, kind: str, sender: str, now: datetime) -> None:
    """Count one wrong guess."""
    session.add(GuessRow(kind=kind, sender=sender[:300], at=now))


def guesses(
    session: Session, kind: str, sender: str, now: datetime, window: timedelta
) -> tuple[int, datetime | None]:
    """Give how many wrong guesses a sender made within a time, and when the first of them was."""
    query = select(func.count(), func.min(GuessRow.at)).where(
        GuessRow.kind == kind, GuessRow.sender == sender[:300], GuessRow.at > now - window
    )
    count, first = session.execute(query).one()
    return count, first


def forget_guesses(session: Session, kind: str, sender: str) -> None:
    """Forget a sender's wrong guesses."""
    session.execute(delete(GuessRow).where(GuessRow.kind == kind, GuessRow.sender == sender[:300]))


def forget_old_guesses(session: Session, before: datetime) -> None:
    """Remove guesses that no longer count against anybody."""
    session.execute(delete(GuessRow).where(GuessRow.at <= before))


def _member(row: StaffRow) -> StaffMember:
    return StaffMember(row.id, row.name, row.email, cast("Role", row.role))
