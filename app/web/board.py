"""The drawing board: the roof and the plan drawn by pointer, touch, keyboard or typed lengths."""

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Body, Response
from fastapi.responses import JSONResponse

from app.actions.board import board, look, materials_of, save_board, with_materials
from app.actions.jobs import job_sheet
from app.actions.underlays import underlay_of
from app.job.errors import InputErrors
from app.job.walk import read_walk, spread_error
from app.measure.errors import InputError
from app.measure.show import format_length
from app.web import drawings
from app.web.board_fields import fields_json, read_rows, read_values
from app.web.board_look import look_json
from app.web.page import render
from app.web.sheets import Frame, job_frame
from app.web.underlays import underlay_json
from app.web.visit import AtDesk

router = APIRouter()
_Body = Body()


@dataclass(frozen=True, slots=True)
class BoardSheet:
    """The page around the drawing; the drawing itself is made in the browser from the job file.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    job_id : int
        The job that is drawn.
    """

    frame: Frame
    job_id: int


@router.get("/jobs/{job_id}/board")
def show_board(desk: AtDesk, job_id: int) -> Response:
    """The board, empty until its script has read the job."""
    sheet = job_sheet(desk.db, job_id)
    context = BoardSheet(job_frame(desk, sheet, 2, title="Drawing board"), job_id)
    return render(desk.request, "pages/board.html", context)


@router.get("/api/jobs/{job_id}/board")
def show_board_json(desk: AtDesk, job_id: int) -> Response:
    """The job in base units, its version, and what each kind of thing can be told."""
    opened = board(desk.db, job_id)
    return JSONResponse(
        {
            "id": opened.job_id,
            "version": opened.version,
            "state": opened.state,
            "document": opened.document,
            "kinds": fields_json(),
            "picture": underlay_json(job_id, underlay_of(desk.db, job_id)),
            "materials": [{"id": key, "name": name} for key, name in with_materials(desk.db, job_id)],
        }
    )


@router.post("/api/jobs/{job_id}/board/look")
def show_look(desk: AtDesk, job_id: int, body: dict[str, Any] = _Body) -> Response:
    """What a drawing not saved yet comes to: ``{"document": {...}}``."""
    return JSONResponse(look_json(look(desk.db, job_id, _document(body), desk.today)))


@router.put("/api/jobs/{job_id}/board")
def save_board_json(desk: AtDesk, job_id: int, body: dict[str, Any] = _Body) -> Response:
    """Save what was drawn: ``{"version": 3, "document": {...}}``; 409 with both when somebody saved first."""
    version = body.get("version")
    if not isinstance(version, int) or isinstance(version, bool):
        wanted = "Give the version you started from, a whole number."
        raise InputErrors((InputError("version", version, wanted),))
    saved = save_board(desk.db, desk.staff, job_id, version, _document(body), desk.now)
    return JSONResponse({"version": saved})


@router.post("/api/jobs/{job_id}/board/read")
def read_typed(desk: AtDesk, job_id: int, body: dict[str, Any] = _Body) -> Response:
    """Read typed values: of one kind (``{"place": …, "values": {…}}``) or rows of lengths and angles."""
    if "rows" in body:
        rows, columns = body["rows"], body.get("columns")
        if not _is_table(rows) or not isinstance(columns, list):
            raise InputErrors((InputError("rows", None, "Give rows and columns as lists."),))
        return JSONResponse({"rows": read_rows(columns, rows)})
    values = body.get("values")
    if not isinstance(values, dict):
        raise InputErrors((InputError("values", values, "Give the values as an object."),))
    return JSONResponse({"values": read_values(str(body.get("place")), values)})


@router.post("/api/jobs/{job_id}/board/walk")
def read_a_walk(desk: AtDesk, job_id: int, body: dict[str, Any] = _Body) -> Response:
    """Read a walk: its corners, by how much it does not close, and the corners once that is spread."""
    start = read_rows(("mm", "mm"), [body.get("start") or (0, 0)])[0]
    if len(start) != 2:
        raise InputErrors((InputError("start", body.get("start"), "Give x and y of the start."),))
    walk = read_walk(str(body.get("text") or ""), (start[0], start[1]))
    units = str(job_sheet(desk.db, job_id).job.units)
    return JSONResponse(
        {
            "corners": [[round(x, 1), round(y, 1)] for x, y in walk.corners_mm],
            "is_closed": walk.is_closed,
            "closing": walk.closing_mm,
            "closing_text": format_length(walk.closing_mm, units),
            "error": list(walk.error_mm),
            "of_way": walk.closing_mm / sum(walk.legs_mm),
            "spread": [list(corner) for corner in spread_error(walk)],
        }
    )


@router.post("/api/jobs/{job_id}/board/wall")
def show_a_wall(desk: AtDesk, job_id: int, body: dict[str, Any] = _Body) -> Response:
    """A feature wall of an unsaved drawing folded up: ``{"document": {…}, "wall": "id"}``."""
    worked = look(desk.db, job_id, _document(body), desk.today)
    folded = dict(drawings.walls(worked))
    wall = str(body.get("wall") or "")
    if wall not in folded:
        raise InputErrors((InputError("wall", wall, "There is no such feature wall on the drawing."),))
    return JSONResponse({"svg": folded[wall]})


@router.get("/api/jobs/{job_id}/board/materials/{other_id}")
def show_materials(desk: AtDesk, job_id: int, other_id: int) -> Response:
    """The materials of another job, to be taken over."""
    return JSONResponse(materials_of(desk.db, other_id))


def _document(body: dict[str, Any]) -> dict[str, Any]:
    document = body.get("document")
    if not isinstance(document, dict):
        raise InputErrors((InputError("document", None, "Give the job file as an object."),))
    return document


def _is_table(rows: Any) -> bool:
    return isinstance(rows, list) and all(isinstance(row, list) for row in rows)
