"""Clients, jobs, and the trail of who changed what."""

from datetime import date, datetime

from sqlalchemy import ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column, relationship

from app.store.models.base import Base, Instant, append_only


class ClientRow(Base):
    """A person or household asking."""

    __tablename__ = "clients"

    id: Mapped[int] = mapped_column(primary_key=True)
    version: Mapped[int] = mapped_column(default=1)
    name: Mapped[str] = mapped_column(String(120))
    email: Mapped[str] = mapped_column(String(254))
    phone: Mapped[str] = mapped_column(String(60))
    address: Mapped[str] = mapped_column(Text)


class JobRow(Base):
    """One commission; `document` is the job file exactly as typed."""

    __tablename__ = "jobs"
    # All that the list of jobs shows and searches, the last changed first: in the table itself a job file of
    # twenty kilobytes lies between the columns.
    __table_args__ = (
        Index(
            "ix_jobs_listed",
            "changed_at",
            "id",
            "sequence",
            "title",
            "client_id",
            "state",
            "crew_code",
            "start_on",
            "made_at",
        ),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    sequence: Mapped[int] = mapped_column(unique=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id"), index=True)
    title: Mapped[str] = mapped_column(String(120))
    document: Mapped[str] = mapped_column(Text)
    document_sha256: Mapped[str] = mapped_column(String(64))
    version: Mapped[int] = mapped_column(default=1)
    state: Mapped[str] = mapped_column(String(20), index=True)
    crew_code: Mapped[str] = mapped_column(String(40), default="")
    start_on: Mapped[date | None]
    made_at: Mapped[datetime] = mapped_column(Instant)
    changed_at: Mapped[datetime] = mapped_column(Instant)

    client: Mapped[ClientRow] = relationship(lazy="joined", innerjoin=True)


@append_only
class AuditRow(Base):
    """Who did what, when, to what; each row carries the hash of the one before it."""

    __tablename__ = "audit"

    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime] = mapped_column(Instant)
    who: Mapped[str] = mapped_column(String(120))
    what: Mapped[str] = mapped_column(Text)
    subject: Mapped[str] = mapped_column(String(80), index=True)
    before_version: Mapped[int | None]
    after_version: Mapped[int | None]
    previous_sha256: Mapped[str] = mapped_column(String(64))
    sha256: Mapped[str] = mapped_column(String(64), unique=True)
