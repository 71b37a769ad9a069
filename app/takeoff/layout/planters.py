"""Planters: frame, lining, drainage layer, media, plants and cladding."""

import math

from app.job.choices import Board
from app.job.job import Job
from app.job.plan import Planter
from app.takeoff.layout.box_mass import weighed
from app.takeoff.layout.boxes import Carcass, box_board, carcass_of, clad_faces_of, frame_sticks
from app.takeoff.layout.end_gaps import RunRule
from app.takeoff.layout.faces import clad_face
from app.takeoff.layout.pieces import Place
from app.takeoff.layout.records import BoxLayout, Piece
from app.takeoff.roof.footprints import box_ring

# Between the boards of a planter's floor. Common practice, no source.
FLOOR_GAP_MM = 10.0


def plants_by_spacing(length_mm: float, width_mm: float, spacing_mm: float) -> int:
    """Give how many plants fit a rectangle.

    Parameters
    ----------
    length_mm, width_mm : float
        Inside of the planter. [mm]
    spacing_mm : float
        From plant to plant, half of it to the wall. [mm]

    Returns
    -------
    plants : int
        Rows times plants a row, at least one.

    Examples
    --------
    >>> plants_by_spacing(1200.0, 650.0, 300.0)
    8

    References
    ----------
    Counting.
    """
    along = max(1, math.floor((length_mm + 0.4) / spacing_mm))
    across = max(1, math.floor((width_mm + 0.4) / spacing_mm))
    return along * across


def build_planter(planter: Planter, job: Job) -> tuple[BoxLayout, tuple[Piece, ...]]:
    """Build a planter.

    Parameters
    ----------
    planter : Planter
        Size, wall, media, cladding, frame.
    job : Job
        Survey and choices.

    Returns
    -------
    layout : BoxLayout
        The lining covers the bottom and the four sides to the rim; the drainage layer the bottom.
    pieces : tuple of Piece
        Cladding, then the boards of its floor if it has one.

    References
    ----------
    Definition.
    """
    board, rule = box_board(planter.cladding, job)
    section = next(section for section in job.choices.sections if section.id == planter.frame)
    inside_l = max(planter.length_mm - 2.0 * planter.wall_mm, 0.0)
    inside_w = max(planter.width_mm - 2.0 * planter.wall_mm, 0.0)
    bottom_m2 = inside_l * inside_w / 1e6
    sides_m2 = 2.0 * (inside_l + inside_w) * planter.height_mm / 1e6
    carcass = carcass_of(planter, planter.clad_faces, board.thickness_mm, 0.0)
    pieces, clad_m2 = clad_faces_of(planter, planter.clad_faces, planter.height_mm, board, rule)
    if planter.has_floor:
        pieces += _floor(planter, carcass, board, rule, len(pieces) + 1)
    medium = next(medium for medium in job.choices.media if medium.id == planter.medium)
    layout = BoxLayout(
        box=planter.id,
        kind="planter",
        outline_mm=box_ring(planter),
        frame_mm=frame_sticks(carcass, section),
        liner_m2=bottom_m2 + sides_m2 if bottom_m2 > 0.0 else 0.0,
        drainage_m2=bottom_m2,
        media_m3=bottom_m2 * min(planter.media_depth_mm, planter.height_mm) / 1e3,
        plants=plants_by_spacing(inside_l, inside_w, planter.plant_spacing_mm) if bottom_m2 > 0.0 else 0,
        clad_m2=clad_m2,
        top_m2=0.0,
    )
    return weighed(layout, pieces, job, media_kg_m3=medium.saturated_kg_m3), pieces


def _floor(planter: Planter, carcass: Carcass, board: Board, rule: RunRule, first: int) -> tuple[Piece, ...]:
    """Lay boards on the lower rails, apart so that water drains between them."""
    place = Place(planter.id, f"{planter.id}-floor", board.id, board.width_mm)
    size = (carcass.length_mm, carcass.width_mm)
    return clad_face(place, size, FLOOR_GAP_MM, rule, first, role="floor")
