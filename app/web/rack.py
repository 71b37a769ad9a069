"""The rack: the shop's list of kept offcuts, and what a job puts in and takes out."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.errors import Refused, StaleSave
from app.actions.rack import RackOffcut, cutting_done, put_back, take, throw_out, whole_rack
from app.web.findings import Fault
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.stale import show_stale
from app.web.takeoff import takeoff_page
from app.web.visit import AtDesk, Desk, Posted, number, text

router = APIRouter()


@dataclass(frozen=True, slots=True)
class RackSheet:
    """Everything in the rack.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    offcuts : tuple of RackOffcut
        By what they are, longest first.
    faults : tuple of Fault
        Why something was not done.
    """

    frame: Frame
    offcuts: tuple[RackOffcut, ...]
    faults: tuple[Fault, ...]


@router.get("/shop/rack")
def show_rack(desk: AtDesk) -> Response:
    """The list."""
    return _page(desk)


@router.post("/shop/rack")
def save_rack(desk: AtDesk, form: Posted) -> Response:
    """Throw one out."""
    try:
        throw_out(desk.db, desk.staff, number(form, "offcut"), desk.now)
    except Refused as refusal:
        return _page(desk, (Fault(refusal.reason),))
    return go("/shop/rack?said=removed")


@router.post("/jobs/{job_id}/takeoff/rack")
def save_job_rack(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Put the leftovers in, take some out, or put one back."""
    version, verb = number(form, "version"), text(form, "do", 20)
    offcut = number(form, "offcut") if text(form, "offcut", 20) else 0
    try:
        if verb == "leftovers":
            cutting_done(desk.db, desk.staff, job_id, desk.today, desk.now)
        elif verb == "back":
            put_back(desk.db, desk.staff, job_id, version, offcut, desk.now)
        else:
            take(desk.db, desk.staff, job_id, version, (offcut,) if offcut else (), desk.now)
    except Refused as refusal:
        return takeoff_page(desk, job_id, (Fault(refusal.reason),))
    except StaleSave as stale:
        return show_stale(desk, stale, back=f"/jobs/{job_id}/takeoff")
    return go(f"/jobs/{job_id}/takeoff?said={_SAID.get(verb, 'racked')}#rack-head")


_SAID = {"leftovers": "racked", "back": "put-back"}


def _page(desk: Desk, faults: tuple[Fault, ...] = ()) -> Response:
    sheet = RackSheet(
        frame=desk_frame(desk, "Rack", at="/shop", is_wrong=bool(faults)),
        offcuts=whole_rack(desk.db),
        faults=faults,
    )
    return render(desk.request, "pages/rack.html", sheet, 422 if faults else 200)
