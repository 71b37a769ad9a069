"""The JSON API for whoever is signed in: a job file out and in, and everything computed from it."""

import dataclasses
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from fastapi import APIRouter, Body, Response
from fastapi.responses import JSONResponse

from app.actions.document import replace_document
from app.actions.jobs import job_sheet
from app.actions.price_risk import how_sure
from app.actions.takeoff import work_out
from app.job.errors import InputErrors
from app.measure.errors import InputError
from app.web.visit import AtDesk

router = APIRouter(prefix="/api")


@router.get("/jobs/{job_id}")
def show_job_file(desk: AtDesk, job_id: int) -> Response:
    """The job file as typed, with its version."""
    sheet = job_sheet(desk.db, job_id)
    return JSONResponse(
        {"id": sheet.id, "version": sheet.version, "state": sheet.state, "document": sheet.document}
    )


@router.put("/jobs/{job_id}")
def save_job_file(desk: AtDesk, job_id: int, body: dict[str, Any] = Body()) -> Response:  # noqa: B008
    """Put a job file in place of the old one: ``{"version": 3, "document": {...}}``."""
    version, document = body.get("version"), body.get("document")
    faults = []
    if not isinstance(version, int) or isinstance(version, bool):
        faults.append(InputError("version", version, "Give the version you started from, a whole number."))
    if not isinstance(document, dict):
        faults.append(InputError("document", None, "Give the job file as an object."))
    if faults or not isinstance(version, int) or not isinstance(document, dict):
        raise InputErrors(tuple(faults))
    saved = replace_document(desk.db, desk.staff, job_id, version, document, desk.now)
    return JSONResponse({"id": job_id, "version": saved})


@router.get("/jobs/{job_id}/takeoff")
def show_takeoff_json(desk: AtDesk, job_id: int) -> Response:
    """Everything the geometry says."""
    takeoff = work_out(desk.db, job_id, desk.today).answer.takeoff
    return JSONResponse(plain(takeoff))


@router.get("/jobs/{job_id}/price")
def show_price_json(desk: AtDesk, job_id: int) -> Response:
    """The whole price, and how sure it is; money is text, so that no cent is lost."""
    worked = work_out(desk.db, job_id, desk.today)
    return JSONResponse({**plain(worked.answer.estimate), "sure": plain(how_sure(desk.db, worked))})


@router.get("/jobs/{job_id}/days")
def show_days_json(desk: AtDesk, job_id: int) -> Response:
    """The job in days."""
    return JSONResponse(plain(work_out(desk.db, job_id, desk.today).answer.days))


def plain(value: Any) -> Any:
    """Records as objects, tuples as arrays, money and dates as text; functions are left out."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        pairs = ((field.name, getattr(value, field.name)) for field in dataclasses.fields(value))
        return {name: plain(inner) for name, inner in pairs if not callable(inner)}
    if isinstance(value, Mapping):
        return {str(key): plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [plain(inner) for inner in value]
    if isinstance(value, Decimal):
        return str(value)
    return value.isoformat() if isinstance(value, date | datetime) else value
