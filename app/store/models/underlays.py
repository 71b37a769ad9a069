"""What lies beneath the drawing of a job: one photo or page of an old plan, where and how large."""

from datetime import datetime

from sqlalchemy import ForeignKey, LargeBinary, String
from sqlalchemy.orm import Mapped, mapped_column

from app.store.models.base import Base, Instant


class UnderlayRow(Base):
    """The one picture beneath a job's drawing, written anew from what was sent."""

    __tablename__ = "underlays"

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), unique=True)
    sha256: Mapped[str] = mapped_column(String(64))
    jpeg: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)
    left_mm: Mapped[float]
    top_mm: Mapped[float]
    wide_mm: Mapped[float]
    high_mm: Mapped[float]
    opacity_pct: Mapped[int]
    at: Mapped[datetime] = mapped_column(Instant)
    who: Mapped[str] = mapped_column(String(120))
