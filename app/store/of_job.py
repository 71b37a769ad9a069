"""Whether a thing with a number of its own belongs to a job."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import InstrumentedAttribute, Session

from app.store.models import (
    ChangeOrderRow,
    InvoiceRow,
    LinkRow,
    PhotoRow,
    PunchRow,
    PurchaseOrderRow,
    RevisionRow,
)

# What each kind of thing is numbered by, and where its job stands.
_PLACES: Mapping[str, tuple[InstrumentedAttribute[int], InstrumentedAttribute[int]]] = {
    "change order": (ChangeOrderRow.id, ChangeOrderRow.job_id),
    "invoice": (InvoiceRow.number, InvoiceRow.job_id),
    "photo": (PhotoRow.id, PhotoRow.job_id),
    "punch item": (PunchRow.id, PunchRow.job_id),
    "purchase order": (PurchaseOrderRow.id, PurchaseOrderRow.job_id),
    "revision": (RevisionRow.id, RevisionRow.job_id),
    "link": (LinkRow.id, RevisionRow.job_id),
}


def is_of_job(session: Session, kind: str, number: int, job_id: int) -> bool:
    """Tell whether the thing of that kind and number belongs to the job."""
    key, job = _PLACES[kind]
    query: Any = select(key).where(key == number, job == job_id)
    if kind == "link":
        query = query.join(RevisionRow, RevisionRow.id == LinkRow.revision_id)
    return session.scalar(query) is not None
