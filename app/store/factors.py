"""What proves a person or a program beside the password: second factor, recovery codes, API keys."""

from datetime import datetime
from typing import Literal, cast

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from app.store.models import ApiKeyRow, RecoveryCodeRow, StaffRow
from app.store.people import member_of
from app.store.records import ApiKey, StaffMember


def totp_of(session: Session, staff_id: int) -> tuple[str, int]:
    """Give the secret of a person's second factor ("" without one) and the last step used; locked."""
    row = session.scalars(select(StaffRow).where(StaffRow.id == staff_id).with_for_update(of=StaffRow)).one()
    return row.totp_secret, row.totp_step


def set_totp(session: Session, staff_id: int, secret: str, step: int) -> None:
    """Set the secret of a person's app; an empty one takes it away."""
    row = session.get_one(StaffRow, staff_id)
    row.totp_secret, row.totp_step = secret, step


def forget_recovery_codes(session: Session, staff_id: int) -> None:
    """Remove all recovery codes of a person, who has no second factor any more."""
    session.execute(delete(RecoveryCodeRow).where(RecoveryCodeRow.staff_id == staff_id))


def put_recovery_codes(session: Session, staff_id: int, hashes: tuple[str, ...]) -> None:
    """Put new recovery codes in place of all old ones."""
    session.execute(delete(RecoveryCodeRow).where(RecoveryCodeRow.staff_id == staff_id))
    session.add_all(RecoveryCodeRow(staff_id=staff_id, code_hash=hashed) for hashed in hashes)


def use_recovery_code(session: Session, staff_id: int, code_hash: str) -> bool:
    """Use up a recovery code; tells whether there was such a one."""
    row = session.scalar(
        select(RecoveryCodeRow).where(
            RecoveryCodeRow.staff_id == staff_id, RecoveryCodeRow.code_hash == code_hash
        )
    )
    if row is None:
        return False
    session.delete(row)
    return True


def count_recovery_codes(session: Session, staff_id: int) -> int:
    """Give how many recovery codes a person has left."""
    query = select(func.count()).select_from(RecoveryCodeRow).where(RecoveryCodeRow.staff_id == staff_id)
    return session.scalar(query) or 0


def add_api_key(
    session: Session,
    staff_id: int,
    name: str,
    scope: str,
    key_hash: str,
    times: tuple[datetime, datetime],
) -> int:
    """Add a key of the JSON API and give its id; `times` are when it was made and when it ends."""
    made_at, expires_at = times
    row = ApiKeyRow(
        staff_id=staff_id,
        name=name,
        scope=scope,
        key_hash=key_hash,
        made_at=made_at,
        expires_at=expires_at,
        last_used_at=None,
    )
    session.add(row)
    session.flush()
    return row.id


def list_api_keys(session: Session, staff_id: int) -> tuple[ApiKey, ...]:
    """Give the keys of a person, the newest first."""
    query = select(ApiKeyRow).where(ApiKeyRow.staff_id == staff_id).order_by(ApiKeyRow.id.desc())
    return tuple(_key(row) for row in session.scalars(query))


def api_key_of(session: Session, key_hash: str) -> tuple[StaffMember, ApiKey] | None:
    """Give whom a key speaks for, or None."""
    row = session.scalar(select(ApiKeyRow).where(ApiKeyRow.key_hash == key_hash))
    return (member_of(row.staff), _key(row)) if row and row.staff.is_active else None


def touch_api_key(session: Session, key_id: int, now: datetime) -> None:
    """Note that a key was used."""
    row = session.get(ApiKeyRow, key_id)
    if row is not None:
        row.last_used_at = now


def remove_api_key(session: Session, staff_id: int, key_id: int) -> str | None:
    """Take a person's key away and give its name; None when there is no such key."""
    row = session.scalar(select(ApiKeyRow).where(ApiKeyRow.id == key_id, ApiKeyRow.staff_id == staff_id))
    if row is None:
        return None
    session.delete(row)
    return row.name


def _key(row: ApiKeyRow) -> ApiKey:
    scope = cast("Literal['read', 'write']", row.scope)
    return ApiKey(row.id, row.name, scope, row.made_at, row.expires_at, row.last_used_at)
