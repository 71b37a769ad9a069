"""The days: rules of work, promises, tasks set by hand, accepted plans, secret addresses, photos."""

from datetime import date, datetime

from sqlalchemy import ForeignKey, LargeBinary, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.models.base import Base, Instant, append_only


class WorkRulesRow(Base):
    """The shop's rules for planning, one row for every time they were saved; the last one holds."""

    __tablename__ = "work_rules"

    id: Mapped[int] = mapped_column(primary_key=True)
    document: Mapped[str] = mapped_column(Text)
    set_at: Mapped[datetime] = mapped_column(Instant)
    set_by: Mapped[str] = mapped_column(String(120))


class JobPromiseRow(Base):
    """What one job promises and what its building asks for."""

    __tablename__ = "job_promises"

    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), primary_key=True)
    finish_by_on: Mapped[date | None]
    site: Mapped[str] = mapped_column(Text, default="{}")
    access_notes: Mapped[str] = mapped_column(Text, default="")


class TaskEditRow(Base):
    """What was set by hand about one task of a job, with its reason."""

    __tablename__ = "task_edits"
    __table_args__ = (UniqueConstraint("job_id", "code"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"))
    code: Mapped[str] = mapped_column(String(80))
    document: Mapped[str] = mapped_column(Text)
    at: Mapped[datetime] = mapped_column(Instant)
    by: Mapped[str] = mapped_column(String(120))


@append_only
class JointPlanRow(Base):
    """One accepted plan over all jobs; the last one holds until another is accepted."""

    __tablename__ = "joint_plans"

    id: Mapped[int] = mapped_column(primary_key=True)
    document: Mapped[str] = mapped_column(Text)
    why: Mapped[str] = mapped_column(Text)
    at: Mapped[datetime] = mapped_column(Instant)
    by: Mapped[str] = mapped_column(String(120))


class SecretAddressRow(Base):
    """One secret address (a calendar feed, a handover file); the secret only as SHA-256."""

    __tablename__ = "secret_addresses"

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(20), index=True)
    key: Mapped[str] = mapped_column(String(60))
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    made_at: Mapped[datetime] = mapped_column(Instant)
    made_by: Mapped[str] = mapped_column(String(120))
    revoked_at: Mapped[datetime | None] = mapped_column(Instant)


@append_only
class PhotoRow(Base):
    """One photo of the site, made smaller and without where it was taken."""

    __tablename__ = "photos"

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    device_key: Mapped[str | None] = mapped_column(String(64), unique=True)
    day: Mapped[date]
    caption: Mapped[str] = mapped_column(String(400))
    is_before_cover: Mapped[bool]
    width_px: Mapped[int]
    height_px: Mapped[int]
    sha256: Mapped[str] = mapped_column(String(64))
    jpeg: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)
    at: Mapped[datetime] = mapped_column(Instant)
    who: Mapped[str] = mapped_column(String(120))
