"""The rack: what is left over from jobs and kept for the next."""

from datetime import datetime

from sqlalchemy import ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from app.store.models.base import Base, Instant


class RackRow(Base):
    """One offcut kept in the shop: what it is, which job it is from, and which job has it."""

    __tablename__ = "rack"

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(20))  # board or section
    profile: Mapped[str] = mapped_column(String(40))  # its id in the job it is from
    name: Mapped[str] = mapped_column(String(200))
    material: Mapped[str] = mapped_column(String(200))
    width_mm: Mapped[float]
    thick_mm: Mapped[float]
    length_mm: Mapped[float]
    label: Mapped[str] = mapped_column(String(200))
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    put_at: Mapped[datetime] = mapped_column(Instant)
    put_by: Mapped[str] = mapped_column(String(120))
    taken_job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"), index=True)
    taken_at: Mapped[datetime | None] = mapped_column(Instant)
    taken_by: Mapped[str] = mapped_column(String(120), default="")
    gone_at: Mapped[datetime | None] = mapped_column(Instant)  # cut, or thrown out
