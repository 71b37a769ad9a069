"""What to order and by when, and what was ordered."""

from datetime import date, datetime

from app.actions.database import Database
from app.actions.errors import NotFound
from app.actions.plans import dated
from app.actions.records import OrderRow, StaffMember, WorkedOut
from app.actions.sheet import found, subject
from app.actions.takeoff import work_out
from app.schedule.records import OrderLine
from app.store import audit, jobs, prices, site
from app.store.records import OrderPlaced


def orders(db: Database, job_id: int, today: date) -> tuple[OrderRow, ...]:
    """What a job needs ordered, soonest first; what was ordered is never called late."""
    return order_rows(db, dated(db, work_out(db, job_id, today)))


def order_rows(db: Database, worked: WorkedOut) -> tuple[OrderRow, ...]:
    """The orders of a job that is worked out already."""
    with db.read() as session:
        placed = site.orders_placed(session, worked.sheet.id)
    rows = (order_row(line, placed.get(line.item)) for line in worked.answer.days.orders)
    return tuple(sorted(rows, key=lambda row: (row.order_by_on, row.item)))


def order_row(line: OrderLine, order: OrderPlaced | None) -> OrderRow:
    """One line of the orders of a job, with the order that was placed for it."""
    return OrderRow(
        item=line.item,
        name=line.name,
        supplier=line.supplier,
        packs=line.packs,
        unit=line.unit,
        cost=line.cost,
        needed_on=line.needed_on,
        order_by_on=line.order_by_on,
        lead_days=line.lead_days,
        is_late=line.is_late and order is None,
        ordered_at=order.at if order else None,
        ordered_by=order.by if order else "",
        reference=order.reference if order else "",
    )


def mark_ordered(
    db: Database, staff: StaffMember, job_id: int, item: str, reference: str, now: datetime
) -> None:
    """Note that an item was ordered; NotFound when the price list has no such item."""
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        if prices.find_item(session, item) is None:
            raise NotFound("price-list item", item)
        site.place_order(session, job_id, item, reference.strip()[:120], staff.name, now)
        what = f"ordered {item}" + (f", {reference.strip()}" if reference.strip() else "")
        audit.note(session, now, staff.name, what, subject(job_id))


def unmark_ordered(db: Database, staff: StaffMember, job_id: int, item: str, now: datetime) -> None:
    """Take the note back; nothing happens when there was none."""
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        if item in site.orders_placed(session, job_id):
            site.take_back_order(session, job_id, item)
            audit.note(session, now, staff.name, f"took back the order of {item}", subject(job_id))
