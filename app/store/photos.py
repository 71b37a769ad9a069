"""Photos of the site."""

from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.day_records import PhotoCard
from app.store.models import PhotoRow


def add_photo(
    session: Session, job_id: int, card: PhotoCard, picture: tuple[bytes, str], device_key: str | None
) -> int:
    """Add a photo (its JPEG bytes and their SHA-256) and give its id; sent twice, it is kept once."""
    jpeg, sha256 = picture
    if device_key:
        known = session.scalar(select(PhotoRow.id).where(PhotoRow.device_key == device_key))
        if known is not None:
            return known
    row = PhotoRow(
        job_id=job_id,
        device_key=device_key,
        day=card.on,
        caption=card.caption,
        is_before_cover=card.is_before_cover,
        width_px=card.width_px,
        height_px=card.height_px,
        sha256=sha256,
        jpeg=jpeg,
        at=card.at,
        who=card.who,
    )
    session.add(row)
    session.flush()
    return row.id


def photos(session: Session, job_id: int) -> tuple[PhotoCard, ...]:
    """Give the photos of a job, oldest first."""
    query = select(PhotoRow).where(PhotoRow.job_id == job_id).order_by(PhotoRow.day, PhotoRow.id)
    return tuple(_card(row) for row in session.scalars(query))


def picture(session: Session, job_id: int, photo_id: int) -> bytes | None:
    """Give the JPEG of one photo of a job, or None."""
    query = select(PhotoRow.jpeg).where(PhotoRow.id == photo_id, PhotoRow.job_id == job_id)
    return session.scalar(query)


def _card(row: PhotoRow) -> PhotoCard:
    on: date = row.day
    at: datetime = row.at
    return PhotoCard(row.id, on, row.caption, row.is_before_cover, row.width_px, row.height_px, at, row.who)
