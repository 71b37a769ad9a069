"""Change orders of signed jobs."""

import json
from collections.abc import Collection
from datetime import date, datetime
from decimal import Decimal
from typing import Any, cast

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.store.day_records import ChangeOrder, ChangeState, SpokenChange
from app.store.models import CancellationRow, ChangeOrderRow, JobRow, RevisionRow, SignOffRow


def next_number(session: Session, job_id: int) -> int:
    """Give the next number of a job's change orders; writers queue on the job's row."""
    session.execute(select(JobRow.id).where(JobRow.id == job_id).with_for_update(of=JobRow))
    query = select(func.max(ChangeOrderRow.number)).where(ChangeOrderRow.job_id == job_id)
    return (session.scalar(query) or 0) + 1


def add_change_order(session: Session, new: ChangeOrder, pdf: bytes | None) -> int:
    """Add a change order and give its id (the one in `new` is not looked at)."""
    row = ChangeOrderRow(
        job_id=new.job_id,
        number=new.number,
        title=new.title,
        reason=new.reason,
        state=new.state,
        is_verbal=new.is_verbal,
        said_by=new.said_by,
        said_on=new.said_on,
        price_change=new.price_change,
        days_change=new.days_change,
        currency=new.currency,
        document=json.dumps(new.document, ensure_ascii=False, sort_keys=True),
        fingerprint=new.fingerprint,
        pdf=pdf,
        made_at=new.made_at,
        made_by=new.made_by,
        settled_at=None,
        settled_name="",
        evidence="{}",
    )
    session.add(row)
    session.flush()
    return row.id


def change_orders(session: Session, job_id: int) -> tuple[ChangeOrder, ...]:
    """Give the change orders of a job by number."""
    query = select(ChangeOrderRow).where(ChangeOrderRow.job_id == job_id).order_by(ChangeOrderRow.number)
    return tuple(_card(row) for row in session.scalars(query))


def unsettled(session: Session, job_ids: Collection[int]) -> tuple[ChangeOrder, ...]:
    """Give the changes of some jobs that are spoken of or sent and not settled, oldest first."""
    query = select(ChangeOrderRow).where(ChangeOrderRow.state.in_(("verbal", "offered")))
    rows = session.scalars(query.order_by(ChangeOrderRow.made_at, ChangeOrderRow.id))
    return tuple(_card(row) for row in rows if row.job_id in job_ids)


def spoken_changes(session: Session, job_ids: Collection[int]) -> dict[int, tuple[SpokenChange, ...]]:
    """Give by job the changes with days that were agreed by word and not declined or taken back."""
    query = select(ChangeOrderRow).where(
        ChangeOrderRow.job_id.in_(job_ids),
        ChangeOrderRow.days_change != 0,
        ChangeOrderRow.is_verbal,
        ChangeOrderRow.state.in_(("verbal", "offered", "signed")),
    )
    rows = session.scalars(query.order_by(ChangeOrderRow.number)).all()
    signed = _signed_revisions(session, {row.job_id for row in rows})
    found: dict[int, tuple[SpokenChange, ...]] = {}
    for row in rows:
        document = json.loads(row.document)
        if document.get("base_revision") == signed.get(row.job_id):
            one = SpokenChange(
                row.number,
                row.title,
                row.days_change,
                document.get("phase", ""),
                row.state == "signed",
                row.made_at,
                document.get("first_number", 0),
            )
            found[row.job_id] = (*found.get(row.job_id, ()), one)
    return found


def _signed_revisions(session: Session, job_ids: Collection[int]) -> dict[int, int]:
    """Give by job the number of the newest revision that is signed and not cancelled."""
    if not job_ids:
        return {}
    query = (
        select(RevisionRow.job_id, func.max(RevisionRow.number))
        .join(SignOffRow, SignOffRow.revision_id == RevisionRow.id)
        .outerjoin(CancellationRow, CancellationRow.revision_id == RevisionRow.id)
        .where(RevisionRow.job_id.in_(job_ids), CancellationRow.id.is_(None))
        .group_by(RevisionRow.job_id)
    )
    return {int(job_id): int(number) for job_id, number in session.execute(query)}


def find(session: Session, change_id: int, *, for_change: bool = False) -> ChangeOrder | None:
    """Give one change order, or None."""
    row = session.get(ChangeOrderRow, change_id, with_for_update=for_change)
    return _card(row) if row else None


def pdf_of(session: Session, change_id: int) -> bytes | None:
    """Give the document as it was made, or None."""
    return session.scalar(select(ChangeOrderRow.pdf).where(ChangeOrderRow.id == change_id))


def settle(
    session: Session, change_id: int, state: ChangeState, name: str, evidence: dict[str, Any], now: datetime
) -> None:
    """Note how a change order was settled, by whom, and the evidence for it."""
    row = session.get_one(ChangeOrderRow, change_id)
    row.state, row.settled_name, row.settled_at = state, name, now
    row.evidence = json.dumps(evidence, ensure_ascii=False, sort_keys=True)


def _card(row: ChangeOrderRow) -> ChangeOrder:
    said_on: date | None = row.said_on
    price: Decimal = row.price_change
    return ChangeOrder(
        id=row.id,
        job_id=row.job_id,
        number=row.number,
        title=row.title,
        reason=row.reason,
        state=cast("ChangeState", row.state),
        is_verbal=row.is_verbal,
        said_by=row.said_by,
        said_on=said_on,
        price_change=price,
        days_change=row.days_change,
        currency=row.currency,
        document=json.loads(row.document),
        fingerprint=row.fingerprint,
        made_at=row.made_at,
        made_by=row.made_by,
        settled_at=row.settled_at,
        settled_name=row.settled_name,
        has_pdf=row.fingerprint != "",
    )
