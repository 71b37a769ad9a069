"""Passkeys of staff, and the questions put to them. Tokens come in as SHA-256."""

from datetime import datetime
from typing import Literal

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from app.store.models import PasskeyChallengeRow, PasskeyRow
from app.store.records import Passkey

Purpose = Literal["add", "sign in"]


def list_passkeys(session: Session, staff_id: int) -> tuple[Passkey, ...]:
    """Give the passkeys of a person, the oldest first; locked, so that a counter is judged once."""
    query = select(PasskeyRow).where(PasskeyRow.staff_id == staff_id).order_by(PasskeyRow.id)
    return tuple(
        Passkey(
            row.id,
            row.name,
            row.credential_id,
            row.public_key,
            row.sign_count,
            row.made_at,
            row.last_used_at,
        )
        for row in session.scalars(query.with_for_update())
    )


def is_known(session: Session, credential_id: str) -> bool:
    """Tell whether a passkey is anybody's already."""
    return session.scalar(select(PasskeyRow.id).where(PasskeyRow.credential_id == credential_id)) is not None


def add_passkey(session: Session, staff_id: int, passkey: Passkey) -> None:
    """Add a passkey; its number is the database's own."""
    session.add(
        PasskeyRow(
            staff_id=staff_id,
            name=passkey.name,
            credential_id=passkey.credential_id,
            public_key=passkey.public_key,
            sign_count=passkey.sign_count,
            made_at=passkey.made_at,
            last_used_at=passkey.last_used_at,
        )
    )
    session.flush()


def used_passkey(session: Session, passkey_id: int, sign_count: int, now: datetime) -> None:
    """Note that a passkey was used, and what its counter said."""
    row = session.get_one(PasskeyRow, passkey_id)
    row.sign_count, row.last_used_at = sign_count, now


def name_passkey(session: Session, staff_id: int, passkey_id: int, name: str) -> str | None:
    """Give a person's passkey another name and give the old one; None when there is no such passkey."""
    row = _of(session, staff_id, passkey_id)
    if row is None:
        return None
    old, row.name = row.name, name
    return old


def remove_passkey(session: Session, staff_id: int, passkey_id: int) -> str | None:
    """Take a person's passkey away and give its name; None when there is no such passkey."""
    row = _of(session, staff_id, passkey_id)
    if row is None:
        return None
    session.delete(row)
    session.flush()
    return row.name


def put_challenge(
    session: Session, staff_id: int, token_hash: str, purpose: Purpose, challenge: str, now: datetime
) -> None:
    """Put a question to a session's browser, in place of the one it had."""
    session.execute(delete(PasskeyChallengeRow).where(PasskeyChallengeRow.token_hash == token_hash))
    session.add(
        PasskeyChallengeRow(
            staff_id=staff_id, token_hash=token_hash, purpose=purpose, challenge=challenge, made_at=now
        )
    )


def take_challenge(
    session: Session, staff_id: int, token_hash: str, purpose: Purpose
) -> tuple[str, datetime] | None:
    """Take the question back that was put to a session, so that it is answered once; None without one."""
    row = session.scalar(
        select(PasskeyChallengeRow)
        .where(
            PasskeyChallengeRow.staff_id == staff_id,
            PasskeyChallengeRow.token_hash == token_hash,
            PasskeyChallengeRow.purpose == purpose,
        )
        .with_for_update()
    )
    if row is None:
        return None
    session.delete(row)
    return row.challenge, row.made_at


def forget_challenges(session: Session, before: datetime) -> None:
    """Remove questions that nobody answered in time."""
    session.execute(delete(PasskeyChallengeRow).where(PasskeyChallengeRow.made_at <= before))


def _of(session: Session, staff_id: int, passkey_id: int) -> PasskeyRow | None:
    return session.scalar(
        select(PasskeyRow).where(PasskeyRow.id == passkey_id, PasskeyRow.staff_id == staff_id)
    )
