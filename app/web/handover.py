"""Sheet 13, Handover: what the handover file holds and what it still lacks."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.handover import completeness, put_paper, take_paper
from app.actions.jobs import job_sheet
from app.actions.records import Completeness, Paper
from app.build.handover import PAPERS
from app.web.page import go, render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Posted, text

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
    papers : dict of str to Paper
        Papers on file, by code.
    paper_codes : frozenset of str
        Codes of the list that are papers, to be noted here.
    """

    frame: Frame
    job_id: int
    file: Completeness
    papers: dict[str, Paper]
    paper_codes: frozenset[str]


@router.get("/jobs/{job_id}/handover")
def show_handover(desk: AtDesk, job_id: int) -> Response:
    """Sheet 13."""
    job = job_sheet(desk.db, job_id)
    file = completeness(desk.db, job_id, desk.today)
    sheet = HandoverSheet(
        frame=job_frame(desk, job, 13),
        job_id=job_id,
        file=file,
        papers={paper.code: paper for paper in file.papers},
        paper_codes=frozenset(code for code, _, _ in PAPERS),
    )
    return render(desk.request, "pages/handover.html", sheet)


@router.post("/jobs/{job_id}/handover")
def save_paper(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Note that a paper is on file, and where, or take the note back."""
    code = text(form, "code", 40)
    if text(form, "do") == "undo":
        take_paper(desk.db, desk.staff, job_id, code, desk.now)
    else:
        put_paper(desk.db, desk.staff, job_id, code, text(form, "note"), desk.now)
    return go(f"/jobs/{job_id}/handover?said=saved")
