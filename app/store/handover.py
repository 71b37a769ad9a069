"""Frozen handover files with their receipts, and the warranty the firm gives."""

import json
from collections.abc import Iterable, Mapping
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.build.warranty import WarrantyTerm
from app.store.day_records import HandoverCopy
from app.store.models import HandoverCopyRow, HandoverReceiptRow, JobRow, WarrantyTermRow


def next_number(session: Session, job_id: int) -> int:
    """Give the next number of a job's handover files; writers queue on the job's row."""
    session.execute(select(JobRow.id).where(JobRow.id == job_id).with_for_update(of=JobRow))
    query = select(func.max(HandoverCopyRow.number)).where(HandoverCopyRow.job_id == job_id)
    return (session.scalar(query) or 0) + 1


def add_copy(session: Session, new: HandoverCopy, inputs: str, pdf: bytes) -> int:
    """Add a frozen file and give its id (the one in `new` is not looked at)."""
    row = HandoverCopyRow(
        job_id=new.job_id,
        number=new.number,
        inputs=inputs,
        pdf=pdf,
        fingerprint=new.fingerprint,
        document_sha256=new.document_sha256,
        lacking=json.dumps(new.lacking, ensure_ascii=False),
        made_at=new.made_at,
        made_by=new.made_by,
    )
    session.add(row)
    session.flush()
    return row.id


def copies(session: Session, job_id: int) -> tuple[HandoverCopy, ...]:
    """Give the frozen files of a job, newest first."""
    query = (
        select(HandoverCopyRow, HandoverReceiptRow)
        .outerjoin(HandoverReceiptRow, HandoverReceiptRow.copy_id == HandoverCopyRow.id)
        .where(HandoverCopyRow.job_id == job_id)
        .order_by(HandoverCopyRow.number.desc())
    )
    return tuple(_copy(row, receipt) for row, receipt in session.execute(query))


def pdf_of(session: Session, copy_id: int) -> bytes | None:
    """Give the bytes of a frozen file, or None."""
    return session.scalar(select(HandoverCopyRow.pdf).where(HandoverCopyRow.id == copy_id))


def add_receipt(
    session: Session, copy: HandoverCopy, name: str, where: tuple[str, str], now: datetime
) -> None:
    """Note that the client received a frozen file, from which address and browser; once only."""
    session.add(
        HandoverReceiptRow(
            copy_id=copy.id,
            name=name,
            fingerprint=copy.fingerprint,
            received_at=now,
            address=where[0][:80],
            browser=where[1][:400],
        )
    )
    session.flush()


def warranty_terms(session: Session) -> dict[str, WarrantyTerm]:
    """Give how long the firm warrants what, by class."""
    rows = session.scalars(select(WarrantyTermRow).order_by(WarrantyTermRow.code))
    return {row.code: WarrantyTerm(row.code, row.months, row.note) for row in rows}


def put_warranty_terms(session: Session, terms: Iterable[WarrantyTerm], who: str, now: datetime) -> None:
    """Set how long the firm warrants what."""
    known: Mapping[str, WarrantyTermRow] = {row.code: row for row in session.scalars(select(WarrantyTermRow))}
    for term in terms:
        row = known.get(term.code) or WarrantyTermRow(code=term.code)
        row.months, row.note, row.set_at, row.set_by = term.months, term.note, now, who
        session.add(row)
    session.flush()


def _copy(row: HandoverCopyRow, receipt: HandoverReceiptRow | None) -> HandoverCopy:
    return HandoverCopy(
        id=row.id,
        job_id=row.job_id,
        number=row.number,
        fingerprint=row.fingerprint,
        document_sha256=row.document_sha256,
        lacking=tuple(json.loads(row.lacking)),
        made_at=row.made_at,
        made_by=row.made_by,
        received_at=receipt.received_at if receipt else None,
        received_name=receipt.name if receipt else "",
    )
