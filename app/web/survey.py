"""Sheet 1, Survey: all that was measured, and what it says of the roof."""

from dataclasses import dataclass

from fastapi import APIRouter, Response
from markupsafe import Markup

from app.actions.takeoff import work_out
from app.drawings.roof import roof_svg
from app.job.findings import Finding
from app.takeoff.roof.records import RoofReading
from app.web import drawings
from app.web.findings import count_words, of_rooms
from app.web.page import render
from app.web.parts import SURVEY, Drawing, read_parts
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class SurveySheet:
    """What was measured.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    svg : Markup
        The roof as measured.
    roof : RoofReading
        Surface, fall, flow, levels, guards.
    least_fall_pct : float
        Fall that the roof is held against.
    units : str
        imperial or metric.
    findings : tuple of Finding
        Of the roof.
    counts : str
        How many of each grade.
    parts : tuple of Drawing
        Every part of the survey as it stands.
    """

    frame: Frame
    svg: Markup
    roof: RoofReading
    least_fall_pct: float
    units: str
    findings: tuple[Finding, ...]
    counts: str
    parts: tuple[Drawing, ...]


@router.get("/jobs/{job_id}/survey")
def show_survey(desk: AtDesk, job_id: int) -> Response:
    """Sheet 1."""
    worked = work_out(desk.db, job_id, desk.today)
    job = worked.sheet.job
    found = of_rooms(worked.answer.takeoff.findings, "roof", "survey", "job")
    sheet = SurveySheet(
        frame=job_frame(desk, worked.sheet, 1),
        svg=drawings.on_page(drawings.drawn(roof_svg, worked), "roof"),
        roof=worked.answer.takeoff.roof,
        least_fall_pct=job.choices.limits.least_fall_pct,
        units=worked.sheet.job.units,
        findings=found,
        counts=count_words(found),
        parts=read_parts(SURVEY, job_id, worked.sheet.document),
    )
    return render(desk.request, "pages/survey.html", sheet)
