"""Sheet 5, Loads: what each place weighs, against what the engineer allows."""

from dataclasses import dataclass

from fastapi import APIRouter, Response
from markupsafe import Markup

from app.actions.takeoff import work_out
from app.job.findings import Finding
from app.job.survey import AllowableArea, AllowableLoad, LiveLoad
from app.takeoff.framing.records import SpanCheck
from app.takeoff.totals.records import LoadCell, LoadMap, LoadSpot, PointLoad
from app.web import drawings
from app.web.page import render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk

router = APIRouter()
_SHOWN = 12


@dataclass(frozen=True, slots=True)
class LoadsSheet:
    """Loads by place.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    svg : Markup
        The places on plan.
    units : str
        imperial or metric.
    spots : tuple of LoadSpot
        Each place and what makes its load up.
    dead_kg : float
        Everything that stays. [kg]
    spans : tuple of SpanCheck
        Sleepers between pads, screened.
    allowable : AllowableLoad or None
        What a named engineer gave.
    live : LiveLoad or None
        The live load to design for.
    load_map : LoadMap
        Dead load on a grid, the worst square, snow and wind.
    areas : tuple of AllowableArea
        Parts of the roof with figures of their own.
    heaviest : tuple of LoadCell
        The heaviest square of each set of things that stand together.
    points : tuple of PointLoad
        One leg of each thing.
    findings : tuple of Finding
        About loads, spans and pads.
    """

    frame: Frame
    svg: Markup
    units: str
    spots: tuple[LoadSpot, ...]
    dead_kg: float
    spans: tuple[SpanCheck, ...]
    allowable: AllowableLoad | None
    live: LiveLoad | None
    load_map: LoadMap
    areas: tuple[AllowableArea, ...]
    heaviest: tuple[LoadCell, ...]
    points: tuple[PointLoad, ...]
    findings: tuple[Finding, ...]


@router.get("/jobs/{job_id}/loads")
def show_loads(desk: AtDesk, job_id: int) -> Response:
    """Sheet 5."""
    worked = work_out(desk.db, job_id, desk.today)
    takeoff, survey = worked.answer.takeoff, worked.sheet.job.survey
    sheet = LoadsSheet(
        frame=job_frame(desk, worked.sheet, 5),
        svg=drawings.loads(worked),
        units=worked.sheet.job.units,
        spots=takeoff.totals.loads,
        dead_kg=takeoff.totals.dead_kg,
        spans=takeoff.framing.span_checks,
        allowable=survey.allowable_load,
        live=survey.live_load,
        load_map=takeoff.totals.load_map,
        areas=survey.allowable_areas,
        heaviest=_heaviest(takeoff.totals.load_map),
        points=_points(takeoff.totals.load_map),
        findings=tuple(
            finding
            for finding in takeoff.findings
            if finding in takeoff.totals.findings or finding in takeoff.framing.findings
        ),
    )
    return render(desk.request, "pages/loads.html", sheet)


def _heaviest(made: LoadMap) -> tuple[LoadCell, ...]:
    """The heaviest square of each set of things that stand on one, heaviest first."""
    found: dict[frozenset[str], LoadCell] = {}
    for cell in sorted(made.cells, key=lambda cell: -cell.dead_kpa):
        found.setdefault(frozenset(place for place, _ in cell.parts), cell)
    return tuple(found.values())[:_SHOWN]


def _points(made: LoadMap) -> tuple[PointLoad, ...]:
    """One leg of each thing; the others bear the same."""
    return tuple({point.place: point for point in made.points}.values())
