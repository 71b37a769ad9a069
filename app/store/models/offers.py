"""Frozen revisions, the client's links to them, and sign-off."""

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import ForeignKey, LargeBinary, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from app.store.models.base import Base, Exact, Instant, append_only
from app.store.models.jobs import JobRow


@append_only
class RevisionRow(Base):
    """One offer, frozen: nothing of it changes but the note that the client declined."""

    __tablename__ = "revisions"
    __table_args__ = (UniqueConstraint("job_id", "number"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"))
    number: Mapped[int]
    offered_at: Mapped[datetime] = mapped_column(Instant)
    offered_on: Mapped[date]
    valid_until_on: Mapped[date]
    offered_by: Mapped[str] = mapped_column(String(120))
    total: Mapped[Decimal] = mapped_column(Exact)
    currency: Mapped[str] = mapped_column(String(3))
    fingerprint: Mapped[str] = mapped_column(String(64))
    inputs: Mapped[str] = mapped_column(Text, deferred=True)
    results: Mapped[str] = mapped_column(Text, deferred=True)
    pdf: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)
    document_sha256: Mapped[str] = mapped_column(String(64))
    declined_at: Mapped[datetime | None] = mapped_column(Instant)
    decline_reason: Mapped[str] = mapped_column(Text, default="")

    job: Mapped[JobRow] = relationship(lazy="joined", innerjoin=True)
    sign_off: Mapped["SignOffRow | None"] = relationship(lazy="joined")
    counter_sign: Mapped["CounterSignRow | None"] = relationship(lazy="joined")
    cancellation: Mapped["CancellationRow | None"] = relationship(lazy="joined")


class LinkRow(Base):
    """One client's link; the token only as SHA-256."""

    __tablename__ = "links"

    id: Mapped[int] = mapped_column(primary_key=True)
    revision_id: Mapped[int] = mapped_column(ForeignKey("revisions.id"), index=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    made_at: Mapped[datetime] = mapped_column(Instant)
    made_by: Mapped[str] = mapped_column(String(120))
    expires_at: Mapped[datetime] = mapped_column(Instant)
    revoked_at: Mapped[datetime | None] = mapped_column(Instant)
    opened: Mapped[int] = mapped_column(default=0)
    last_opened_at: Mapped[datetime | None] = mapped_column(Instant)

    revision: Mapped[RevisionRow] = relationship(lazy="joined", innerjoin=True)


class LinkSessionRow(Base):
    """One browser that opened a link; the cookie only as SHA-256."""

    __tablename__ = "link_sessions"

    id: Mapped[int] = mapped_column(primary_key=True)
    link_id: Mapped[int] = mapped_column(ForeignKey("links.id"), index=True)
    cookie_hash: Mapped[str] = mapped_column(String(64), unique=True)
    made_at: Mapped[datetime] = mapped_column(Instant)
    records_consent_at: Mapped[datetime | None] = mapped_column(Instant)
    code_given_at: Mapped[datetime | None] = mapped_column(Instant)  # the code sent by mail came back

    link: Mapped[LinkRow] = relationship(lazy="joined", innerjoin=True)


@append_only
class LinkEventRow(Base):
    """What was done through a link and when: opened, read, PDF fetched, signed, declined."""

    __tablename__ = "link_events"

    id: Mapped[int] = mapped_column(primary_key=True)
    link_id: Mapped[int] = mapped_column(ForeignKey("links.id"), index=True)
    at: Mapped[datetime] = mapped_column(Instant)
    what: Mapped[str] = mapped_column(String(40))


@append_only
class SignOffRow(Base):
    """Consent given to one revision, with its evidence; one for each revision at most."""

    __tablename__ = "sign_offs"

    id: Mapped[int] = mapped_column(primary_key=True)
    revision_id: Mapped[int] = mapped_column(ForeignKey("revisions.id"), unique=True)
    link_id: Mapped[int] = mapped_column(ForeignKey("links.id"), index=True)
    name: Mapped[str] = mapped_column(String(200))
    consent: Mapped[str] = mapped_column(Text)
    fingerprint: Mapped[str] = mapped_column(String(64))
    document_sha256: Mapped[str] = mapped_column(String(64))
    signed_at: Mapped[datetime] = mapped_column(Instant)
    address: Mapped[str] = mapped_column(String(80))
    browser: Mapped[str] = mapped_column(String(400))
    combination: Mapped[str] = mapped_column(String(400), default="")  # codes of the options taken
    evidence: Mapped[str] = mapped_column(Text, default="{}")  # what else is kept, as JSON


@append_only
class CombinationRow(Base):
    """One combination of options of a revision, worked out and frozen with it."""

    __tablename__ = "combinations"
    __table_args__ = (UniqueConstraint("revision_id", "codes"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    revision_id: Mapped[int] = mapped_column(ForeignKey("revisions.id"))
    codes: Mapped[str] = mapped_column(String(400))
    fingerprint: Mapped[str] = mapped_column(String(64))
    results: Mapped[str] = mapped_column(Text)


@append_only
class QuestionRow(Base):
    """One thing asked or answered between client and office."""

    __tablename__ = "questions"

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    link_id: Mapped[int | None] = mapped_column(ForeignKey("links.id"))
    at: Mapped[datetime] = mapped_column(Instant)
    who: Mapped[str] = mapped_column(String(200))
    is_client: Mapped[bool]
    text: Mapped[str] = mapped_column(Text)


class SignCodeRow(Base):
    """A one-time code sent to the client's address; only its hash is kept."""

    __tablename__ = "sign_codes"

    id: Mapped[int] = mapped_column(primary_key=True)
    link_session_id: Mapped[int] = mapped_column(ForeignKey("link_sessions.id"), index=True)
    code_hash: Mapped[str] = mapped_column(String(64))
    sent_to: Mapped[str] = mapped_column(String(254))
    made_at: Mapped[datetime] = mapped_column(Instant)
    tries: Mapped[int] = mapped_column(default=0)
    used_at: Mapped[datetime | None] = mapped_column(Instant)


@append_only
class JobPricingRow(Base):
    """What the office set by hand on one job's price; the last row holds."""

    __tablename__ = "job_pricing"
    __table_args__ = (UniqueConstraint("job_id", "version"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"))
    version: Mapped[int]
    document: Mapped[str] = mapped_column(Text)
    set_at: Mapped[datetime] = mapped_column(Instant)
    set_by: Mapped[str] = mapped_column(String(120))


@append_only
class CounterSignRow(Base):
    """The firm's own signature below the client's; one for each revision at most."""

    __tablename__ = "counter_signs"

    id: Mapped[int] = mapped_column(primary_key=True)
    revision_id: Mapped[int] = mapped_column(ForeignKey("revisions.id"), unique=True)
    name: Mapped[str] = mapped_column(String(200))
    who: Mapped[str] = mapped_column(String(120))  # whose account it was
    fingerprint: Mapped[str] = mapped_column(String(64))  # of what the client signed
    signed_at: Mapped[datetime] = mapped_column(Instant)


@append_only
class CancellationRow(Base):
    """A client's notice that it cancels what it signed; one for each revision at most."""

    __tablename__ = "cancellations"

    id: Mapped[int] = mapped_column(primary_key=True)
    revision_id: Mapped[int] = mapped_column(ForeignKey("revisions.id"), unique=True)
    link_id: Mapped[int | None] = mapped_column(ForeignKey("links.id"))  # none: it came by letter
    name: Mapped[str] = mapped_column(String(200))
    words: Mapped[str] = mapped_column(Text)
    cancelled_at: Mapped[datetime] = mapped_column(Instant)
    address: Mapped[str] = mapped_column(String(80))
    browser: Mapped[str] = mapped_column(String(400))
