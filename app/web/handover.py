"""Sheet 13, Handover: what the handover file holds and what it still lacks."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.handover import completeness, put_paper, take_paper
from app.actions.handover_file import handover_for, handover_link, handover_paper, make_handover_link
from app.actions.jobs import job_sheet
from app.actions.records import Completeness, Paper
from app.build.handover import PAPERS
from app.web.page import go, render
from app.web.proposal import pdf_answer
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, AtDoor, Desk, Posted, text

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
    has_link : bool
        Whether the client's address of the file is open.
    link : str
        The address just made; shown this once.
    """

    frame: Frame
    job_id: int
    file: Completeness
    papers: dict[str, Paper]
    paper_codes: frozenset[str]
    has_link: bool
    link: str


@router.get("/jobs/{job_id}/handover")
def show_handover(desk: AtDesk, job_id: int) -> Response:
    """Sheet 13."""
    return _page(desk, job_id)


@router.get("/jobs/{job_id}/handover.pdf")
def show_handover_file(desk: AtDesk, job_id: int) -> Response:
    """The handover file as one PDF."""
    name, made = handover_paper(desk.db, job_id, desk.today)
    return pdf_answer(made, name)


@router.post("/jobs/{job_id}/handover/link")
def save_handover_link(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Make the client's address of the file; shown this once."""
    token = make_handover_link(desk.db, desk.staff, job_id, desk.now)
    return _page(desk, job_id, f"{str(desk.request.base_url).rstrip('/')}/h/{token}")


@router.get("/h/{token}")
def show_clients_file(door: AtDoor, token: str) -> Response:
    """The handover file for whoever holds its address."""
    address = door.request.client.host if door.request.client else ""
    name, made = handover_for(door.db, token[:200], door.now, address)
    return pdf_answer(made, name)


def _page(desk: Desk, job_id: int, link: str = "") -> Response:
    job = job_sheet(desk.db, job_id)
    file = completeness(desk.db, job_id, desk.today)
    sheet = HandoverSheet(
        frame=job_frame(desk, job, 13),
        job_id=job_id,
        file=file,
        papers={paper.code: paper for paper in file.papers},
        paper_codes=frozenset(code for code, _, _ in PAPERS),
        has_link=handover_link(desk.db, job_id) is not None,
        link=link,
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
