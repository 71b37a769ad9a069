"""What goes to and fro while a job is built: purchase orders, deliveries, change orders, invoices, money."""

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import ForeignKey, LargeBinary, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.store.models.base import Base, Exact, Instant, append_only


class PurchaseOrderRow(Base):
    """One order to one supplier for one job, and when it was confirmed for."""

    __tablename__ = "purchase_orders"

    id: Mapped[int] = mapped_column(primary_key=True)
    sequence: Mapped[int] = mapped_column(unique=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    supplier: Mapped[str] = mapped_column(String(200))
    lines: Mapped[str] = mapped_column(Text)
    needed_on: Mapped[date]
    made_at: Mapped[datetime] = mapped_column(Instant)
    made_by: Mapped[str] = mapped_column(String(120))
    confirmed_for_on: Mapped[date | None]
    confirmed_at: Mapped[datetime | None] = mapped_column(Instant)
    reference: Mapped[str] = mapped_column(String(120), default="")


@append_only
class DeliveryRow(Base):
    """Packs of one item that came, whole or damaged; damaged ones do not count as there."""

    __tablename__ = "deliveries"

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    device_key: Mapped[str | None] = mapped_column(String(64), unique=True)
    item: Mapped[str] = mapped_column(String(40))
    packs: Mapped[int]
    damaged: Mapped[int]
    day: Mapped[date]
    note: Mapped[str] = mapped_column(Text)
    at: Mapped[datetime] = mapped_column(Instant)
    who: Mapped[str] = mapped_column(String(120))


class ChangeOrderRow(Base):
    """One change to a signed job: its price and days, frozen; signed, declined, or only said."""

    __tablename__ = "change_orders"
    __table_args__ = (UniqueConstraint("job_id", "number"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    number: Mapped[int]
    title: Mapped[str] = mapped_column(String(200))
    reason: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(String(20))
    is_verbal: Mapped[bool]
    said_by: Mapped[str] = mapped_column(String(200))
    said_on: Mapped[date | None]
    price_change: Mapped[Decimal] = mapped_column(Exact)
    days_change: Mapped[int]
    currency: Mapped[str] = mapped_column(String(3))
    document: Mapped[str] = mapped_column(Text)
    fingerprint: Mapped[str] = mapped_column(String(64))
    pdf: Mapped[bytes | None] = mapped_column(LargeBinary, deferred=True)
    made_at: Mapped[datetime] = mapped_column(Instant)
    made_by: Mapped[str] = mapped_column(String(120))
    settled_at: Mapped[datetime | None] = mapped_column(Instant)
    settled_name: Mapped[str] = mapped_column(String(200), default="")
    evidence: Mapped[str] = mapped_column(Text, default="{}")


@append_only
class InvoiceRow(Base):
    """One invoice; numbers run from 1 without a gap and an invoice never changes."""

    __tablename__ = "invoices"
    __table_args__ = (UniqueConstraint("job_id", "stage"),)

    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    stage: Mapped[str] = mapped_column(String(60))
    title: Mapped[str] = mapped_column(String(200))
    amount: Mapped[Decimal] = mapped_column(Exact)
    currency: Mapped[str] = mapped_column(String(3))
    made_on: Mapped[date]
    due_on: Mapped[date]
    pdf: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)
    document_sha256: Mapped[str] = mapped_column(String(64), default="", server_default="")
    at: Mapped[datetime] = mapped_column(Instant)
    by: Mapped[str] = mapped_column(String(120))


@append_only
class ReceiptRow(Base):
    """Money received for an invoice."""

    __tablename__ = "receipts"

    id: Mapped[int] = mapped_column(primary_key=True)
    invoice_number: Mapped[int] = mapped_column(ForeignKey("invoices.number"), index=True)
    day: Mapped[date]
    amount: Mapped[Decimal] = mapped_column(Exact)
    note: Mapped[str] = mapped_column(String(400))
    at: Mapped[datetime] = mapped_column(Instant)
    by: Mapped[str] = mapped_column(String(120))


@append_only
class CostRow(Base):
    """One bill for one job; a wrong one is put right by another with a minus."""

    __tablename__ = "costs"

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    kind: Mapped[str] = mapped_column(String(20))
    phase: Mapped[str] = mapped_column(String(20))
    amount: Mapped[Decimal] = mapped_column(Exact)
    who: Mapped[str] = mapped_column(String(200))
    day: Mapped[date]
    note: Mapped[str] = mapped_column(Text)
    at: Mapped[datetime] = mapped_column(Instant)
    by: Mapped[str] = mapped_column(String(120))
