"""Drawings taken out: plan as SVG, PDF and DXF, a section along any line, the view of the whole; DXF in."""

import math
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Body, Response
from fastapi.responses import JSONResponse
from markupsafe import Markup

from app.actions.jobs import job_sheet
from app.actions.price import shop
from app.actions.records import WorkedOut
from app.actions.takeoff import work_out
from app.documents.drawing import DrawingInputs, drawing_pdf, fitting_scale
from app.documents.scale import size_mm
from app.drawings.dxf_in import read_dxf
from app.drawings.dxf_out import plan_dxf
from app.drawings.isometric import ISOMETRIC_DEG, Eye, isometric_svg
from app.drawings.plan import plan_svg
from app.drawings.section import section_svg
from app.drawings.solid import solid_parts
from app.drawings.sun import Sun, sun_at
from app.job.errors import InputErrors
from app.measure.errors import InputError
from app.measure.lengths import read_mm
from app.measure.show import format_area, format_length
from app.web.drawings import on_page
from app.web.findings import Fault
from app.web.page import render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk, Desk

router = APIRouter()
_LEAST_SCALE, _MOST_SCALE = 5.0, 1000.0
_SECTION_SCALES, _SECTION_MM = (10.0, 20.0, 50.0), 200.0  # so that levels can be read on a screen
_Body = Body()


