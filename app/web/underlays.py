"""The picture beneath the drawing board: sent, laid, shown, taken away."""

from base64 import b64decode
from typing import Any

from fastapi import APIRouter, Body, Response
from fastapi.responses import JSONResponse

from app.actions.underlays import (
    Lying,
    Underlay,
    lay_underlay,
    move_underlay,
    take_underlay,
    underlay_of,
    underlay_picture,
)
from app.job.errors import InputErrors
from app.measure.errors import InputError
from app.web.visit import AtDesk

router = APIRouter()
_Body = Body()
_FARTHEST_MM = 1_000_000.0
_LEAST_MM = 10.0
_LEAST_PCT, _MOST_PCT = 10, 100
_SIZES = ("wide", "high")


def underlay_json(job_id: int, kept: Underlay | None) -> dict[str, Any] | None:
    """How a picture lies, in plan millimetres, and where its bytes are; None without one."""
    if kept is None:
        return None
    lies = kept.lying
    return {
        "address": f"/jobs/{job_id}/board/picture.jpg?mark={kept.sha256[:12]}",
        "left": lies.left_mm,
        "top": lies.top_mm,
        "wide": lies.wide_mm,
        "high": lies.high_mm,
        "opacity": lies.opacity_pct,
    }


@router.get("/jobs/{job_id}/board/picture.jpg")
def show_underlay(desk: AtDesk, job_id: int) -> Response:
    """The picture beneath the drawing."""
    return Response(underlay_picture(desk.db, job_id), media_type="image/jpeg")


@router.get("/api/jobs/{job_id}/board/picture")
def show_underlay_json(desk: AtDesk, job_id: int) -> Response:
    """How the picture lies, or null."""
    return JSONResponse({"picture": underlay_json(job_id, underlay_of(desk.db, job_id))})


@router.post("/api/jobs/{job_id}/board/picture")
def save_underlay(desk: AtDesk, job_id: int, body: dict[str, Any] = _Body) -> Response:
    """Keep a photo or a page of a PDF: ``{"file": base64}``, and if wished ``"page"`` and ``"lying"``."""
    number = body.get("page", 1)
    if not isinstance(number, int) or isinstance(number, bool):
        raise InputErrors((InputError("page", number, "Give the page as a whole number."),))
    try:
        sent = b64decode(str(body.get("file") or ""), validate=True)
    except ValueError as wrong:
        raise InputErrors((InputError("file", "", "Give the file in base64."),)) from wrong
    lying = None if body.get("lying") is None else _lying(body["lying"])
    kept, pages = lay_underlay(desk.db, desk.staff, job_id, sent, number, lying, desk.now)
    return JSONResponse({"picture": underlay_json(job_id, kept), "pages": pages})


@router.put("/api/jobs/{job_id}/board/picture")
def save_lying(desk: AtDesk, job_id: int, body: dict[str, Any] = _Body) -> Response:
    """Lay it elsewhere: ``{"left": 0, "top": 0, "wide": 0, "high": 0, "opacity": 60}``."""
    kept = move_underlay(desk.db, desk.staff, job_id, _lying(body), desk.now)
    return JSONResponse({"picture": underlay_json(job_id, kept)})


@router.post("/api/jobs/{job_id}/board/picture/remove")
def save_removal(desk: AtDesk, job_id: int) -> Response:
    """Take it away."""
    take_underlay(desk.db, desk.staff, job_id, desk.now)
    return JSONResponse({"picture": None})


def _lying(given: Any) -> Lying:
    faults: list[InputError] = []
    read: dict[str, float] = {}
    if not isinstance(given, dict):
        raise InputErrors((InputError("lying", None, "Give the place as an object."),))
    for key in ("left", "top", *_SIZES, "opacity"):
        value: Any = given.get(key)
        least, most = _range(key)
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if is_number and least <= value <= most:
            read[key] = float(value)
        else:
            unit = "per cent" if key == "opacity" else "mm"
            faults.append(InputError(key, value, f"Give a number from {least:g} to {most:g} {unit}."))
    if faults:
        raise InputErrors(tuple(faults))
    return Lying(read["left"], read["top"], read["wide"], read["high"], round(read["opacity"]))


def _range(key: str) -> tuple[float, float]:
    if key == "opacity":
        return _LEAST_PCT, _MOST_PCT
    return (_LEAST_MM if key in _SIZES else -_FARTHEST_MM), _FARTHEST_MM
