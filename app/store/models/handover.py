"""What is handed over: frozen handover files, and how long the firm warrants what."""

from datetime import datetime

from sqlalchemy import ForeignKey, LargeBinary, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.models.base import Base, Instant, append_only


@append_only
class HandoverCopyRow(Base):
    """One handover file as it was handed over: what went in, its bytes, and the fingerprint of both."""

    __tablename__ = "handover_copies"
    __table_args__ = (UniqueConstraint("job_id", "number"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    number: Mapped[int]
    inputs: Mapped[str] = mapped_column(Text, deferred=True)
    pdf: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)
    fingerprint: Mapped[str] = mapped_column(String(64))
    document_sha256: Mapped[str] = mapped_column(String(64))
    lacking: Mapped[str] = mapped_column(Text)
    made_at: Mapped[datetime] = mapped_column(Instant)
    made_by: Mapped[str] = mapped_column(String(120))


@append_only
class HandoverReceiptRow(Base):
    """The client's receipt for one frozen handover file."""

    __tablename__ = "handover_receipts"

    id: Mapped[int] = mapped_column(primary_key=True)
    copy_id: Mapped[int] = mapped_column(ForeignKey("handover_copies.id"), unique=True)
    name: Mapped[str] = mapped_column(String(200))
    fingerprint: Mapped[str] = mapped_column(String(64))
    received_at: Mapped[datetime] = mapped_column(Instant)
    address: Mapped[str] = mapped_column(String(80))
    browser: Mapped[str] = mapped_column(String(400))


class WarrantyTermRow(Base):
    """How long the firm warrants one class of product."""

    __tablename__ = "warranty_terms"

    code: Mapped[str] = mapped_column(String(40), primary_key=True)
    months: Mapped[int | None]
    note: Mapped[str] = mapped_column(Text)
    set_at: Mapped[datetime] = mapped_column(Instant)
    set_by: Mapped[str] = mapped_column(String(120))
