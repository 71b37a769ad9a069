"""Sheet 12, Log: what happened on the roof, hold points, and what is left to put right."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.errors import Refused
from app.actions.jobs import job_sheet
from app.actions.log import (
    add_entry,
    add_punch,
    close_punch,
    entries,
    hold_points,
    hours,
    punch_list,
    sign_hold_point,
)
from app.actions.records import HoldPointSheet, LogEntry, PunchItem
from app.build.log import PhaseHours
from app.pricing.records import PHASES
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, as_day, as_decimal, draw, missing, typed
from app.web.page import go, render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Desk, Posted, text

router = APIRouter()
_PHASES = (("", "not said"), *((phase, phase) for phase in PHASES))
_ENTRY = (
    Entry("on", "Day", "date"),
    Entry("text", "What happened", "words"),
    Entry("hours", "Hours worked, all people", "number", unit="h", is_needed=False),
    Entry("people", "People on the roof", "count", is_needed=False),
    Entry("phase", "Phase", "choice", is_needed=False, options=_PHASES),
    Entry("weather", "Weather", is_needed=False),
)


@dataclass(frozen=True, slots=True)
class LogSheet:
    """The site log.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job.
    hold_points : tuple of HoldPointSheet
        In the order of the days.
    entries : tuple of LogEntry
        Newest day first.
    punch : tuple of PunchItem
        Open ones first.
    hours : tuple of PhaseHours
        Noted beside estimated.
    fields : tuple of Field
        The form for a new entry.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    job_id: int
    hold_points: tuple[HoldPointSheet, ...]
    entries: tuple[LogEntry, ...]
    punch: tuple[PunchItem, ...]
    hours: tuple[PhaseHours, ...]
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]


@router.get("/jobs/{job_id}/log")
def show_log(desk: AtDesk, job_id: int) -> Response:
    """Sheet 12."""
    return _page(desk, job_id, {"on": desk.today.isoformat()}, {})


@router.post("/jobs/{job_id}/log")
def save_entry(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Add a line to the site log; lines are never changed."""
    values = typed(_ENTRY, form)
    faults = missing(_ENTRY, values)
    on, worked_h, people = as_day(values["on"]), as_decimal(values["hours"] or "0"), values["people"] or "0"
    if values["on"] and on is None:
        faults["on"] = "Give the day as year-month-day, such as 2026-05-04"
    if worked_h is None or not 0 <= worked_h <= 500:
        faults["hours"] = "Give the hours as a number from 0 to 500"
    if not people.isdecimal() or int(people) > 50:
        faults["people"] = "Give the people as a whole number from 0 to 50"
    if values["phase"] not in dict(_PHASES):
        faults["phase"] = "Choose the phase from the list"
    if faults or on is None or worked_h is None:
        return _page(desk, job_id, values, faults)
    add_entry(
        desk.db,
        desk.staff,
        job_id,
        on,
        values["text"],
        desk.now,
        hours_h=float(worked_h),
        people=int(people),
        weather=values["weather"],
        phase=values["phase"],
    )
    return go(f"/jobs/{job_id}/log?said=added")


@router.post("/jobs/{job_id}/hold-points")
def save_hold_point(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Sign a hold point with the name of whoever released it."""
    name = text(form, "name", 120)
    if not name:
        return _page(desk, job_id, {}, {}, (Fault("Enter the name of whoever released the hold point"),))
    try:
        sign_hold_point(desk.db, desk.staff, job_id, text(form, "code"), name, text(form, "note"), desk.now)
    except Refused as refusal:
        return _page(desk, job_id, {}, {}, (Fault(refusal.reason),))
    return go(f"/jobs/{job_id}/log?said=signed")


@router.post("/jobs/{job_id}/punch")
def save_punch(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Add a thing to put right, or note that it was."""
    closed = text(form, "close")
    if closed.isdecimal() and any(str(item.id) == closed for item in punch_list(desk.db, job_id)):
        close_punch(desk.db, desk.staff, int(closed), desk.today, desk.now)
        return go(f"/jobs/{job_id}/log?said=saved")
    words = text(form, "punch_text")
    if not words:
        return _page(desk, job_id, {}, {}, (Fault("Enter what is to be put right", field_id("punch_text")),))
    due_on = as_day(text(form, "due_on"))
    place = text(form, "place", 40)
    add_punch(desk.db, desk.staff, job_id, words, place, desk.today, desk.now, due_on=due_on)
    return go(f"/jobs/{job_id}/log?said=added")


def _page(
    desk: Desk, job_id: int, values: dict[str, str], faults: dict[str, str], lines: tuple[Fault, ...] = ()
) -> Response:
    lines = lines or tuple(Fault(words, field_id(name)) for name, words in faults.items())
    sheet = LogSheet(
        frame=job_frame(desk, job_sheet(desk.db, job_id), 12, is_wrong=bool(lines)),
        job_id=job_id,
        hold_points=hold_points(desk.db, job_id, desk.today),
        entries=entries(desk.db, job_id),
        punch=punch_list(desk.db, job_id),
        hours=hours(desk.db, job_id, desk.today),
        fields=draw(_ENTRY, values, faults),
        faults=lines,
    )
    return render(desk.request, "pages/log.html", sheet, 422 if lines else 200)
