"""Sheet 6, Takeoff: every quantity with its places and its why, the cut plans and the carry."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.takeoff import work_out
from app.job.findings import Assumption, Finding
from app.takeoff.totals.bases import BASES
from app.takeoff.totals.records import Carry, CutPlan, Quantity
from app.web.findings import count_words
from app.web.page import render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class TakeoffSheet:
    """What to bring, and why.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    units, currency : str
        As in the job file.
    quantities : tuple of Quantity
        In the order of the bases.
    basis_words : dict of str to str
        What each basis measures.
    cut_plans : tuple of CutPlan
        One for each profile.
    carry : Carry
        Getting it all up.
    findings : tuple of Finding
        Of the whole takeoff.
    counts : str
        How many of each grade.
    assumptions : tuple of Assumption
        What was taken as given.
    """

    frame: Frame
    units: str
    currency: str
    quantities: tuple[Quantity, ...]
    basis_words: dict[str, str]
    cut_plans: tuple[CutPlan, ...]
    carry: Carry
    findings: tuple[Finding, ...]
    counts: str
    assumptions: tuple[Assumption, ...]


@router.get("/jobs/{job_id}/takeoff")
def show_takeoff(desk: AtDesk, job_id: int) -> Response:
    """Sheet 6."""
    worked = work_out(desk.db, job_id, desk.today)
    takeoff, job = worked.answer.takeoff, worked.sheet.job
    sheet = TakeoffSheet(
        frame=job_frame(desk, worked.sheet, 6),
        units=job.units,
        currency=job.currency,
        quantities=takeoff.totals.quantities,
        basis_words={basis.code: basis.text for basis in BASES},
        cut_plans=takeoff.totals.cut_plans,
        carry=takeoff.totals.carry,
        findings=takeoff.findings,
        counts=count_words(takeoff.findings),
        assumptions=takeoff.assumptions,
    )
    return render(desk.request, "pages/takeoff.html", sheet)
