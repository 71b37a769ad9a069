"""One task of a job set by hand, typed or moved along the days: looked at, set, accepted, let be."""

from dataclasses import dataclass

from fastapi import APIRouter, Response
from fastapi.responses import PlainTextResponse

from app.actions.by_hand import edit_task, let_task_be
from app.actions.errors import Refused
from app.actions.moves import MoveLook, look_at_move, moved_to, set_and_accept
from app.actions.records import WorkedOut
from app.actions.takeoff import work_out
from app.schedule.task_edits import TaskEdit
from app.web.days import days_page
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.forms.plain import as_day
from app.web.page import go, render
from app.web.visit import AtDesk, Desk, Posted, text

router = APIRouter()


@dataclass(frozen=True, slots=True)
class LookPart:
    """What a move would push, as a part of the page.

    Attributes
    ----------
    job_id : int
        The job.
    look : MoveLook
        What would follow.
    """

    job_id: int
    look: MoveLook


@router.post("/jobs/{job_id}/tasks")
def save_task(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Set one task by hand, look first what it would push, or let it be again."""
    do = text(form, "do")
    if do == "undo":
        let_task_be(desk.db, desk.staff, job_id, text(form, "code", 80), desk.now)
        return go(f"/jobs/{job_id}/days?said=saved")
    worked = work_out(desk.db, job_id, desk.today)
    try:
        edit = _edit(desk, form, job_id)
        if do.startswith("look"):
            return _look(desk, worked, edit)
        if do == "accept":
            set_and_accept(desk.db, desk.staff, worked, edit, text(form, "seen", 64), desk.now)
        else:
            edit_task(desk.db, desk.staff, job_id, edit, desk.now)
    except Refused as refusal:
        if _is_part(desk):
            return PlainTextResponse(refusal.reason, 422)
        return days_page(desk, worked, (Fault(refusal.reason, field_id("reason")),))
    return go(f"/jobs/{job_id}/days?said={'accepted' if do == 'accept' else 'saved'}")


def _look(desk: Desk, worked: WorkedOut, edit: TaskEdit) -> Response:
    """What an edit would push: the part alone where the page asks for it, else the whole sheet."""
    look = look_at_move(desk.db, worked, edit)
    if _is_part(desk):
        return render(desk.request, "parts/task_look.html", LookPart(worked.sheet.id, look))
    return days_page(desk, worked, look=look)


def _is_part(desk: Desk) -> bool:
    return "hx-request" in desk.request.headers


def _edit(desk: Desk, form: Posted, job_id: int) -> TaskEdit:
    """What was set by hand, as typed or as moved on the days; Refused."""
    code, on = text(form, "code", 80), as_day(text(form, "move_to"))
    is_fixed = text(form, "do") == "look fixed"
    if on is not None:
        return moved_to(desk.db, job_id, code, on, is_promised=is_fixed)
    days, lag, overlap = (text(form, name, 4) for name in ("days", "lag_days", "overlap_days"))
    fault = next((word for word in (days, lag, overlap) if word and not word.isdecimal()), "")
    if fault:
        raise Refused(f"“{fault}” is not a whole number of days")
    not_before, fixed = as_day(text(form, "not_before_on")), as_day(text(form, "fixed_on"))
    if is_fixed:
        not_before, fixed = None, fixed or not_before
    elif text(form, "do") == "look not before":
        not_before, fixed = not_before or fixed, None
    return TaskEdit(
        code,
        text(form, "reason"),
        days=int(days) if days else None,
        not_before_on=not_before,
        fixed_on=fixed,
        after=text(form, "after", 80),
        lag_days=int(lag or 0),
        overlap_code=text(form, "overlap_code", 80),
        overlap_days=int(overlap or 0),
        end_by_on=as_day(text(form, "end_by_on")),
    )
