"""Orders to suppliers and what comes: purchase orders, confirmations, deliveries, what is missing."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.plans import dated
from app.actions.records import StaffMember, WorkedOut
from app.actions.sheet import found, subject
from app.actions.takeoff import firm_of, work_out
from app.build.carry_up import CarryStep, carry_up, left_over
from app.build.goods import Goods, goods_of, missing_for
from app.documents.purchase_order import PurchaseOrderInputs, purchase_order_csv, purchase_order_pdf
from app.pricing.money import to_cents
from app.schedule.calendars import add_working_days
from app.store import audit, deliveries, jobs, plans, site
from app.store.day_records import Delivery, OrderedLine, PurchaseOrder

_MOST_PACKS = 100_000


@dataclass(frozen=True, slots=True)
class PackLine:
    """How much of an item is needed, how much its whole packs hold, and what stays over."""

    needed: float
    bought: float
    over: float


@dataclass(frozen=True, slots=True)
class GoodsSheet:
    """The goods of a job: by supplier, as they stand, and what is missing for the next day."""

    worked: WorkedOut
    goods: tuple[Goods, ...]
    orders: tuple[PurchaseOrder, ...]
    deliveries: tuple[Delivery, ...]
    next_on: date
    missing: tuple[Goods, ...]

    @property
    def packs(self) -> dict[str, PackLine]:
        """Needed with waste, bought in whole packs, and left over, by item."""
        sizes = {item.item: float(item.pack) for item in self.worked.prices.items}
        needed: dict[str, float] = {}
        for line in self.worked.answer.estimate.lines:
            if line.kind == "material" and line.packs:
                needed[line.item] = needed.get(line.item, 0.0) + float(line.with_waste)
        bought = {
            one.line.item: one.line.packs * sizes[one.line.item]
            for one in self.goods
            if one.line.item in sizes
        }
        over = left_over(needed, bought)
        return {item: PackLine(needed.get(item, 0.0), bought[item], over[item]) for item in bought}

    @property
    def used_offcuts(self) -> tuple[tuple[str, float, str], ...]:
        """Offcuts from the rack that the cutting uses: profile, length and label."""
        return tuple(
            (plan.profile, stick.stock_mm, stick.offcut)
            for plan in self.worked.answer.takeoff.totals.cut_plans
            for stick in plan.sticks
            if stick.offcut
        )

    @property
    def suppliers(self) -> tuple[tuple[str, tuple[Goods, ...]], ...]:
        """Goods by supplier, each in the order of the day they are needed."""
        rows: dict[str, list[Goods]] = {}
        for one in sorted(self.goods, key=lambda one: (one.line.needed_on, one.line.item)):
            rows.setdefault(one.line.supplier, []).append(one)
        return tuple((supplier, tuple(found)) for supplier, found in sorted(rows.items()))


def goods_sheet(db: Database, job_id: int, today: date) -> GoodsSheet:
    """The goods of a job as they stand."""
    return goods_sheet_of(db, dated(db, work_out(db, job_id, today)))


def goods_sheet_of(db: Database, worked: WorkedOut) -> GoodsSheet:
    """The goods of a job that is worked out and dated already."""
    with db.read() as session:
        orders = deliveries.orders_of(session, worked.sheet.id)
        came = deliveries.deliveries(session, worked.sheet.id)
        placed = site.orders_placed(session, worked.sheet.id)
    lines = worked.answer.days.orders
    ordered = {line.item: line.packs for line in lines if line.item in placed}
    by_paper: dict[str, int] = {}
    for order in orders:
        for paper in order.lines:
            by_paper[paper.item] = by_paper.get(paper.item, 0) + paper.packs
    goods = goods_of(lines, ordered | by_paper, [(one.item, one.packs, one.damaged) for one in came])
    next_on = add_working_days(worked.calendar, worked.today, 1)
    return GoodsSheet(worked, goods, orders, came, next_on, missing_for(goods, next_on))


def carry_steps(db: Database, worked: WorkedOut) -> tuple[CarryStep, ...]:
    """The carry-up of a job that is worked out and dated already, by day and clock."""
    with db.read() as session:
        site_rules = plans.promise(session, worked.sheet.id).site
    plan = worked.answer.days
    codes = {planned.task.code for planned in plan.tasks if planned.task.phase == "carry-up"}
    days = []
    for entry in plan.days:
        hours = sum(h for code, h in zip(entry.tasks, entry.hours_h, strict=True) if code in codes)
        if hours > 0:
            days.append((entry.on, hours))
    return carry_up(worked.answer.takeoff.totals.carry, days, worked.crew.people, site_rules.opens_h)


def place_order(db: Database, staff: StaffMember, job_id: int, supplier: str, now: datetime) -> PurchaseOrder:
    """Order everything from a supplier that is not ordered yet; Refused when there is nothing."""
    sheet = goods_sheet(db, job_id, now.astimezone().date())
    wanted = [one for one in sheet.goods if one.line.supplier == supplier and one.to_order]
    if not wanted:
        raise Refused(f"Everything from {supplier} is ordered already.")
    lines = tuple(
        OrderedLine(
            one.line.item,
            one.line.name,
            one.to_order,
            one.line.unit,
            f"{to_cents(Decimal(one.line.cost) * one.to_order / one.line.packs):.2f}",
        )
        for one in wanted
    )
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        if {one.id for one in deliveries.orders_of(session, job_id)} != {one.id for one in sheet.orders}:
            raise Refused("Somebody ordered meanwhile; look at what is left to order.")
        needed_on = min(one.line.needed_on for one in wanted)
        order_id = deliveries.add_order(session, job_id, supplier, lines, needed_on, staff.name, now)
        order = deliveries.find_order(session, order_id)
        assert order is not None
        for line in lines:
            site.place_order(session, job_id, line.item, order.number, staff.name, now)
        what = f"ordered {len(lines)} items from {supplier}, {order.number}"
        audit.note(session, now, staff.name, what, subject(job_id))
    return order


def confirm_order(
    db: Database, staff: StaffMember, order_id: int, for_on: date, reference: str, now: datetime
) -> None:
    """Note for which day the supplier confirmed; the plan proposed from now on waits for it."""
    with db.write() as session:
        order = deliveries.find_order(session, order_id)
        if order is None:
            raise NotFound("purchase order", order_id)
        deliveries.confirm(session, order_id, for_on, reference.strip()[:120], now)
        what = f"{order.supplier} confirmed {order.number} for {for_on.isoformat()}"
        audit.note(session, now, staff.name, what, subject(order.job_id))


def note_delivery(
    db: Database, staff: StaffMember, job_id: int, new: Delivery, now: datetime, device_key: str = ""
) -> int:
    """Note what came; Refused when it cannot be. The same key is noted once."""
    if not 0 <= new.damaged <= new.packs or not 0 < new.packs <= _MOST_PACKS:
        raise Refused(f"{new.packs} packs with {new.damaged} damaged cannot have come.")
    known = {line.item for line in work_out(db, job_id, now.astimezone().date()).answer.days.orders}
    if new.item not in known:
        raise NotFound("item of this job", new.item)
    with db.write() as session:
        found(jobs.find_job(session, job_id, for_change=True), job_id)
        many = len(deliveries.deliveries(session, job_id))
        delivery_id = deliveries.add_delivery(session, job_id, new, device_key[:64] or None)
        if len(deliveries.deliveries(session, job_id)) > many:
            said = f", {new.damaged} damaged" if new.damaged else ""
            what = f"{new.packs} packs of {new.item} came{said}"
            audit.note(session, now, staff.name, what, subject(job_id))
    return delivery_id


def order_paper(db: Database, order_id: int, today: date, kind: str) -> tuple[str, bytes]:
    """The name and bytes of a purchase order as ``pdf`` or ``csv``; NotFound."""
    with db.read() as session:
        order = deliveries.find_order(session, order_id)
        if order is None:
            raise NotFound("purchase order", order_id)
        job = found(jobs.find_job(session, order.job_id), order.job_id)
        notes = plans.promise(session, order.job_id).access_notes
    firm = firm_of(db)
    inputs = PurchaseOrderInputs(
        firm=firm.firm,
        job_number=job.number,
        job_title=job.title,
        site_address=job.client.address,
        number=order.number,
        supplier=order.supplier,
        lines=tuple((one.item, one.name, one.packs, one.unit, one.cost) for one in order.lines),
        needed_on=order.needed_on,
        ordered_on=order.made_at.astimezone().date(),
        access_notes=notes,
        currency=firm.rules.currency,
    )
    made = purchase_order_csv(inputs) if kind == "csv" else purchase_order_pdf(inputs)
    return f"{order.number}.{kind}", made
