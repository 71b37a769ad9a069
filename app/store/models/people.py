"""Staff, their sessions, and the count of wrong guesses."""

from datetime import datetime

from sqlalchemy import BigInteger, ForeignKey, Index, String, Text, false, select
from sqlalchemy.orm import Mapped, column_property, mapped_column, relationship

from app.store.models.base import Base, Instant
from app.store.models.shop import ShopRow


class PasskeyRow(Base):
    """One passkey (WebAuthn): its public half, so that nothing here opens anything."""

    __tablename__ = "passkeys"

    id: Mapped[int] = mapped_column(primary_key=True)
    staff_id: Mapped[int] = mapped_column(ForeignKey("staff.id", ondelete="CASCADE"), index=True)
    name: Mapped[str] = mapped_column(String(80))
    credential_id: Mapped[str] = mapped_column(String(1400), unique=True)  # base64url, at most 1,023 bytes
    public_key: Mapped[str] = mapped_column(Text)  # COSE, base64url
    sign_count: Mapped[int] = mapped_column(BigInteger)  # 32 bits without sign
    made_at: Mapped[datetime] = mapped_column(Instant)
    last_used_at: Mapped[datetime | None] = mapped_column(Instant)


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
    first_until: Mapped[datetime | None] = mapped_column(Instant)  # how long a first password opens the door
    # Read with the person, so that a request knows them without a question of its own.
    has_passkey: Mapped[bool] = column_property(
        select(PasskeyRow.id).where(PasskeyRow.staff_id == id).correlate_except(PasskeyRow).exists()
    )
    asks_factor: Mapped[bool | None] = column_property(
        select(ShopRow.asks_factor).where(ShopRow.id == 1).scalar_subquery()
    )


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


class PasskeyChallengeRow(Base):
    """A question put to a browser's passkey: answered once, by that session, within minutes."""

    __tablename__ = "passkey_challenges"

    id: Mapped[int] = mapped_column(primary_key=True)
    staff_id: Mapped[int] = mapped_column(ForeignKey("staff.id", ondelete="CASCADE"), index=True)
    token_hash: Mapped[str] = mapped_column(String(64), index=True)  # the session it was put to
    purpose: Mapped[str] = mapped_column(String(10))  # add, sign in
    challenge: Mapped[str] = mapped_column(String(100))
    made_at: Mapped[datetime] = mapped_column(Instant)


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
