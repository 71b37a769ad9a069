"""Sheet 13, Handover: what the handover file holds and what it still lacks."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.handover import completeness
from app.actions.jobs import job_sheet
from app.actions.records import Completeness
from app.web.page import render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class HandoverSheet:
    """The handover file.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job.
    file : Completeness
        What is there and what lacks.
    """

    frame: Frame
    job_id: int
    file: Completeness


@router.get("/jobs/{job_id}/handover")
def show_handover(desk: AtDesk, job_id: int) -> Response:
    """Sheet 13."""
    job = job_sheet(desk.db, job_id)
    sheet = HandoverSheet(job_frame(desk, job, 13), job_id, completeness(desk.db, job_id, desk.today))
    return render(desk.request, "pages/handover.html", sheet)
