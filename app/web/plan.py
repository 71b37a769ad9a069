"""Sheet 2, Plan: what is drawn on the roof, and of what it is built."""

from dataclasses import dataclass

from fastapi import APIRouter, Response
from markupsafe import Markup

from app.actions.takeoff import work_out
from app.job.findings import Finding
from app.takeoff.layout.records import FieldLayout
from app.web import drawings
from app.web.findings import count_words, of_rooms
from app.web.page import render
from app.web.parts import CHOICES, PLAN, Drawing, read_parts
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class PlanSheet:
    """What is drawn.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    svg : Markup
        The plan with every piece.
    units : str
        imperial or metric.
    fields : tuple of FieldLayout
        How each deck field is boarded.
    findings : tuple of Finding
        Of the layout and the framing.
    counts : str
        How many of each grade.
    parts, choices : tuple of Drawing
        Every part of the plan, and of the choices, as it stands.
    """

    frame: Frame
    svg: Markup
    units: str
    fields: tuple[FieldLayout, ...]
    findings: tuple[Finding, ...]
    counts: str
    parts: tuple[Drawing, ...]
    choices: tuple[Drawing, ...]


@router.get("/jobs/{job_id}/plan")
def show_plan(desk: AtDesk, job_id: int) -> Response:
    """Sheet 2."""
    worked = work_out(desk.db, job_id, desk.today)
    found = of_rooms(worked.answer.takeoff.findings, "layout", "framing", "plan")
    sheet = PlanSheet(
        frame=job_frame(desk, worked.sheet, 2),
        svg=drawings.plan(worked),
        units=worked.sheet.job.units,
        fields=worked.answer.takeoff.layout.fields,
        findings=found,
        counts=count_words(found),
        parts=read_parts(PLAN, job_id, worked.sheet.document),
        choices=read_parts(CHOICES, job_id, worked.sheet.document),
    )
    return render(desk.request, "pages/plan.html", sheet)
