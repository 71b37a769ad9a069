"""Sheet 3, Walls: every clad wall unfolded, board by board."""

from dataclasses import dataclass

from fastapi import APIRouter, Response
from markupsafe import Markup

from app.actions.takeoff import work_out
from app.job.findings import Finding
from app.takeoff.layout.records import BedLayout, BoxLayout, Piece, WallLayout
from app.web import drawings
from app.web.page import render
from app.web.sheets import Frame, job_frame
from app.web.visit import AtDesk

router = APIRouter()


@dataclass(frozen=True, slots=True)
class WallPieces:
    """The boards of one plane that are cut alike."""

    plane: str
    profile: str
    role: str
    length_mm: float
    width_mm: float
    count: int


@dataclass(frozen=True, slots=True)
class WallsSheet:
    """Walls and clad faces.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    units : str
        imperial or metric.
    svgs : tuple of (str, Markup)
        Elevations by their id.
    walls : tuple of WallLayout
        Sizes, net areas, caps and weights.
    boxes, beds : tuple
        Planters, benches, counters, steps and stone beds as built.
    pieces : tuple of WallPieces
        Boards to cut, alike ones together.
    findings : tuple of Finding
        About the walls, boxes and beds.
    """

    frame: Frame
    units: str
    svgs: tuple[tuple[str, Markup], ...]
    walls: tuple[WallLayout, ...]
    boxes: tuple[BoxLayout, ...]
    beds: tuple[BedLayout, ...]
    pieces: tuple[WallPieces, ...]
    findings: tuple[Finding, ...]


@router.get("/jobs/{job_id}/walls")
def show_walls(desk: AtDesk, job_id: int) -> Response:
    """Sheet 3."""
    worked = work_out(desk.db, job_id, desk.today)
    takeoff = worked.answer.takeoff
    layout = takeoff.layout
    named = {wall.wall for wall in layout.walls} | {bed.bed for bed in layout.beds}
    named |= {box.box for box in layout.boxes}
    sheet = WallsSheet(
        frame=job_frame(desk, worked.sheet, 3),
        units=worked.sheet.job.units,
        svgs=drawings.walls(worked),
        walls=takeoff.layout.walls,
        boxes=takeoff.layout.boxes,
        beds=takeoff.layout.beds,
        pieces=_alike(takeoff.layout.pieces),
        findings=tuple(finding for finding in takeoff.findings if finding.place in named),
    )
    return render(desk.request, "pages/walls.html", sheet)


def _alike(pieces: tuple[Piece, ...]) -> tuple[WallPieces, ...]:
    """Boards off the plan, counted by plane, profile, role and size to the millimetre."""
    counts: dict[tuple[str, str, str, float, float], int] = {}
    for piece in pieces:
        if piece.plane != "plan":
            key = (piece.plane, piece.profile, piece.role, round(piece.length_mm), round(piece.width_mm))
            counts[key] = counts.get(key, 0) + 1
    return tuple(WallPieces(*key, count) for key, count in counts.items())
