"""Staff, their sessions, and wrong guesses. Tokens come in as SHA-256; the store never sees one."""

from datetime import datetime, timedelta
from typing import Any, cast

from sqlalchemy import Connection, Row, bindparam, delete, func, select
from sqlalchemy.orm import Session

from app.store.models import (
    ApiKeyRow,
    GuessRow,
    PasskeyChallengeRow,
    PasskeyRow,
    RecoveryCodeRow,
    SessionRow,
    ShopRow,
    StaffRow,
)
from app.store.records import Role, SessionCard, StaffMember


def count_staff(session: Session) -> int:
    """Give how many accounts there are."""
    return session.scalar(select(func.count()).select_from(StaffRow)) or 0


def add_staff(
    session: Session, name: str, email: str, password_hash: str, role: Role, now: datetime
) -> StaffMember:
    """Add an account, or bring one back that was shut; the address must be free otherwise."""
    row = session.scalar(select(StaffRow).where(StaffRow.email == email.lower(), ~StaffRow.is_active))
    if row is not None:
        row.name, row.password_hash, row.role, row.is_active = name, password_hash, role, True
        session.flush()
        return _member(row)
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


def find_staff(session: Session, staff_id: int) -> tuple[StaffMember, str] | None:
    """Give an active account by its id with its password hash, or None; locked until the end."""
    query = select(StaffRow).where(StaffRow.id == staff_id, StaffRow.is_active)
    row = session.scalar(query.with_for_update(of=StaffRow))
    return (_member(row), row.password_hash) if row else None


def set_password_hash(
    session: Session,
    staff_id: int,
    password_hash: str,
    *,
    must_change: bool | None = None,
    first_until: datetime | None = None,
) -> None:
    """Put a new password hash in place of the old one; a first password opens until `first_until`."""
    row = session.get_one(StaffRow, staff_id)
    row.password_hash = password_hash
    if must_change is not None:
        row.must_change, row.first_until = must_change, first_until


def first_password_until(session: Session, staff_id: int) -> datetime | None:
    """Give how long a first password opens the door; None when it is the person's own."""
    return session.get_one(StaffRow, staff_id).first_until


def ask_for_factor(session: Session, is_asked: bool) -> bool:
    """Set whether owner and office must have a second factor; tells whether there is a shop to say so."""
    row = session.get(ShopRow, 1)
    if row is not None:
        row.asks_factor = is_asked
    return row is not None


def asks_for_factor(session: Session) -> bool:
    """Tell whether owner and office must have a second factor."""
    return bool(session.scalar(select(ShopRow.asks_factor).where(ShopRow.id == 1)))


def set_role(session: Session, staff_id: int, role: Role) -> None:
    """Give a person another role."""
    session.get_one(StaffRow, staff_id).role = role


def shut_account(session: Session, staff_id: int) -> None:
    """Let a person sign in no more; the name stays in the trail."""
    row = session.get_one(StaffRow, staff_id)
    row.is_active, row.totp_secret, row.totp_step = False, "", 0
    for table in (SessionRow, RecoveryCodeRow, ApiKeyRow, PasskeyRow, PasskeyChallengeRow):
        session.execute(delete(table).where(table.staff_id == staff_id))


def add_session(
    session: Session,
    staff_id: int,
    token_hash: str,
    now: datetime,
    *,
    waits: bool = False,
    seen_from: tuple[str, str] = ("", ""),
) -> None:
    """Add one browser: signed in, or waiting for the second factor; `seen_from` is address and browser."""
    session.add(
        SessionRow(
            token_hash=token_hash,
            staff_id=staff_id,
            made_at=now,
            last_seen_at=now,
            waits=waits,
            address=seen_from[0][:80],
            browser=seen_from[1][:300],
        )
    )


def waiting_session(session: Session, token_hash: str) -> tuple[StaffMember, datetime] | None:
    """Give who waits for the second factor, and since when; None when nobody does."""
    row = session.scalar(select(SessionRow).where(SessionRow.token_hash == token_hash, SessionRow.waits))
    return (_member(row.staff), row.made_at) if row and row.staff.is_active else None


