"""Purchase orders and what came for them."""

from datetime import date, datetime

from pydantic import TypeAdapter
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.store.day_records import Delivery, OrderedLine, PurchaseOrder
from app.store.models import DeliveryRow, PurchaseOrderRow, ShopRow

_LINES = TypeAdapter(tuple[OrderedLine, ...])


def add_order(
    session: Session,
    job_id: int,
    supplier: str,
    lines: tuple[OrderedLine, ...],
    needed_on: date,
    who: str,
    now: datetime,
) -> int:
    """Add a purchase order with the next number and give its id."""
    # Two writers must not take the same number: they queue on the shop's row.
    session.execute(select(ShopRow.id).with_for_update())
    last = session.scalar(select(func.max(PurchaseOrderRow.sequence))) or 0
    row = PurchaseOrderRow(
        sequence=last + 1,
        job_id=job_id,
        supplier=supplier,
        lines=_LINES.dump_json(lines).decode(),
        needed_on=needed_on,
        made_at=now,
        made_by=who,
        confirmed_for_on=None,
        confirmed_at=None,
        reference="",
    )
    session.add(row)
    session.flush()
    return row.id


def orders_of(session: Session, job_id: int) -> tuple[PurchaseOrder, ...]:
    """Give the purchase orders of a job, newest first."""
    query = select(PurchaseOrderRow).where(PurchaseOrderRow.job_id == job_id)
    return tuple(_order(row) for row in session.scalars(query.order_by(PurchaseOrderRow.id.desc())))


def find_order(session: Session, order_id: int) -> PurchaseOrder | None:
    """Give one purchase order, or None."""
    row = session.get(PurchaseOrderRow, order_id)
    return _order(row) if row else None


def confirm(session: Session, order_id: int, for_on: date, reference: str, now: datetime) -> None:
    """Note for which day the supplier confirmed."""
    row = session.get_one(PurchaseOrderRow, order_id)
    row.confirmed_for_on, row.confirmed_at, row.reference = for_on, now, reference


def add_delivery(session: Session, job_id: int, new: Delivery, device_key: str | None) -> int:
    """Add what came and give its id; what a device sent before is not added again."""
    if device_key:
        known = session.scalar(select(DeliveryRow.id).where(DeliveryRow.device_key == device_key))
        if known is not None:
            return known
    row = DeliveryRow(
        job_id=job_id,
        device_key=device_key,
        item=new.item,
        packs=new.packs,
        damaged=new.damaged,
        day=new.on,
        note=new.note,
        at=new.at,
        who=new.who,
    )
    session.add(row)
    session.flush()
    return row.id


def deliveries(session: Session, job_id: int) -> tuple[Delivery, ...]:
    """Give what came for a job, in the order it was noted."""
    query = select(DeliveryRow).where(DeliveryRow.job_id == job_id).order_by(DeliveryRow.id)
    return tuple(
        Delivery(row.id, row.item, row.packs, row.damaged, row.day, row.note, row.at, row.who)
        for row in session.scalars(query)
    )


def _order(row: PurchaseOrderRow) -> PurchaseOrder:
    return PurchaseOrder(
        id=row.id,
        number=f"{row.made_at.year}-P{row.sequence:04d}",
        job_id=row.job_id,
        supplier=row.supplier,
        lines=_LINES.validate_json(row.lines),
        needed_on=row.needed_on,
        made_at=row.made_at,
        made_by=row.made_by,
        confirmed_for_on=row.confirmed_for_on,
        confirmed_at=row.confirmed_at,
        reference=row.reference,
    )
