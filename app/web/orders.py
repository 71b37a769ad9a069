"""Sheet 10, Orders: what to order, by when, and what was ordered."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.jobs import job_sheet
from app.actions.orders import mark_ordered, orders, unmark_ordered
from app.actions.records import OrderRow
from app.web.page import go, render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Posted, text

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
    late : int
        How many should have been ordered already.
    currency : str
        Of the costs.
    """

    frame: Frame
    job_id: int
    rows: tuple[OrderRow, ...]
    late: int
    currency: str


@router.get("/jobs/{job_id}/orders")
def show_orders(desk: AtDesk, job_id: int) -> Response:
    """Sheet 10."""
    job = job_sheet(desk.db, job_id)
    rows = orders(desk.db, job_id, desk.today)
    sheet = OrdersSheet(
        frame=job_frame(desk, job, 10),
        job_id=job_id,
        rows=rows,
        late=sum(row.is_late and row.ordered_at is None for row in rows),
        currency=job.job.currency,
    )
    return render(desk.request, "pages/orders.html", sheet)


@router.post("/jobs/{job_id}/orders")
def save_order(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Note that an item was ordered, or take the note back."""
    item = text(form, "item")
    if text(form, "do") == "undo":
        unmark_ordered(desk.db, desk.staff, job_id, item, desk.now)
    else:
        mark_ordered(desk.db, desk.staff, job_id, item, text(form, "reference", 120), desk.now)
    return go(f"/jobs/{job_id}/orders?said=saved")