def list_sessions(session: Session, staff_id: int, token_hash: str) -> tuple[SessionCard, ...]:
    """Give the signed-in browsers of a person, the last seen first; `token_hash` is the one that asks."""
    query = (
        select(SessionRow)
        .where(SessionRow.staff_id == staff_id, ~SessionRow.waits)
        .order_by(SessionRow.last_seen_at.desc(), SessionRow.id.desc())
    )
    return tuple(
        SessionCard(
            row.id, row.made_at, row.last_seen_at, row.address, row.browser, row.token_hash == token_hash
        )
        for row in session.scalars(query)
    )


def end_session_by_id(session: Session, staff_id: int, session_id: int) -> None:
    """End one browser of a person, named by its place in the list."""
    session.execute(delete(SessionRow).where(SessionRow.id == session_id, SessionRow.staff_id == staff_id))


# Columns, not rows, and made once: every request asks it.
_SESSION = (
    select(
        StaffRow.id,
        StaffRow.name,
        StaffRow.email,
        StaffRow.role,
        StaffRow.totp_secret,
        StaffRow.must_change,
        StaffRow.has_passkey.label("has_passkey"),
        StaffRow.asks_factor.label("asks_factor"),
        SessionRow.made_at,
        SessionRow.last_seen_at,
    )
    .join(SessionRow, SessionRow.staff_id == StaffRow.id)
    .where(SessionRow.token_hash == bindparam("token_hash"), ~SessionRow.waits, StaffRow.is_active)
)


def session_of(
    session: Session | Connection, token_hash: str
) -> tuple[StaffMember, datetime, datetime] | None:
    """Give whose session it is, when it began and when it was last seen; None when there is none."""
    row = session.execute(_SESSION, {"token_hash": token_hash}).one_or_none()
    return (_member(row), row.made_at, row.last_seen_at) if row else None


def touch_session(session: Session, token_hash: str, now: datetime) -> None:
    """Note that a session was seen."""
    row = session.scalar(select(SessionRow).where(SessionRow.token_hash == token_hash))
    if row is not None:
        row.last_seen_at = max(row.last_seen_at, now)


def end_session(session: Session, token_hash: str) -> None:
    """End one session."""
    session.execute(delete(SessionRow).where(SessionRow.token_hash == token_hash))


def end_sessions(session: Session, staff_id: int, *, but: str = "") -> None:
    """End every session of one person, but that with a token's hash."""
    session.execute(delete(SessionRow).where(SessionRow.staff_id == staff_id, SessionRow.token_hash != but))


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
    # Neither too long ago nor of a clock that ran ahead: that would shut somebody out for years.
    query = select(func.count(), func.min(GuessRow.at)).where(
        GuessRow.kind == kind,
        GuessRow.sender == sender[:300],
        GuessRow.at > now - window,
        GuessRow.at < now + window,
    )
    count, first = session.execute(query).one()
    return count, first


def forget_guesses(session: Session, kind: str, sender: str) -> None:
    """Forget a sender's wrong guesses."""
    session.execute(delete(GuessRow).where(GuessRow.kind == kind, GuessRow.sender == sender[:300]))


def forget_old_guesses(session: Session, before: datetime) -> None:
    """Remove guesses that no longer count against anybody."""
    session.execute(delete(GuessRow).where(GuessRow.at <= before))


def _member(row: StaffRow | Row[*tuple[Any, ...]]) -> StaffMember:
    has_app = bool(row.totp_secret)
    has_factor = has_app or row.has_passkey
    must_set = bool(row.asks_factor) and row.role in ("owner", "office") and not has_factor
    role = cast("Role", row.role)
    return StaffMember(row.id, row.name, row.email, role, has_factor, row.must_change, has_app, must_set)


# Rows made into records by another module of the store too.
member_of = _member
