"""The job file: its title, units and notes changed, the whole of it taken away or put in place of the old."""

import json
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Response
from fastapi.responses import PlainTextResponse
from starlette.datastructures import FormData

from app.actions.document import replace_document
from app.actions.errors import StaleSave
from app.actions.jobs import job_sheet
from app.actions.records import JobSheet
from app.job.errors import InputErrors
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, draw, missing, typed
from app.web.jobs import read_job_file
from app.web.page import go, render
from app.web.sheets import Frame, job_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number

router = APIRouter()
_UNITS = (("metric", "metric: mm, kg, kPa"), ("imperial", "imperial: ft and in, lb, psf"))
_HEAD = (
    Entry("title", "Title", hint="What the job is called on every sheet."),
    Entry("units", "Read lengths and loads back in", "choice", options=_UNITS),
    Entry("notes", "Notes", "words", is_needed=False),
)


@dataclass(frozen=True, slots=True)
class JobFileSheet:
    """The job file as a whole.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id, version : int
        The job, and the version the forms start from.
    fields : tuple of Field
        Title, units, notes.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    job_id: int
    version: int
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...]


@router.get("/jobs/{job_id}/job-file")
def show_job_file(desk: AtDesk, job_id: int) -> Response:
    """Title, units and notes, and the way to take the job file away or replace it."""
    sheet = job_sheet(desk.db, job_id)
    return _page(desk, sheet, _head(sheet.document), ())


@router.post("/jobs/{job_id}/job-file")
def save_head(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Save title, units and notes."""
    sheet = job_sheet(desk.db, job_id)
    values = typed(_HEAD, form)
    faults = missing(_HEAD, values)
    if faults:
        lines = tuple(Fault(words, field_id(name)) for name, words in faults.items())
        return _page(desk, sheet, values, lines, faults)
    return _save(desk, sheet, form, {**sheet.document, **values}, values)


@router.get("/jobs/{job_id}/job-file.json")
def show_job_file_json(desk: AtDesk, job_id: int) -> Response:
    """The job file as typed, to be kept or sent on."""
    sheet = job_sheet(desk.db, job_id)
    words = json.dumps(sheet.document, indent=2, ensure_ascii=False) + "\n"
    name = f"{sheet.number}.json".replace('"', "")
    return PlainTextResponse(
        words,
        media_type="application/json",
        headers={"content-disposition": f'attachment; filename="{name}"'},
    )


@router.post("/jobs/{job_id}/job-file/replace")
def save_whole_job_file(desk: AtDesk, form: Posted, job_id: int) -> Response:
    """Put a job file in place of the old one."""
    sheet = job_sheet(desk.db, job_id)
    try:
        document = read_job_file(form, str(form.get("pasted") or ""))
    except ValueError as wrong:
        return _page(desk, sheet, _head(sheet.document), (Fault(str(wrong), field_id("pasted")),))
    return _save(desk, sheet, form, document, _head(sheet.document))


def _save(
    desk: Desk, sheet: JobSheet, form: FormData, document: dict[str, Any], values: dict[str, str]
) -> Response:
    """Save the whole document, or say why not."""
    try:
        replace_document(desk.db, desk.staff, sheet.id, number(form, "version"), document, desk.now)
    except InputErrors as wrong:
        lines = tuple(Fault(f"{fault.path}: {fault.wanted}", field_id("pasted")) for fault in wrong.errors)
        return _page(desk, sheet, values, lines)
    except StaleSave as stale:
        return show_stale(desk, stale, back=f"/jobs/{sheet.id}/job-file")
    return go(f"/jobs/{sheet.id}/survey?said=saved")


def _head(document: dict[str, Any]) -> dict[str, str]:
    return {entry.name: str(document.get(entry.name) or "") for entry in _HEAD}


def _page(
    desk: Desk,
    sheet: JobSheet,
    values: dict[str, str],
    lines: tuple[Fault, ...],
    faults: dict[str, str] | None = None,
) -> Response:
    context = JobFileSheet(
        frame=job_frame(desk, sheet, 1, title="Job file", is_wrong=bool(lines)),
        job_id=sheet.id,
        version=sheet.version,
        fields=draw(_HEAD, values, faults or {}),
        faults=lines,
    )
    return render(desk.request, "pages/job_file.html", context, 422 if lines else 200)
