"""The trail: who did what, when, to what. Rows are only added, and each carries the hash of the last."""

import hashlib
import json
from datetime import UTC, datetime

from sqlalchemy import Connection, bindparam, select
from sqlalchemy.orm import Session

from app.store.models import AuditRow, ShopRow
from app.store.records import AuditEntry

FIRST_HASH = "0" * 64
_NEWEST = select(AuditRow.sha256).order_by(AuditRow.id.desc()).limit(1)
# Columns, not rows, and made once: every sheet of a job shows its trail.
_TRAIL = (
    select(
        AuditRow.at,
        AuditRow.who,
        AuditRow.what,
        AuditRow.subject,
        AuditRow.before_version,
        AuditRow.after_version,
    )
    .where(AuditRow.subject == bindparam("about"))
    .order_by(AuditRow.id.desc())
    .limit(bindparam("most"))
)


def note(
    session: Session,
    at: datetime,
    who: str,
    what: str,
    subject: str,
    versions: tuple[int | None, int | None] = (None, None),
) -> None:
    """Add one row to the trail, in the same transaction as what it tells of."""
    if at.tzinfo is None:
        raise ValueError(f"{at!r} has no time zone")
    # Writers queue on the shop's row, so that two of them never chain to the same last row.
    session.execute(select(ShopRow.id).with_for_update())
    last = newest(session)
    entry = AuditEntry(at.astimezone(UTC), who, what, subject, *versions)
    session.add(
        AuditRow(
            at=entry.at,
            who=who,
            what=what,
            subject=subject,
            before_version=entry.before_version,
            after_version=entry.after_version,
            previous_sha256=last,
            sha256=chain_hash(last, entry),
        )
    )
    session.flush()


def newest(session: Session | Connection) -> str:
    """Give the hash of the last entry of all: as long as it is the same, nobody has changed anything."""
    return session.scalar(_NEWEST) or FIRST_HASH


def trail(session: Session | Connection, subject: str, limit: int = 200) -> tuple[AuditEntry, ...]:
    """Give the last entries about one thing, newest first."""
    rows = session.execute(_TRAIL, {"about": subject, "most": limit})
    return tuple(AuditEntry(*row) for row in rows)


def last_of(session: Session, subject: str) -> str:
    """Give the hash of the last entry about one thing; empty when there is none."""
    query = select(AuditRow.sha256).where(AuditRow.subject == subject).order_by(AuditRow.id.desc()).limit(1)
    return session.scalar(query) or ""


def who_saved(session: Session, subject: str, version: int) -> str:
    """Give who made a version of something; "somebody" when the trail does not say."""
    query = (
        select(AuditRow.who)
        .where(AuditRow.subject == subject, AuditRow.after_version == version)
        .order_by(AuditRow.id.desc())
        .limit(1)
    )
    return session.scalar(query) or "somebody"


def first_broken_link(session: Session) -> int | None:
    """Give the id of the first row whose hash does not follow from the rows before it, or None."""
    last = FIRST_HASH
    for row in session.scalars(select(AuditRow).order_by(AuditRow.id)):
        if row.previous_sha256 != last or row.sha256 != chain_hash(last, _entry(row)):
            return row.id
        last = row.sha256
    return None


def chain_hash(previous: str, entry: AuditEntry) -> str:
    """Give the hash of an entry that follows another."""
    fields = [
        previous,
        entry.at.isoformat(),
        entry.who,
        entry.what,
        entry.subject,
        entry.before_version,
        entry.after_version,
    ]
    return hashlib.sha256(json.dumps(fields, ensure_ascii=False).encode()).hexdigest()


def _entry(row: AuditRow) -> AuditEntry:
    return AuditEntry(row.at, row.who, row.what, row.subject, row.before_version, row.after_version)
