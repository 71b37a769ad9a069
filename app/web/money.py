"""Money on the way: what falls due, invoices, what came in, labour against plan."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.costs import BILLED, note_cost
from app.actions.errors import Refused
from app.actions.invoices import MoneyView, invoice_paper, make_invoice, money_view, note_receipt
from app.actions.jobs import job_sheet
from app.pricing.records import PHASES
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.forms.plain import as_day, as_decimal
from app.web.page import go, render
from app.web.proposal import pdf_answer
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Desk, Posted, number, text

router = APIRouter()


@dataclass(frozen=True, slots=True)
class MoneySheet:
    """Money on the way.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job.
    money : MoneyView or None
        None when nothing was signed.
    why_not : str
        Why there is none.
    kinds, phases : tuple of str
        What a bill can be for.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    job_id: int
    money: MoneyView | None
    why_not: str
    kinds: tuple[str, ...]
    phases: tuple[str, ...]
    faults: tuple[Fault, ...]


@router.get("/jobs/{job_id}/money")
def show_money(desk: AtDesk, job_id: int) -> Response:
    """Money on the way of a job."""
    return _page(desk, job_id)


@router.post("/jobs/{job_id}/invoices")
def save_invoice(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Make the invoice of a stage that is due."""
    try:
        make_invoice(desk.db, desk.staff, job_id, text(form, "stage", 60), desk.now)
    except Refused as refusal:
        return _page(desk, job_id, (Fault(refusal.reason),))
    return go(f"/jobs/{job_id}/money?said=invoiced")


@router.post("/jobs/{job_id}/receipts")
def save_receipt(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Note money that came in."""
    on, amount = as_day(text(form, "on")), as_decimal(text(form, "amount", 20))
    if on is None or amount is None:
        words = "Give the day as year-month-day and the sum as a number"
        return _page(desk, job_id, (Fault(words, field_id("amount")),))
    try:
        invoice = number(form, "invoice")
        note_receipt(desk.db, desk.staff, job_id, invoice, on, amount, text(form, "note"), desk.now)
    except Refused as refusal:
        return _page(desk, job_id, (Fault(refusal.reason, field_id("amount")),))
    return go(f"/jobs/{job_id}/money?said=saved")


@router.post("/jobs/{job_id}/costs")
def save_cost(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Note a bill that came."""
    on, amount = as_day(text(form, "on")), as_decimal(text(form, "amount", 20))
    if on is None or amount is None:
        words = "Give the day of the bill as year-month-day and the sum as a number"
        return _page(desk, job_id, (Fault(words, field_id("cost")),))
    what = (text(form, "kind", 20), text(form, "phase", 20), text(form, "who", 200))
    try:
        note_cost(desk.db, desk.staff, job_id, what, amount, on, text(form, "note"), desk.now)
    except Refused as refusal:
        return _page(desk, job_id, (Fault(refusal.reason, field_id("cost")),))
    return go(f"/jobs/{job_id}/money?said=added")


@router.get("/jobs/{job_id}/invoices/{invoice_id}.pdf")
def show_invoice(desk: AtDesk, job_id: int, invoice_id: int) -> Response:
    """One invoice, exactly as it was made."""
    name, made = invoice_paper(desk.db, job_id, invoice_id)
    return pdf_answer(made, name)


def _page(desk: Desk, job_id: int, faults: tuple[Fault, ...] = ()) -> Response:
    money: MoneyView | None = None
    why_not = ""
    try:
        money = money_view(desk.db, job_id, desk.today)
    except Refused as refusal:
        why_not = refusal.reason
    sheet = MoneySheet(
        frame=job_frame(desk, job_sheet(desk.db, job_id), 11, title="Money", is_wrong=bool(faults)),
        job_id=job_id,
        money=money,
        why_not=why_not,
        kinds=BILLED,
        phases=PHASES,
        faults=faults,
    )
    return render(desk.request, "pages/money.html", sheet, 422 if faults else 200)
