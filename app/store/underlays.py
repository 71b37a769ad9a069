"""The picture beneath a job's drawing: kept, laid elsewhere, taken away."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from app.store.models import UnderlayRow


@dataclass(frozen=True, slots=True)
class Lying:
    """Where a picture lies on plan: its upper left corner, its size, and how much of it is seen."""

    left_mm: float
    top_mm: float
    wide_mm: float
    high_mm: float
    opacity_pct: int


def put_underlay(
    session: Session, job_id: int, picture: tuple[bytes, str], lying: Lying, at: datetime, who: str
) -> None:
    """Keep a picture (its JPEG bytes and their SHA-256) in place of the one before."""
    take_underlay(session, job_id)
    jpeg, sha256 = picture
    row = UnderlayRow(job_id=job_id, sha256=sha256, jpeg=jpeg, at=at, who=who)
    _lay(row, lying)
    session.add(row)


def move_underlay(session: Session, job_id: int, lying: Lying) -> bool:
    """Lay the picture elsewhere; whether there is one."""
    row = session.scalar(select(UnderlayRow).where(UnderlayRow.job_id == job_id))
    if row is not None:
        _lay(row, lying)
    return row is not None


def take_underlay(session: Session, job_id: int) -> bool:
    """Take the picture away, bytes and all; whether there was one."""
    gone = session.scalars(delete(UnderlayRow).where(UnderlayRow.job_id == job_id).returning(UnderlayRow.id))
    return gone.first() is not None


def underlay(session: Session, job_id: int) -> tuple[Lying, str] | None:
    """Give how a job's picture lies and the SHA-256 of its bytes, or None."""
    row = session.scalar(select(UnderlayRow).where(UnderlayRow.job_id == job_id))
    if row is None:
        return None
    return Lying(row.left_mm, row.top_mm, row.wide_mm, row.high_mm, row.opacity_pct), row.sha256


def picture(session: Session, job_id: int) -> bytes | None:
    """Give the JPEG beneath a job's drawing, or None."""
    return session.scalar(select(UnderlayRow.jpeg).where(UnderlayRow.job_id == job_id))


def _lay(row: UnderlayRow, lying: Lying) -> None:
    row.left_mm, row.top_mm = lying.left_mm, lying.top_mm
    row.wide_mm, row.high_mm = lying.wide_mm, lying.high_mm
    row.opacity_pct = lying.opacity_pct
