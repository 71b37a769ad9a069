"""Sheet 10, Orders: what to order from whom and by when, what was confirmed, what came, what is missing."""

from dataclasses import dataclass
from datetime import date

from fastapi import APIRouter, Response

from app.actions.day_records import Delivery, PurchaseOrder
from app.actions.errors import NotFound, Refused
from app.actions.orders import mark_ordered, order_rows, unmark_ordered
from app.actions.purchases import (
    GoodsSheet,
    PackLine,
    carry_steps,
    confirm_order,
    goods_sheet,
    note_delivery,
    order_paper,
    place_order,
)
from app.actions.records import OrderRow
from app.build.carry_up import CarryStep
from app.build.goods import Goods
from app.takeoff.totals.records import Carry, Offcut
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.forms.plain import as_day
from app.web.page import go, render
from app.web.proposal import pdf_answer
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Desk, Posted, number, text

router = APIRouter()


@dataclass(frozen=True, slots=True)
class OrdersSheet:
    """What to order.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job.
    rows : tuple of OrderRow
        Soonest first.
    suppliers : tuple of (str, tuple of Goods)
        The same by supplier, with what is ordered, there and missing.
    papers : tuple of PurchaseOrder
        Orders made, newest first.
    deliveries : tuple of Delivery
        What came.
    next_on : date
        The next working day.
    missing : tuple of Goods
        What should be there by then and is not.
    offcuts : tuple of Offcut
        Left over and worth keeping.
    carry : Carry
        What is carried up.
    steps : tuple of CarryStep
        The carrying by day and clock.
    packs : dict of str to PackLine
        Needed, bought and left over, by item.
    used_offcuts : tuple of (str, float, str)
        From the rack: profile, length, label.
    units : str
        imperial or metric.
    names : dict of str to str
        Names of the items.
    late : int
        How many should have been ordered already.
    currency : str
        Of the costs.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    job_id: int
    rows: tuple[OrderRow, ...]
    suppliers: tuple[tuple[str, tuple[Goods, ...]], ...]
    papers: tuple[PurchaseOrder, ...]
    deliveries: tuple[Delivery, ...]
    next_on: date
    missing: tuple[Goods, ...]
    offcuts: tuple[Offcut, ...]
    carry: Carry
    steps: tuple[CarryStep, ...]
    packs: dict[str, PackLine]
    used_offcuts: tuple[tuple[str, float, str], ...]
    units: str
    names: dict[str, str]
    late: int
    currency: str
    faults: tuple[Fault, ...]


@router.get("/jobs/{job_id}/orders")
def show_orders(desk: AtDesk, job_id: int) -> Response:
    """Sheet 10."""
    return _page(desk, job_id)


@router.post("/jobs/{job_id}/orders")
def save_order(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Note that an item was ordered, or take the note back."""
    item = text(form, "item")
    if text(form, "do") == "undo":
        unmark_ordered(desk.db, desk.staff, job_id, item, desk.now)
    else:
        mark_ordered(desk.db, desk.staff, job_id, item, text(form, "reference", 120), desk.now)
    return go(f"/jobs/{job_id}/orders?said=saved")


@router.post("/jobs/{job_id}/purchase-orders")
def save_purchase_order(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Order everything from a supplier that is not ordered yet."""
    try:
        place_order(desk.db, desk.staff, job_id, text(form, "supplier", 200), desk.now)
    except Refused as refusal:
        return _page(desk, job_id, (Fault(refusal.reason),))
    return go(f"/jobs/{job_id}/orders?said=ordered")


@router.post("/jobs/{job_id}/purchase-orders/confirm")
def save_confirmation(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Note for which day a supplier confirmed."""
    for_on = as_day(text(form, "for_on"))
    if for_on is None:
        words = "Give the confirmed day as year-month-day, such as 2026-05-20"
        return _page(desk, job_id, (Fault(words),))
    reference = text(form, "reference", 120)
    confirm_order(desk.db, desk.staff, number(form, "order_id"), for_on, reference, desk.now)
    return go(f"/jobs/{job_id}/orders?said=saved")


@router.post("/jobs/{job_id}/deliveries")
def save_delivery(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Note what came, whole, short or damaged."""
    packs, damaged, on = text(form, "packs", 6), text(form, "damaged", 6) or "0", as_day(text(form, "on"))
    if not packs.isdecimal() or not damaged.isdecimal() or on is None:
        words = "Give the packs that came, and how many are damaged, as whole numbers, and the day"
        return _page(desk, job_id, (Fault(words, field_id("packs")),))
    note = text(form, "note")
    came = Delivery(0, text(form, "item", 40), int(packs), int(damaged), on, note, desk.now, desk.staff.name)
    try:
        note_delivery(desk.db, desk.staff, job_id, came, desk.now, text(form, "key", 64))
    except Refused as refusal:
        return _page(desk, job_id, (Fault(refusal.reason, field_id("packs")),))
    return go(f"/jobs/{job_id}/orders?said=added")


@router.get("/jobs/{job_id}/purchase-orders/{order_id}.{kind}")
def show_purchase_order(desk: AtDesk, job_id: int, order_id: int, kind: str) -> Response:
    """The paper for the supplier: ``pdf`` or ``csv``."""
    if kind not in ("pdf", "csv"):
        raise NotFound("paper", kind)
    name, made = order_paper(desk.db, order_id, desk.today, kind)
    if kind == "pdf":
        return pdf_answer(made, name)
    head = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(made, media_type="text/csv; charset=utf-8", headers=head)


def _page(desk: Desk, job_id: int, faults: tuple[Fault, ...] = ()) -> Response:
    goods: GoodsSheet = goods_sheet(desk.db, job_id, desk.today)
    rows = order_rows(desk.db, goods.worked)
    answer = goods.worked.answer
    sheet = OrdersSheet(
        frame=job_frame(desk, goods.worked.sheet, 10, is_wrong=bool(faults)),
        job_id=job_id,
        rows=rows,
        suppliers=goods.suppliers,
        papers=goods.orders,
        deliveries=goods.deliveries,
        next_on=goods.next_on,
        missing=goods.missing,
        offcuts=tuple(cut for plan in answer.takeoff.totals.cut_plans for cut in plan.offcuts),
        carry=answer.takeoff.totals.carry,
        steps=carry_steps(desk.db, goods.worked),
        packs=goods.packs,
        used_offcuts=goods.used_offcuts,
        units=goods.worked.sheet.job.units,
        names=goods.worked.item_names | {row.item: row.name for row in rows},
        late=sum(row.is_late and row.ordered_at is None for row in rows),
        currency=goods.worked.sheet.job.currency,
        faults=faults,
    )
    return render(desk.request, "pages/orders.html", sheet, 422 if faults else 200)
