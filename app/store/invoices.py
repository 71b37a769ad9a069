"""Invoices and the money that came in for them."""

import hashlib
from datetime import datetime
from decimal import Decimal

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.store.day_records import Invoice, Receipt
from app.store.models import InvoiceRow, ReceiptRow, ShopRow


def next_number(session: Session) -> int:
    """Give the next invoice number; writers queue on the shop's row, so none is taken twice or left out."""
    session.execute(select(ShopRow.id).with_for_update())
    return (session.scalar(select(func.max(InvoiceRow.number))) or 0) + 1


def add_invoice(session: Session, new: Invoice, pdf: bytes) -> None:
    """Add an invoice under its number."""
    session.add(
        InvoiceRow(
            number=new.number,
            job_id=new.job_id,
            stage=new.stage,
            title=new.title,
            amount=new.amount,
            currency=new.currency,
            made_on=new.made_on,
            due_on=new.due_on,
            pdf=pdf,
            document_sha256=hashlib.sha256(pdf).hexdigest(),
            at=new.at,
            by=new.by,
        )
    )
    session.flush()


def invoices(session: Session, job_id: int) -> tuple[Invoice, ...]:
    """Give the invoices of a job by number, each with what came in."""
    rows = session.scalars(select(InvoiceRow).where(InvoiceRow.job_id == job_id).order_by(InvoiceRow.number))
    return tuple(_invoice(session, row) for row in rows)


def find(session: Session, number: int) -> Invoice | None:
    """Give one invoice, or None."""
    row = session.get(InvoiceRow, number)
    return _invoice(session, row) if row else None


def pdf_of(session: Session, job_id: int, number: int) -> bytes | None:
    """Give an invoice of the job as it was made, or None."""
    ours = (InvoiceRow.job_id == job_id, InvoiceRow.number == number)
    return session.scalar(select(InvoiceRow.pdf).where(*ours))


def add_receipt(session: Session, number: int, new: Receipt) -> None:
    """Note money that came in."""
    at: datetime = new.at
    amount: Decimal = new.amount
    row = ReceiptRow(invoice_number=number, day=new.on, amount=amount, note=new.note, at=at, by=new.by)
    session.add(row)
    session.flush()


def _invoice(session: Session, row: InvoiceRow) -> Invoice:
    query = select(ReceiptRow).where(ReceiptRow.invoice_number == row.number).order_by(ReceiptRow.id)
    came = tuple(
        Receipt(one.id, row.number, one.day, one.amount, one.note, one.at, one.by)
        for one in session.scalars(query)
    )
    return Invoice(
        number=row.number,
        job_id=row.job_id,
        stage=row.stage,
        title=row.title,
        amount=row.amount,
        currency=row.currency,
        made_on=row.made_on,
        due_on=row.due_on,
        at=row.at,
        by=row.by,
        receipts=came,
    )
