"""Sheet 7, Price: where each cent comes from."""

from dataclasses import dataclass

from fastapi import APIRouter, Response

from app.actions.takeoff import work_out
from app.pricing.records import PHASES, Estimate, EstimateLine, PhasePrice, PriceRules
from app.web.findings import count_words
from app.web.page import render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class PriceSheet:
    """The whole price.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    estimate : Estimate
        Lines, phases and the build-up.
    phases : tuple of (PhasePrice, tuple of EstimateLine)
        Lines gathered under their phase.
    rules : PriceRules
        The shop's figures that went in.
    counts : str
        How many findings of each grade.
    """

    frame: Frame
    estimate: Estimate
    phases: tuple[tuple[PhasePrice, tuple[EstimateLine, ...]], ...]
    rules: PriceRules
    counts: str


@router.get("/jobs/{job_id}/price")
def show_price(desk: AtDesk, job_id: int) -> Response:
    """Sheet 7."""
    worked = work_out(desk.db, job_id, desk.today)
    estimate = worked.answer.estimate
    sheet = PriceSheet(
        frame=job_frame(desk, worked.sheet, 7),
        estimate=estimate,
        phases=tuple(
            (phase, tuple(line for line in estimate.lines if line.phase == phase.phase))
            for phase in sorted(estimate.phases, key=lambda phase: PHASES.index(phase.phase))
        ),
        rules=worked.prices.rules,
        counts=count_words(estimate.findings),
    )
    return render(desk.request, "pages/price.html", sheet)
