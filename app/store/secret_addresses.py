"""Secret addresses: calendar feeds and handover files. Secrets come in as SHA-256."""

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.day_records import SecretAddress
from app.store.models import SecretAddressRow


def add_address(session: Session, kind: str, key: str, token_hash: str, who: str, now: datetime) -> int:
    """Add an address and give its id; the earlier ones of the same thing are withdrawn."""
    query = select(SecretAddressRow).where(SecretAddressRow.kind == kind, SecretAddressRow.key == key)
    for old in session.scalars(query):
        old.revoked_at = old.revoked_at or now
    row = SecretAddressRow(
        kind=kind, key=key, token_hash=token_hash, made_at=now, made_by=who, revoked_at=None
    )
    session.add(row)
    session.flush()
    return row.id


def opened(session: Session, kind: str, token_hash: str) -> SecretAddress | None:
    """Give what a secret opens, or None; withdrawn ones open nothing."""
    row = session.scalar(select(SecretAddressRow).where(SecretAddressRow.token_hash == token_hash))
    return _card(row) if row and row.kind == kind and row.revoked_at is None else None


def live_addresses(session: Session, kind: str) -> dict[str, SecretAddress]:
    """Give the addresses of a kind that open, by what they are for."""
    query = select(SecretAddressRow).where(
        SecretAddressRow.kind == kind, SecretAddressRow.revoked_at.is_(None)
    )
    return {row.key: _card(row) for row in session.scalars(query)}


def revoke(session: Session, kind: str, key: str, now: datetime) -> None:
    """Withdraw every address of one thing."""
    query = select(SecretAddressRow).where(SecretAddressRow.kind == kind, SecretAddressRow.key == key)
    for row in session.scalars(query):
        row.revoked_at = row.revoked_at or now


def _card(row: SecretAddressRow) -> SecretAddress:
    return SecretAddress(row.id, row.kind, row.key, row.made_at, row.made_by, row.revoked_at)
