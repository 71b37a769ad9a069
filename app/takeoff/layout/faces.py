"""A plain rectangular face clad with courses along it."""

import numpy as np
import shapely

from app.takeoff.layout.courses import pieces_along
from app.takeoff.layout.end_gaps import RunRule
from app.takeoff.layout.outlines import Frame, Shapes
from app.takeoff.layout.pieces import Cuts, Place, drop_slivers, make_pieces
from app.takeoff.layout.records import Piece, Role
from app.takeoff.layout.rips import boards_across


def face_courses(size_mm: tuple[float, float], board_mm: float, gap_mm: float, rule: RunRule) -> Shapes:
    """Give the courses of a face, from the bottom up.

    Parameters
    ----------
    size_mm : tuple of float
        Along the courses and across them. [mm]
    board_mm : float
        Width of the board. [mm]
    gap_mm : float
        Gap between courses. [mm]
    rule : RunRule
        Longest piece and the gap at its ends.

    Returns
    -------
    shapes : array of shapely.Polygon
        The first and the last ripped alike; runs that are too long split evenly.

    References
    ----------
    Definition.
    """
    along_mm, across_mm = size_mm
    if along_mm <= 0.0 or across_mm <= 0.0:
        return np.array([], dtype=object)
    across = boards_across(across_mm, board_mm, gap_mm)
    pitch_mm, joint_mm = board_mm + gap_mm, rule.gap_mm(min(along_mm, rule.limit_mm))
    lows = across.edge_mm - board_mm + pitch_mm * np.arange(across.count)
    pieces = pieces_along(along_mm, rule.limit_mm, joint_mm)
    each_mm = (along_mm + joint_mm) / pieces
    lefts = np.tile(each_mm * np.arange(pieces), across.count)
    bottoms, tops = np.clip(np.stack((lows, lows + board_mm)), 0.0, across_mm).repeat(pieces, axis=1)
    shapes: Shapes = shapely.box(lefts, bottoms, lefts + each_mm - joint_mm, tops)
    return shapes


def clad_face(
    place: Place,
    size_mm: tuple[float, float],
    gap_mm: float,
    rule: RunRule,
    first: int,
    role: Role = "cladding",
) -> tuple[Piece, ...]:
    """Give the pieces of a face in its own plane, x along the courses from the lower left corner.

    Parameters
    ----------
    place : Place
        What they have in common.
    size_mm : tuple of float
        Along the courses and across them. [mm]
    gap_mm : float
        Gap between courses. [mm]
    rule : RunRule
        Longest piece and the gap at its ends.
    first : int
        Number of the first piece.
    role : str
        What they do.

    Returns
    -------
    pieces : tuple of Piece
        From the bottom up.

    References
    ----------
    Definition.
    """
    shapes, _ = drop_slivers(face_courses(size_mm, place.board_mm, gap_mm, rule))
    return make_pieces(place, (Cuts(role, Frame(0.0, 0.0, 0.0), shapes),), first)
