"""The day sheet: one page for the crew's phone, and the same on paper."""

from dataclasses import dataclass
from datetime import date

from fastapi import APIRouter, Response
from markupsafe import Markup

from app.actions.day_sheet import day_sheet, day_sheet_paper
from app.actions.jobs import job_sheet
from app.actions.plans import dated
from app.actions.takeoff import work_out
from app.documents.day_sheet import DaySheetInputs, cut_groups
from app.schedule.records import DayEntry
from app.web.drawings import on_page
from app.web.forms.plain import as_day
from app.web.page import render
from app.web.proposal import pdf_answer
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Desk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class DaySheet:
    """One day of one job.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job.
    day : DaySheetInputs
        All that the day holds.
    drawings : tuple of (str, Markup, Markup)
        The parts of the drawings it is worked from: words, drawing, key plan.
    cuts : tuple of (str, tuple of str)
        By profile, how each stick is cut.
    before, after : date or None
        The neighbouring days with work.
    """

    frame: Frame
    job_id: int
    day: DaySheetInputs
    drawings: tuple[tuple[str, Markup, Markup], ...]
    cuts: tuple[tuple[str, tuple[str, ...]], ...]
    before: date | None
    after: date | None


@router.get("/jobs/{job_id}/day-sheet")
def show_day_sheet(desk: AtDesk, job_id: int) -> Response:
    """The day asked for, else today or the next day with work."""
    worked = [entry.on for entry in _days(desk, job_id) if entry.tasks]
    asked = as_day(desk.request.query_params.get("on", ""))
    on = asked or next((day for day in worked if day >= desk.today), worked[-1] if worked else desk.today)
    day = day_sheet(desk.db, job_id, on, desk.today)
    title = f"Day sheet, {on.isoformat()}"
    sheet = DaySheet(
        frame=job_frame(desk, job_sheet(desk.db, job_id), 9, title=title),
        job_id=job_id,
        day=day,
        drawings=tuple(
            (f"{one.name}, {one.legend}", on_page(one.svg, f"day{at}"), on_page(one.key, f"key{at}"))
            for at, one in enumerate(day.cut_outs)
        ),
        cuts=cut_groups(day.cuts, day.system),
        before=max((other for other in worked if other < on), default=None),
        after=min((other for other in worked if other > on), default=None),
    )
    return render(desk.request, "pages/day_sheet.html", sheet)


@router.get("/jobs/{job_id}/day-sheet/{on}.pdf")
def show_day_sheet_pdf(desk: AtDesk, job_id: int, on: date) -> Response:
    """The same on paper."""
    name, made = day_sheet_paper(desk.db, job_id, on, desk.today)
    return pdf_answer(made, name)


def _days(desk: Desk, job_id: int) -> tuple[DayEntry, ...]:
    return dated(desk.db, work_out(desk.db, job_id, desk.today)).answer.days.days
