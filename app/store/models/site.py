"""What happened: orders placed, the site log, hold points, the punch list."""

from datetime import date, datetime

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.models.base import Base, Instant, append_only


class OrderPlacedRow(Base):
    """An item of a job that was ordered."""

    __tablename__ = "orders_placed"
    __table_args__ = (UniqueConstraint("job_id", "item"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"))
    item: Mapped[str] = mapped_column(String(40))
    reference: Mapped[str] = mapped_column(String(120))
    at: Mapped[datetime] = mapped_column(Instant)
    by: Mapped[str] = mapped_column(String(120))


@append_only
class LogEntryRow(Base):
    """One line of the site log."""

    __tablename__ = "log_entries"

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    day: Mapped[date]
    text: Mapped[str] = mapped_column(Text)
    hours_h: Mapped[float]
    phase: Mapped[str] = mapped_column(String(20), default="")
    people: Mapped[int]
    weather: Mapped[str] = mapped_column(String(120))
    who: Mapped[str] = mapped_column(String(120))
    at: Mapped[datetime] = mapped_column(Instant)
    device_key: Mapped[str | None] = mapped_column(String(64), unique=True)
    kind: Mapped[str] = mapped_column(String(20), default="note", server_default="note")
    person: Mapped[str] = mapped_column(String(120), default="", server_default="")
    task_code: Mapped[str] = mapped_column(String(80), default="", server_default="")
    done_pct: Mapped[int | None]


@append_only
class HoldPointRow(Base):
    """A hold point released by a named person."""

    __tablename__ = "hold_points"
    __table_args__ = (UniqueConstraint("job_id", "code"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"))
    code: Mapped[str] = mapped_column(String(80))
    name: Mapped[str] = mapped_column(String(200))
    note: Mapped[str] = mapped_column(Text)
    at: Mapped[datetime] = mapped_column(Instant)
    entered_by: Mapped[str] = mapped_column(String(120))


class PunchRow(Base):
    """One thing left to put right."""

    __tablename__ = "punch_items"

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    text: Mapped[str] = mapped_column(Text)
    place: Mapped[str] = mapped_column(String(80))
    added_on: Mapped[date]
    added_by: Mapped[str] = mapped_column(String(120))
    due_on: Mapped[date | None]
    closed_on: Mapped[date | None]
    closed_by: Mapped[str] = mapped_column(String(120), default="")


class PaperRow(Base):
    """A paper of the handover file that somebody put on file."""

    __tablename__ = "papers"
    __table_args__ = (UniqueConstraint("job_id", "code"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"))
    code: Mapped[str] = mapped_column(String(40))
    note: Mapped[str] = mapped_column(Text)
    at: Mapped[datetime] = mapped_column(Instant)
    by: Mapped[str] = mapped_column(String(120))


class RunTickRow(Base):
    """One check of one hidden run that somebody ticked off."""

    __tablename__ = "run_ticks"
    __table_args__ = (UniqueConstraint("job_id", "run", "what"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"))
    run: Mapped[str] = mapped_column(String(60))
    ends: Mapped[str] = mapped_column(String(200))
    what: Mapped[str] = mapped_column(String(20))
    by: Mapped[str] = mapped_column(String(120))
    at: Mapped[datetime] = mapped_column(Instant)
