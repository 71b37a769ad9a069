"""Notes from the roof: a page for the phone that keeps what is noted until the connection is back."""

import base64
import binascii
import secrets
from dataclasses import dataclass
from datetime import date
from typing import Any

from fastapi import APIRouter, Body, Response
from fastapi.responses import JSONResponse
from starlette.datastructures import UploadFile

from app.actions.day_records import PhotoCard
from app.actions.errors import Refused
from app.actions.jobs import job_sheet
from app.actions.log import entries
from app.actions.plans import dated
from app.actions.records import LogEntry
from app.actions.site_notes import SiteNote, add_note, photo_cards, picture_of, refuse_hold_point
from app.actions.takeoff import work_out
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.forms.plain import as_day, as_decimal
from app.web.page import go, render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Desk, Posted, text

router = APIRouter()
KINDS = (
    ("hours", "hours"),
    ("progress", "how far a task is"),
    ("note", "what happened"),
    ("weather", "weather"),
    ("visitor", "a visitor"),
    ("delivery", "a delivery"),
    ("mishap", "a mishap"),
)


@dataclass(frozen=True, slots=True)
class SiteNotesSheet:
    """Notes from the roof.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job.
    kinds : tuple of (str, str)
        What can be noted.
    tasks : tuple of (str, str)
        Tasks it can be about.
    today : str
        For the day's field.
    key : str
        Of a note that is sent without script; a new one for every page.
    latest : tuple of LogEntry
        What was noted last.
    photos : tuple of PhotoCard
        Oldest first.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    job_id: int
    kinds: tuple[tuple[str, str], ...]
    tasks: tuple[tuple[str, str], ...]
    today: str
    key: str
    latest: tuple[LogEntry, ...]
    photos: tuple[PhotoCard, ...]
    faults: tuple[Fault, ...]


@router.get("/jobs/{job_id}/notes")
def show_notes(desk: AtDesk, job_id: int) -> Response:
    """The page for the phone."""
    return _page(desk, job_id)


@router.post("/jobs/{job_id}/notes")
def save_note(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Keep a note that was sent without script."""
    sent = form.get("picture")
    picture = sent.file.read() if isinstance(sent, UploadFile) and sent.size else None
    hours, done, on = text(form, "hours", 8), text(form, "done_pct", 4), as_day(text(form, "on"))
    worked_h = as_decimal(hours or "0")
    if on is None or worked_h is None or (done and not done.isdecimal()):
        words = "Give the day as year-month-day, the hours as a number and the share as a whole number"
        return _page(desk, job_id, (Fault(words, field_id("on")),))
    note = SiteNote(
        key=text(form, "key", 60),
        kind=text(form, "kind", 20),
        on=on,
        text=text(form, "text", 4000),
        hours_h=float(worked_h),
        person=text(form, "person", 120),
        task_code=text(form, "task", 80),
        done_pct=int(done) if done else None,
        picture=picture,
        is_before_cover=text(form, "before_cover") == "yes",
    )
    try:
        add_note(desk.db, desk.staff, job_id, note, desk.now)
    except Refused as refusal:
        return _page(desk, job_id, (Fault(refusal.reason, field_id("text")),))
    return go(f"/jobs/{job_id}/notes?said=added")


@router.post("/api/jobs/{job_id}/notes")
def save_note_json(desk: AtDesk, job_id: int, body: dict[str, Any] = Body()) -> Response:  # noqa: B008
    """Keep a note from a device; the same key again answers the same and keeps nothing twice."""
    key = str(body.get("key") or "")[:60]
    return JSONResponse({"key": key, "id": add_note(desk.db, desk.staff, job_id, _note(body, key), desk.now)})


@router.get("/jobs/{job_id}/photos/{photo_id}.jpg")
def show_photo(desk: AtDesk, job_id: int, photo_id: int) -> Response:
    """One photo."""
    return Response(picture_of(desk.db, job_id, photo_id), media_type="image/jpeg")


@router.post("/jobs/{job_id}/hold-points/refuse")
def save_refusal(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Note that an inspector said no, and plan the next visit."""
    again_on = as_day(text(form, "again_on"))
    if again_on is None:
        return _page(desk, job_id, (Fault("Give the first day of the next visit as year-month-day"),))
    hold = (text(form, "code", 80), text(form, "name", 120))
    try:
        refuse_hold_point(desk.db, desk.staff, job_id, hold, text(form, "why"), again_on, desk.now)
    except Refused as refusal:
        return _page(desk, job_id, (Fault(refusal.reason),))
    return go(f"/jobs/{job_id}/log?said=refused")


def _note(body: dict[str, Any], key: str) -> SiteNote:
    """A note as a device sends it; Refused with what would do."""

    def words(name: str, most: int) -> str:
        return str(body.get(name) or "").strip()[:most]

    on, hours, done = as_day(words("on", 10)), as_decimal(words("hours", 8) or "0"), words("done_pct", 4)
    if on is None:
        raise Refused("Give the day as year-month-day, such as 2026-05-14.")
    if hours is None:
        raise Refused("Give the hours as a number.")
    if done and not done.isdecimal():
        raise Refused("Give how far the task is as a whole number.")
    picture = None
    if body.get("picture"):
        try:
            picture = base64.b64decode(str(body["picture"]), validate=True)
        except (binascii.Error, ValueError) as fault:
            raise Refused("The photo did not arrive whole; send it again.") from fault
    return SiteNote(
        key,
        words("kind", 20) or "note",
        on,
        words("text", 4000),
        float(hours),
        words("person", 120),
        words("task", 80),
        int(done) if done else None,
        picture,
        bool(body.get("before_cover")),
    )


def _page(desk: Desk, job_id: int, faults: tuple[Fault, ...] = ()) -> Response:
    plan = dated(desk.db, work_out(desk.db, job_id, desk.today)).answer.days
    today: date = desk.today
    sheet = SiteNotesSheet(
        frame=job_frame(
            desk, job_sheet(desk.db, job_id), 12, title="Notes from the roof", is_wrong=bool(faults)
        ),
        job_id=job_id,
        kinds=KINDS,
        tasks=tuple((planned.task.code, planned.task.name) for planned in plan.tasks),
        today=today.isoformat(),
        key=secrets.token_urlsafe(12),
        latest=entries(desk.db, job_id)[:12],
        photos=photo_cards(desk.db, job_id),
        faults=faults,
    )
    return render(desk.request, "pages/site_notes.html", sheet, 422 if faults else 200)
