"""Changing one part of the job file: the page with its form, rows added and removed, and the save."""

import copy
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Response
from starlette.datastructures import FormData

from app.actions.document import save_part
from app.actions.errors import NotFound, StaleSave
from app.actions.jobs import job_sheet
from app.actions.records import JobSheet
from app.job.errors import InputErrors
from app.measure.errors import InputError
from app.web.findings import Fault, form_path
from app.web.forms.drawn import Drawn, named_fields
from app.web.forms.read import add_row, read_asks, remove_row
from app.web.page import go, render
from app.web.parts import Part, draw_part, part_at
from app.web.sheets import Frame, job_frame
from app.web.stale import show_stale
from app.web.visit import AtDesk, Desk, Posted, number

router = APIRouter()
_NUMBERS = {"survey": 1, "plan": 2, "choices": 2}


@dataclass(frozen=True, slots=True)
class PartSheet:
    """One part of the job file, being changed.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id, version : int
        The job, and the version the form started from.
    action : str
        Where the form is sent.
    back : str
        The sheet the part belongs to.
    back_name : str
        Its name.
    drawn : tuple of Drawn
        The fields.
    faults : tuple of Fault
        What must be mended before it can be saved.
    is_unsaved : bool
        Whether rows were added or removed and not yet saved.
    """

    frame: Frame
    job_id: int
    version: int
    action: str
    back: str
    back_name: str
    drawn: tuple[Drawn, ...]
    faults: tuple[Fault, ...]
    is_unsaved: bool


@router.get("/jobs/{job_id}/{stem}/{name}")
def show_part(desk: AtDesk, job_id: int, stem: str, name: str) -> Response:
    """The form of one part."""
    part = _part(stem, name)
    sheet = job_sheet(desk.db, job_id)
    return _page(desk, sheet, part, sheet.document)


@router.post("/jobs/{job_id}/{stem}/{name}")
def save_one_part(desk: AtDesk, form: Posted, job_id: int, stem: str, name: str) -> Response:
    """Save one part, or add or remove a row first."""
    part = _part(stem, name)
    sheet = job_sheet(desk.db, job_id)
    typed = _typed(part, sheet.document, form)
    version = number(form, "version")
    verb, _, place = str(form.get("do") or "").partition(":")
    if verb in ("add", "remove"):
        _change_rows(typed, part, verb, place)
        return _page(desk, sheet, part, typed, version=version, is_unsaved=True)
    try:
        save_part(desk.db, desk.staff, job_id, version, part.stem, typed[part.stem], desk.now)
    except InputErrors as wrong:
        return _page(desk, sheet, part, typed, version=version, wrong=wrong.errors)
    except StaleSave as stale:
        return show_stale(desk, stale, back=f"/jobs/{job_id}/{stem}/{name}")
    return go(f"/jobs/{job_id}/{_sheet_path(part)}?said=saved#part-{part.name}")


def _part(stem: str, name: str) -> Part:
    part = part_at(stem, name)
    if part is None:
        raise NotFound("part", f"{stem}/{name}")
    return part


def _sheet_path(part: Part) -> str:
    return "survey" if part.stem == "survey" else "plan"


def _typed(part: Part, document: dict[str, Any], form: FormData) -> dict[str, Any]:
    """The document with this part as it was typed; what was left blank is taken out."""
    values = read_asks(part.asks, form, part.stem)
    kept = {key: value for key, value in (document.get(part.stem) or {}).items() if key not in part.keys}
    return {**document, part.stem: {**kept, **values}}


def _change_rows(typed: dict[str, Any], part: Part, verb: str, place: str) -> None:
    """Add or remove the row at a place, if the place lies in this part."""
    if not any(place.startswith(f"{part.stem}.{key}") for key in part.keys):
        raise NotFound("row", place)
    typed[part.stem] = copy.deepcopy(typed[part.stem])
    if verb == "remove":
        remove_row(typed, place)
    else:
        add_row(typed, place)


def _page(
    desk: Desk,
    sheet: JobSheet,
    part: Part,
    document: dict[str, Any],
    *,
    version: int | None = None,
    wrong: Iterable[InputError] = (),
    is_unsaved: bool = False,
) -> Response:
    fields = named_fields(draw_part(part, document, {}))
    faults = [_fault(error, fields) for error in wrong]
    back = _sheet_path(part)
    frame = job_frame(desk, sheet, _NUMBERS[part.stem], title=part.title, is_wrong=bool(faults))
    context = PartSheet(
        frame=frame,
        job_id=sheet.id,
        version=version if version is not None else sheet.version,
        action=f"/jobs/{sheet.id}/{part.stem}/{part.name}",
        back=f"/jobs/{sheet.id}/{back}",
        back_name=back.capitalize(),
        drawn=draw_part(part, document, {path: fault.text for path, fault in faults}),
        faults=tuple(fault for _, fault in faults),
        is_unsaved=is_unsaved,
    )
    return render(desk.request, "pages/part.html", context, 422 if faults else 200)


def _fault(error: InputError, fields: Mapping[str, tuple[str, str]]) -> tuple[str, Fault]:
    """The path and the words of a fault; one that stands elsewhere in the job file names its place."""
    path = form_path(error.path)
    while path and path not in fields:
        path = path[: max(path.rfind("."), path.rfind("["), 0)]
    if not path:
        return error.path, Fault(f"{error.path}: {error.wanted}")
    field_id, name = fields[path]
    return path, Fault(f"{name}: {error.wanted}", field_id)
