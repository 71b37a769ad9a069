"""Sheet 6, Takeoff: every quantity with its places and its why, the cut plans and the carry."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.cut_plan import print_cut_plan
from app.actions.rack import JobRack, job_rack
from app.actions.takeoff import work_out
from app.job.findings import Assumption, Finding
from app.takeoff.totals.bases import BASES
from app.takeoff.totals.records import Carry, CutPlan, Quantity
from app.web.carry_days import CarryDay, carry_days
from app.web.findings import Fault, count_words
from app.web.frame_part import FramePart, frame_part
from app.web.page import render
from app.web.proposal import pdf_answer
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Desk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class TakeoffSheet:
    """What to bring, and why.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        Whose cut plan can be printed.
    units, currency : str
        As in the job file.
    quantities : tuple of Quantity
        In the order of the bases.
    basis_words : dict of str to str
        What each basis measures.
    item_names : dict of str to str
        Names on the price list, by code.
    frame_part : FramePart
        Frame and pads.
    cut_plans : tuple of CutPlan
        One for each profile.
    version : int
        Of the job file, for what is taken from the rack.
    rack : JobRack
        Kept offcuts: what the rack holds for this job, what it has taken, what is from here.
    carry : Carry
        Getting it all up.
    carry_days : tuple of CarryDay
        The days it falls on.
    findings : tuple of Finding
        Of the whole takeoff.
    counts : str
        How many of each grade.
    assumptions : tuple of Assumption
        What was taken as given.
    faults : tuple of Fault
        Why something was not done.
    """

    frame: Frame
    job_id: int
    units: str
    currency: str
    quantities: tuple[Quantity, ...]
    basis_words: dict[str, str]
    item_names: dict[str, str]
    frame_part: FramePart
    cut_plans: tuple[CutPlan, ...]
    version: int
    rack: JobRack
    carry: Carry
    carry_days: tuple[CarryDay, ...]
    findings: tuple[Finding, ...]
    counts: str
    assumptions: tuple[Assumption, ...]
    faults: tuple[Fault, ...] = ()


@router.get("/jobs/{job_id}/takeoff/cut-plan.pdf")
def show_cut_plan(desk: AtDesk, job_id: int) -> Response:
    """The cut plan, to print."""
    name, printed = print_cut_plan(desk.db, job_id, desk.today)
    return pdf_answer(printed, name)


@router.get("/jobs/{job_id}/takeoff")
def show_takeoff(desk: AtDesk, job_id: int) -> Response:
    """Sheet 6."""
    return takeoff_page(desk, job_id)


def takeoff_page(desk: Desk, job_id: int, faults: tuple[Fault, ...] = ()) -> Response:
    """Sheet 6, with why something on it was not done."""
    worked = work_out(desk.db, job_id, desk.today)
    takeoff, job = worked.answer.takeoff, worked.sheet.job
    sheet = TakeoffSheet(
        frame=job_frame(desk, worked.sheet, 6, is_wrong=bool(faults)),
        job_id=worked.sheet.id,
        units=job.units,
        currency=job.currency,
        quantities=takeoff.totals.quantities,
        basis_words={basis.code: basis.text for basis in BASES},
        item_names=worked.item_names,
        frame_part=frame_part(worked),
        cut_plans=takeoff.totals.cut_plans,
        version=worked.sheet.version,
        rack=job_rack(desk.db, worked.sheet),
        carry=takeoff.totals.carry,
        carry_days=carry_days(worked.answer.days),
        findings=takeoff.findings,
        counts=count_words(takeoff.findings),
        assumptions=takeoff.assumptions,
        faults=faults,
    )
    return render(desk.request, "pages/takeoff.html", sheet, 422 if faults else 200)
