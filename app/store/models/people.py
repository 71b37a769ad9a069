"""Staff, their sessions, and the count of wrong guesses."""

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column, relationship

from app.store.models.base import Base, Instant


class StaffRow(Base):
    """One account; the password only as an argon2id hash."""

    __tablename__ = "staff"

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(120))
    email: Mapped[str] = mapped_column(String(254), unique=True)
    password_hash: Mapped[str] = mapped_column(String(200))
    role: Mapped[str] = mapped_column(String(20))
    is_active: Mapped[bool] = mapped_column(default=True)
    made_at: Mapped[datetime] = mapped_column(Instant)


class SessionRow(Base):
    """One signed-in browser; the token only as SHA-256."""

    __tablename__ = "sessions"

    id: Mapped[int] = mapped_column(primary_key=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    staff_id: Mapped[int] = mapped_column(ForeignKey("staff.id", ondelete="CASCADE"), index=True)
    made_at: Mapped[datetime] = mapped_column(Instant)
    last_seen_at: Mapped[datetime] = mapped_column(Instant)

    staff: Mapped[StaffRow] = relationship(lazy="joined", innerjoin=True)


class GuessRow(Base):
    """One wrong guess, kept as long as it counts against its sender."""

    __tablename__ = "guesses"
    __table_args__ = (Index("ix_guesses_kind_sender_at", "kind", "sender", "at"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(20))
    sender: Mapped[str] = mapped_column(String(300))
    at: Mapped[datetime] = mapped_column(Instant)