@dataclass(frozen=True, slots=True)
class SectionSheet:
    """A section along a line, and the form that says which.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job.
    svg : Markup
        The section, empty while the line cannot be read.
    start, end : str
        The ends of the line as typed.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    job_id: int
    svg: Markup
    start: str
    end: str
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class ViewSheet:
    """The whole seen from above and aside.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job.
    svg : Markup
        The view.
    turn : int
        How far it is turned. [deg]
    tilt : int
        How far the eye stands above the horizon. [deg]
    on, hour : str
        Day and hour of the sun.
    sun_words : str
        Where the sun stands and what it casts.
    has_place : bool
        Whether the survey says where on the earth the roof lies.
    """

    frame: Frame
    job_id: int
    svg: Markup
    turn: int
    tilt: int
    on: str
    hour: str
    sun_words: str
    has_place: bool


@router.get("/jobs/{job_id}/drawings/plan.svg")
def show_plan_svg(desk: AtDesk, job_id: int, scale: float = 50.0) -> Response:
    """The plan as saved, true to scale when printed at its own size."""
    worked = work_out(desk.db, job_id, desk.today)
    job = worked.sheet.job
    svg = plan_svg(job, worked.answer.takeoff, job.units, _scale(scale), with_numbers=True)
    return _file(svg, "image/svg+xml", f"{worked.sheet.number}-plan-1-{_scale(scale):g}.svg")


@router.get("/jobs/{job_id}/drawings/plan.pdf")
def show_plan_pdf(desk: AtDesk, job_id: int, scale: float = 0.0) -> Response:
    """The plan as saved on one sheet, at a scale or at the largest that fits A3."""
    worked = work_out(desk.db, job_id, desk.today)
    job, takeoff = worked.sheet.job, worked.answer.takeoff
    wanted = _scale(scale) if scale else _fitting(worked)
    svg = plan_svg(job, takeoff, job.units, wanted, with_numbers=True)
    printed = drawing_pdf(_inputs(desk, worked, svg, "Plan", wanted))
    return _file(printed, "application/pdf", f"{worked.sheet.number}-plan.pdf")


@router.get("/jobs/{job_id}/drawings/plan.dxf")
def show_plan_dxf(desk: AtDesk, job_id: int) -> Response:
    """The plan as saved, for whoever draws on."""
    worked = work_out(desk.db, job_id, desk.today)
    return _file(
        plan_dxf(worked.sheet.job, worked.answer.takeoff), "image/vnd.dxf", f"{worked.sheet.number}-plan.dxf"
    )


@router.post("/api/jobs/{job_id}/board/dxf")
def read_a_dxf(desk: AtDesk, job_id: int, body: dict[str, Any] = _Body) -> Response:
    """The closed outlines of a DXF, to be looked at: ``{"text": …, "unit": "mm"}``; nothing is saved."""
    units = job_sheet(desk.db, job_id).job.units
    reading = read_dxf(str(body.get("text") or ""), str(body.get("unit") or ""))
    outlines = [
        {
            "layer": found.layer,
            "corners": [[round(x, 4), round(y, 4)] for x, y in found.corners_mm],
            "area": found.area_m2,
            "area_text": format_area(found.area_m2, units),
        }
        for found in reading.outlines
    ]
    return JSONResponse({"outlines": outlines, "notes": list(reading.notes)})


@router.get("/jobs/{job_id}/section")
def show_section(desk: AtDesk, job_id: int, start: str = "", end: str = "") -> Response:
    """A section along a line; without one, across the middle of the first deck field."""
    worked = work_out(desk.db, job_id, desk.today)
    job = worked.sheet.job
    first, last = _middle_line(worked)
    start, end = start or _pair(first, job.units), end or _pair(last, job.units)
    faults: list[Fault] = []
    ends = [_spot(text, name, faults) for text, name in ((start, "section-start"), (end, "section-end"))]
    svg = Markup("")
    if ends[0] and ends[1]:
        if math.dist(ends[0], ends[1]) < 100:
            faults.append(Fault("The two ends lie less than 100 mm apart.", "section-start"))
        else:
            scale = next(
                (s for s in _SECTION_SCALES if math.dist(ends[0], ends[1]) / s <= _SECTION_MM), 100.0
            )
            drawn = section_svg(job, worked.answer.takeoff, ends[0], ends[1], job.units, scale)
            svg = on_page(drawn, "section")
    frame = job_frame(desk, worked.sheet, 2, title="Section", is_wrong=bool(faults))
    sheet = SectionSheet(frame, job_id, svg, start, end, tuple(faults))
    return render(desk.request, "pages/section.html", sheet, 422 if faults else 200)


@router.get("/jobs/{job_id}/view")
def show_view(
    desk: AtDesk, job_id: int, turn: float = 35.0, tilt: float = ISOMETRIC_DEG, on: str = "", hour: str = ""
) -> Response:
    """The view of the whole, turned, with the sun of a day and an hour."""
    worked = work_out(desk.db, job_id, desk.today)
    job = worked.sheet.job
    eye = Eye(turn % 360, min(89.0, max(5.0, tilt)))
    sun, on, hour = _sun(worked, on, hour)
    sheet = ViewSheet(
        frame=job_frame(desk, worked.sheet, 2, title="View of the whole"),
        job_id=job_id,
        svg=on_page(isometric_svg(job, worked.answer.takeoff, eye, 50.0, sun), "view"),
        turn=round(eye.turn_deg),
        tilt=round(eye.tilt_deg),
        on=on,
        hour=hour,
        sun_words=_sun_words(sun, job.units),
        has_place=job.survey.place is not None,
    )
    return render(desk.request, "pages/view.html", sheet)


@router.get("/api/jobs/{job_id}/view")
def show_view_json(desk: AtDesk, job_id: int, on: str = "", hour: str = "") -> Response:
    """The whole as triangles and lines in millimetres, and where the sun stands at a day and an hour."""
    worked = work_out(desk.db, job_id, desk.today)
    job = worked.sheet.job
    sun, on, hour = _sun(worked, on, hour)
    parts = [
        {
            "name": part.name,
            "kind": part.kind,
            "triangles": [round(value, 1) for place in part.triangles_mm for value in place],
            "lines": [round(value, 1) for place in part.lines_mm for value in place],
        }
        for part in solid_parts(job, worked.answer.takeoff)
    ]
    toward = None if sun is None or sun.height_deg <= 0.5 else _toward(sun, job.survey.north_deg)
    return JSONResponse(
        {"parts": parts, "sun": toward, "units": job.units, "words": _sun_words(sun, job.units)}
    )


def _toward(sun: Sun, north_deg: float) -> tuple[float, float, float]:
    """Give the way to the sun: right of the sheet, up the sheet, upward; of length one."""
    high, way = math.radians(sun.height_deg), math.radians(90 - north_deg - sun.bearing_deg)
    return math.cos(high) * math.cos(way), math.cos(high) * math.sin(way), math.sin(high)


def _scale(scale: float) -> float:
    """A scale that paper knows; the nearest end of the range for one that it does not."""
    return min(_MOST_SCALE, max(_LEAST_SCALE, scale)) if math.isfinite(scale) else 50.0


def _fitting(worked: WorkedOut) -> float:
    """The largest scale at which the plan and its margins, which are of paper, fit."""
    job = worked.sheet.job
    for _ in range(3):
        scale = fitting_scale(_spread(worked, 50.0))
        wide, high = size_mm(plan_svg(job, worked.answer.takeoff, job.units, scale))
        if fitting_scale((wide * scale, high * scale)) <= scale:
            return scale
    return 100.0


def _spread(worked: WorkedOut, scale: float) -> tuple[float, float]:
    job = worked.sheet.job
    wide, high = size_mm(plan_svg(job, worked.answer.takeoff, job.units, scale))
    return wide * scale, high * scale


def _inputs(desk: Desk, worked: WorkedOut, svg: str, title: str, scale: float) -> DrawingInputs:
    sheet = worked.sheet
    return DrawingInputs(
        svg=svg,
        title=title,
        firm=shop(desk.db).firm.name,
        job_number=sheet.number,
        job_title=sheet.title,
        client=sheet.client.name,
        dated=desk.today.isoformat(),
        revision=f"version {sheet.version}",
        scale=scale,
    )


def _file(content: str | bytes, kind: str, name: str) -> Response:
    plain = re.sub(r"[^A-Za-z0-9.-]+", "-", name)
    headers = {"content-disposition": f'attachment; filename="{plain}"'}
    return Response(content, media_type=kind, headers=headers)


def _middle_line(worked: WorkedOut) -> tuple[tuple[float, float], tuple[float, float]]:
    """The line from one side of the roof to the other through the middle of the first deck field."""
    survey, plan = worked.sheet.job.survey, worked.sheet.job.plan
    ring = plan.deck_fields[0].outline_mm if plan.deck_fields else survey.outline_mm
    ys, xs = [y for _, y in ring], [x for x, _ in survey.outline_mm]
    middle = (min(ys) + max(ys)) / 2
    return (min(xs), middle), (max(xs), middle)


def _pair(spot: tuple[float, float], units: str) -> str:
    return ", ".join(format_length(value, units).replace("−", "-") for value in spot)


def _spot(text: str, name: str, faults: list[Fault]) -> tuple[float, float] | None:
    parts = [part for part in text.split(",") if part.strip()]
    if len(parts) != 2:
        faults.append(Fault("Give x and y, parted by a comma.", name))
        return None
    try:
        return read_mm(parts[0].strip()), read_mm(parts[1].strip())
    except InputError as wrong:
        faults.append(Fault(wrong.wanted, name))
        return None


def _sun(worked: WorkedOut, on: str, hour: str) -> tuple[Sun | None, str, str]:
    """The sun of a day and an hour at the site, and both as they stand in the form."""
    place = worked.sheet.job.survey.place
    on, hour = on or worked.start_on.isoformat(), hour or "15:00"
    if place is None:
        return None, on, hour
    try:
        local = datetime.fromisoformat(f"{on}T{hour}")
    except ValueError as wrong:
        wanted = "Give the day as 2026-06-21 and the hour as 17:00."
        raise InputErrors((InputError("on", f"{on} {hour}", wanted),)) from wrong
    return sun_at(worked.sheet.job, local.replace(tzinfo=ZoneInfo(place.time_zone)).astimezone(UTC)), on, hour


def _sun_words(sun: Sun | None, units: str) -> str:
    if sun is None:
        return ""
    if sun.height_deg <= 0.5:
        return "The sun is down: no shadows."
    cast = format_length(1000 / math.tan(math.radians(sun.height_deg)), units)
    post = format_length(1000, units)
    stands = f"The sun stands {sun.height_deg:.0f}° high, bearing {sun.bearing_deg:.0f}°"
    return f"{stands}; a post of {post} casts {cast}."
