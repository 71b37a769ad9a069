"""Sheet 11, Changes: the signed revision against the job as it stands now."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.changes import difference
from app.actions.errors import Refused
from app.actions.jobs import job_sheet
from app.actions.records import AuditEntry, Difference
from app.takeoff.totals.bases import BASES
from app.web.page import render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class ChangesSheet:
    """Signed and now.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    units : str
        imperial or metric.
    difference : Difference or None
        In money, days and quantities; None when nothing was signed.
    why_not : str
        Why there is nothing to compare.
    basis_words : dict of str to str
        What each basis measures.
    history : tuple of AuditEntry
        Who changed what.
    """

    frame: Frame
    units: str
    difference: Difference | None
    why_not: str
    basis_words: dict[str, str]
    history: tuple[AuditEntry, ...]


@router.get("/jobs/{job_id}/changes")
def show_changes(desk: AtDesk, job_id: int) -> Response:
    """Sheet 11."""
    job = job_sheet(desk.db, job_id)
    found: Difference | None = None
    why_not = ""
    try:
        found = difference(desk.db, job_id, desk.today)
    except Refused as refusal:
        why_not = refusal.reason
    sheet = ChangesSheet(
        frame=job_frame(desk, job, 11),
        units=job.job.units,
        difference=found,
        why_not=why_not,
        basis_words={basis.code: basis.text for basis in BASES},
        history=job.history,
    )
    return render(desk.request, "pages/changes.html", sheet)
