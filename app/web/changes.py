"""Sheet 11, Changes: the signed revision against the job as it stands now."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.change_orders import (
    ChangesView,
    change_order_paper,
    changes_view,
    make_change_order,
    note_verbal_change,
    send_verbal_change,
    take_back,
)
from app.actions.errors import Refused
from app.actions.jobs import job_sheet
from app.actions.records import AuditEntry, Difference
from app.pricing.records import PHASES
from app.takeoff.totals.bases import BASES
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.forms.plain import as_day, as_decimal
from app.web.page import go, render
from app.web.proposal import pdf_answer
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Desk, Posted, number, text

router = APIRouter()


@dataclass(frozen=True, slots=True)
class ChangesSheet:
    """Signed and now.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job.
    units : str
        imperial or metric.
    view : ChangesView or None
        Change orders and the running contract sum; None when nothing was signed.
    difference : Difference or None
        In money, days and quantities; None when nothing was signed.
    why_not : str
        Why there is nothing to compare.
    basis_words : dict of str to str
        What each basis measures.
    phases : tuple of str
        Parts of the work that a change agreed by word may lengthen.
    history : tuple of AuditEntry
        Who changed what.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    job_id: int
    units: str
    view: ChangesView | None
    difference: Difference | None
    why_not: str
    basis_words: dict[str, str]
    phases: tuple[str, ...]
    history: tuple[AuditEntry, ...]
    faults: tuple[Fault, ...]


@router.get("/jobs/{job_id}/changes")
def show_changes(desk: AtDesk, job_id: int) -> Response:
    """Sheet 11."""
    return _page(desk, job_id)


@router.post("/jobs/{job_id}/changes")
def save_change(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Make a change order, note a verbal change, make it to sign, or take one back."""
    wish = text(form, "do")
    try:
        if wish == "make":
            title, reason = text(form, "title", 200), text(form, "reason", 2000)
            make_change_order(desk.db, desk.staff, job_id, title, reason, desk.now)
        elif wish == "send":
            send_verbal_change(desk.db, desk.staff, number(form, "change"), desk.now)
        elif wish == "back":
            take_back(desk.db, desk.staff, number(form, "change"), desk.now)
        else:
            _note_verbal(desk, form, job_id)
    except Refused as refusal:
        return _page(desk, job_id, (Fault(refusal.reason, field_id("title")),))
    return go(f"/jobs/{job_id}/changes?said={'changed' if wish in ('make', 'send') else 'saved'}")


@router.get("/jobs/{job_id}/changes/{change_id}.pdf")
def show_change_order(desk: AtDesk, job_id: int, change_id: int) -> Response:
    """The document of a change order."""
    name, made = change_order_paper(desk.db, change_id)
    return pdf_answer(made, name)


def _note_verbal(desk: Desk, form: Posted, job_id: int) -> None:
    """Note what was agreed by word; Refused when it cannot be read."""
    said_on, price = as_day(text(form, "said_on")), as_decimal(text(form, "price", 20) or "0")
    days = text(form, "days", 4).replace("\u2212", "-") or "0"
    if said_on is None or price is None or not days.lstrip("+-").isdecimal():
        raise Refused("Give the day it was said, the price as a number and the days as a whole number.")
    words = (text(form, "title", 200), text(form, "reason", 2000))
    said = (text(form, "said_by", 200), said_on)
    phase = text(form, "phase", 40)
    note_verbal_change(desk.db, desk.staff, job_id, words, said, (price, int(days)), desk.now, phase)


def _page(desk: Desk, job_id: int, faults: tuple[Fault, ...] = ()) -> Response:
    job = job_sheet(desk.db, job_id)
    view: ChangesView | None = None
    why_not = ""
    try:
        view = changes_view(desk.db, job_id, desk.today)
    except Refused as refusal:
        why_not = refusal.reason
    sheet = ChangesSheet(
        frame=job_frame(desk, job, 11, is_wrong=bool(faults)),
        job_id=job_id,
        units=job.job.units,
        view=view,
        difference=view.difference if view else None,
        why_not=why_not,
        basis_words={basis.code: basis.text for basis in BASES},
        phases=PHASES,
        history=job.history,
        faults=faults,
    )
    return render(desk.request, "pages/changes.html", sheet, 422 if faults else 200)
