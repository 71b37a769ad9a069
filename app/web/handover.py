"""Sheet 13, Handover: what the handover file holds and what it still lacks."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.day_records import HandoverCopy
from app.actions.errors import Refused
from app.actions.handover import completeness, put_paper, take_paper
from app.actions.handover_copy import (
    RECEIPT,
    ClientsFile,
    clients_file,
    copy_paper,
    hand_over,
    handover_copies,
    handover_for,
    receive,
)
from app.actions.handover_file import handover_link, handover_paper, make_handover_link
from app.actions.jobs import job_sheet
from app.actions.records import Completeness, Paper
from app.build.handover import PAPERS
from app.web.findings import Fault
from app.web.forms.drawn import field_id
from app.web.page import go, render
from app.web.proposal import pdf_answer
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, AtDoor, Desk, Door, Posted, text

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
    copies : tuple of HandoverCopy
        Files handed over, newest first.
    """

    frame: Frame
    job_id: int
    file: Completeness
    papers: dict[str, Paper]
    paper_codes: frozenset[str]
    has_link: bool
    link: str
    copies: tuple[HandoverCopy, ...]


@dataclass(frozen=True, slots=True)
class ClientsFileSheet:
    """The handover file as the client gets it.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    file : ClientsFile
        Public fields only.
    token : str
        Of the address.
    receipt : str
        What the receipt says.
    name : str
        As typed, when it must be typed again.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    file: ClientsFile
    token: str
    receipt: str
    name: str
    faults: tuple[Fault, ...]


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


@router.post("/jobs/{job_id}/handover/copies")
def save_copy(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Hand over: freeze the file as it stands."""
    hand_over(desk.db, desk.staff, job_id, desk.now)
    return go(f"/jobs/{job_id}/handover?said=handed")


@router.get("/jobs/{job_id}/handover/{copy_id}.pdf")
def show_copy(desk: AtDesk, job_id: int, copy_id: int) -> Response:
    """One file exactly as it was handed over."""
    name, made = copy_paper(desk.db, job_id, copy_id)
    return pdf_answer(made, name)


@router.get("/h/{token}")
def show_clients_file(door: AtDoor, token: str) -> Response:
    """What whoever holds the address is shown: the file, and the receipt to sign."""
    return _clients_page(door, token[:200])


@router.get("/h/{token}/file.pdf")
def show_clients_pdf(door: AtDoor, token: str) -> Response:
    """The handover file for whoever holds its address: as handed over, else as it stands."""
    name, made = handover_for(door.db, token[:200], door.now, _address(door))
    return pdf_answer(made, name)


@router.post("/h/{token}")
def save_receipt(door: AtDoor, form: Posted, token: str) -> Response:
    """Note the client's receipt."""
    name = text(form, "name", 120)
    answer = (name, form.get("received") is not None, text(form, "fingerprint", 64))
    where = (_address(door), door.request.headers.get("user-agent", ""))
    try:
        receive(door.db, token[:200], answer, where, door.now)
    except Refused as refusal:
        return _clients_page(door, token[:200], (Fault(refusal.reason, field_id("name")),), name)
    return go(f"/h/{token}")


def _address(door: Door) -> str:
    return door.request.client.host if door.request.client else ""


def _clients_page(door: Door, token: str, faults: tuple[Fault, ...] = (), name: str = "") -> Response:
    file = clients_file(door.db, token, door.now, _address(door))
    cells = (("Firm", file.firm_name), ("Job", f"{file.job_number}  {file.job_title}"), ("Sheet", "Handover"))
    frame = Frame(title="Handover file", firm=file.firm_name, cells=cells, is_wrong=bool(faults))
    sheet = ClientsFileSheet(frame, file, token, RECEIPT, name, faults)
    return render(door.request, "pages/clients_file.html", sheet, 422 if faults else 200)


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
        copies=handover_copies(desk.db, job_id),
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
