"""Proving the papers of a job under way: change orders, invoices, photos, handover files, underlays."""

import hashlib
import json
from collections.abc import Iterator

from sqlalchemy import select
from sqlalchemy.orm import Session, undefer

from app.store.models import (
    ChangeOrderRow,
    HandoverCopyRow,
    HandoverReceiptRow,
    InvoiceRow,
    PhotoRow,
    UnderlayRow,
)


def paper_faults(session: Session) -> list[str]:
    """Hold every paper against the hash kept with it; a sentence for each that is not what it was."""
    return [
        *_handover_faults(session),
        *_change_faults(session),
        *_invoice_faults(session),
        *_photo_faults(session),
        *_underlay_faults(session),
    ]


def handover_fingerprint(inputs: str, document_sha256: str) -> str:
    """Give the fingerprint of a handover file: of what went in and of the bytes that came out."""
    return hashlib.sha256(f"{inputs}\n{document_sha256}".encode()).hexdigest()


def _handover_faults(session: Session) -> Iterator[str]:
    whole = (undefer(HandoverCopyRow.inputs), undefer(HandoverCopyRow.pdf))
    query = select(HandoverReceiptRow.copy_id, HandoverReceiptRow.fingerprint)
    received = {row.copy_id: row.fingerprint for row in session.execute(query)}
    # One at a time: files with photos need not fit into memory together.
    for row in session.scalars(select(HandoverCopyRow).options(*whole).execution_options(yield_per=1)):
        name = f"Handover file {row.number} of job {row.job_id}"
        if hashlib.sha256(row.pdf).hexdigest() != row.document_sha256:
            yield f"The PDF of handover file {row.number} of job {row.job_id} is not the one handed over."
        if handover_fingerprint(row.inputs, row.document_sha256) != row.fingerprint:
            yield f"{name} is not what its fingerprint says."
        if received.get(row.id, row.fingerprint) != row.fingerprint:
            yield f"{name} is not the one the client received."


def _change_faults(session: Session) -> Iterator[str]:
    query = (
        select(ChangeOrderRow).where(ChangeOrderRow.fingerprint != "").options(undefer(ChangeOrderRow.pdf))
    )
    for row in session.scalars(query.execution_options(yield_per=1)):
        name = f"Change order {row.number} of job {row.job_id}"
        inputs = json.loads(row.document).get("inputs")
        # Change orders made before their inputs were kept prove themselves by the evidence alone.
        if (
            inputs is not None
            and hashlib.sha256(inputs.encode() + (row.pdf or b"")).hexdigest() != row.fingerprint
        ):
            yield f"{name} is not what its fingerprint says."
        if row.state == "signed" and json.loads(row.evidence).get("fingerprint") != row.fingerprint:
            yield f"{name} is not the one that was signed."


def _invoice_faults(session: Session) -> Iterator[str]:
    expected = 1
    query = select(InvoiceRow).options(undefer(InvoiceRow.pdf)).order_by(InvoiceRow.number)
    for row in session.scalars(query.execution_options(yield_per=1)):
        if row.number != expected:
            yield f"Invoice {expected} is missing: the numbers run on with {row.number}."
        expected = row.number + 1
        if row.document_sha256 and hashlib.sha256(row.pdf).hexdigest() != row.document_sha256:
            yield f"The PDF of invoice {row.number} is not the one that was made."


def _photo_faults(session: Session) -> Iterator[str]:
    query = select(PhotoRow.id, PhotoRow.job_id, PhotoRow.jpeg, PhotoRow.sha256).execution_options(
        yield_per=1
    )
    for photo_id, job_id, jpeg, kept in session.execute(query):
        if hashlib.sha256(jpeg).hexdigest() != kept:
            yield f"Photo {photo_id} of job {job_id} is not the one that was kept."


def _underlay_faults(session: Session) -> Iterator[str]:
    query = select(UnderlayRow.job_id, UnderlayRow.jpeg, UnderlayRow.sha256).execution_options(yield_per=1)
    for job_id, jpeg, kept in session.execute(query):
        if hashlib.sha256(jpeg).hexdigest() != kept:
            yield f"The picture beneath the drawing of job {job_id} is not the one that was kept."
