"""Staff, their sessions, and the count of wrong guesses."""

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String, false
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
    totp_secret: Mapped[str] = mapped_column(String(64), default="", server_default="")
    totp_step: Mapped[int] = mapped_column(default=0, server_default="0")  # the last one used
    must_change: Mapped[bool] = mapped_column(default=False, server_default=false())


class SessionRow(Base):
    """One signed-in browser; the token only as SHA-256."""

    __tablename__ = "sessions"

    id: Mapped[int] = mapped_column(primary_key=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    staff_id: Mapped[int] = mapped_column(ForeignKey("staff.id", ondelete="CASCADE"), index=True)
    made_at: Mapped[datetime] = mapped_column(Instant)
    last_seen_at: Mapped[datetime] = mapped_column(Instant)
    waits: Mapped[bool] = mapped_column(default=False, server_default=false())  # for the second factor
    address: Mapped[str] = mapped_column(String(80), default="", server_default="")
    browser: Mapped[str] = mapped_column(String(300), default="", server_default="")

    staff: Mapped[StaffRow] = relationship(lazy="joined", innerjoin=True)


class RecoveryCodeRow(Base):
    """One code for whoever lost the second factor; it goes when it is used."""

    __tablename__ = "recovery_codes"

    id: Mapped[int] = mapped_column(primary_key=True)
    staff_id: Mapped[int] = mapped_column(ForeignKey("staff.id", ondelete="CASCADE"), index=True)
    code_hash: Mapped[str] = mapped_column(String(64))


class ApiKeyRow(Base):
    """One program that speaks for a person; the key only as SHA-256."""

    __tablename__ = "api_keys"

    id: Mapped[int] = mapped_column(primary_key=True)
    staff_id: Mapped[int] = mapped_column(ForeignKey("staff.id", ondelete="CASCADE"), index=True)
    name: Mapped[str] = mapped_column(String(80))
    key_hash: Mapped[str] = mapped_column(String(64), unique=True)
    scope: Mapped[str] = mapped_column(String(10))
    made_at: Mapped[datetime] = mapped_column(Instant)
    expires_at: Mapped[datetime] = mapped_column(Instant)
    last_used_at: Mapped[datetime | None] = mapped_column(Instant)

    staff: Mapped[StaffRow] = relationship(lazy="joined", innerjoin=True)


class GuessRow(Base):
    """One wrong guess, kept as long as it counts against its sender."""

    __tablename__ = "guesses"
    __table_args__ = (Index("ix_guesses_kind_sender_at", "kind", "sender", "at"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(20))
    sender: Mapped[str] = mapped_column(String(300))
    at: Mapped[datetime] = mapped_column(Instant)
