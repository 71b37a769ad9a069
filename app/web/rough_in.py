"""Sheet 4, Rough-in: everything that runs hidden, and what arrives at its end."""

from dataclasses import dataclass

from fastapi import APIRouter, Response
from markupsafe import Markup

from app.actions.takeoff import work_out
from app.job.findings import Finding
from app.takeoff.roughin.records import RoughIn
from app.web import drawings
from app.web.findings import of_rooms
from app.web.page import render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class RoughInSheet:
    """Runs, circuits, transformers, gas.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    svg : Markup
        The runs on plan.
    units : str
        imperial or metric.
    roughin : RoughIn
        All readings.
    windows : dict of str to (float, float)
        The voltage window of each fixture.
    findings : tuple of Finding
        Of the rough-in.
    """

    frame: Frame
    svg: Markup
    units: str
    roughin: RoughIn
    windows: dict[str, tuple[float, float]]
    findings: tuple[Finding, ...]


@router.get("/jobs/{job_id}/rough-in")
def show_rough_in(desk: AtDesk, job_id: int) -> Response:
    """Sheet 4."""
    worked = work_out(desk.db, job_id, desk.today)
    fixtures = worked.sheet.job.plan.fixtures
    sheet = RoughInSheet(
        frame=job_frame(desk, worked.sheet, 4),
        svg=drawings.rough_in(worked),
        units=worked.sheet.job.units,
        roughin=worked.answer.takeoff.rough_in,
        windows={fixture.id: (fixture.least_v, fixture.greatest_v) for fixture in fixtures},
        findings=of_rooms(worked.answer.takeoff.findings, "roughin", "rough-in"),
    )
    return render(desk.request, "pages/rough_in.html", sheet)
