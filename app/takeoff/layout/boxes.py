"""What planters, benches and counters share: a frame of sticks and clad faces.

Seen from above, before turning::

             back
         +-----------+
    left |           | right     width
         +-----------+
             front
            length
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from app.job.choices import Board, Section
from app.job.job import Job
from app.job.plan import Box, Face
from app.takeoff.layout.end_gaps import RunRule, run_rule
from app.takeoff.layout.faces import clad_face
from app.takeoff.layout.pieces import Place
from app.takeoff.layout.records import Piece

# Posts and cross rails at most this far apart. Common practice, no source.
POST_SPACING_MM = 600.0
# Gap between boards of a clad face or a seat. Common practice, no source.
BOX_GAP_MM = 5.0


@dataclass(frozen=True, slots=True)
class Carcass:
    """The frame inside the cladding.

    Attributes
    ----------
    length_mm, width_mm, height_mm : float
        Its outer size. [mm]
    """

    length_mm: float
    width_mm: float
    height_mm: float


def box_board(board_id: str, job: Job) -> tuple[Board, RunRule]:
    """Give a board used on boxes and what limits its runs.

    Parameters
    ----------
    board_id : str
        Id in the choices.
    job : Job
        Temperatures, way up and choices.

    Returns
    -------
    board : Board
    rule : RunRule

    References
    ----------
    Definition.
    """
    board = next(board for board in job.choices.boards if board.id == board_id)
    survey = job.survey
    rule = run_rule(board, survey.temperatures, survey.way_up, job.choices.cutting, None)
    return board, replace(rule, limit_mm=max(rule.limit_mm, 2.0 * board.width_mm))


def carcass_of(box: Box, clad_faces: Iterable[Face], clad_mm: float, top_mm: float) -> Carcass:
    """Give the size of the frame inside the cladding and under the top.

    Parameters
    ----------
    box : Box
        Outer size.
    clad_faces : iterable of str
        Faces that carry cladding.
    clad_mm : float
        Thickness of the cladding. [mm]
    top_mm : float
        Thickness of seat or top; zero for a planter. [mm]

    Returns
    -------
    carcass : Carcass
        Never below zero.

    References
    ----------
    Definition.
    """
    faces = set(clad_faces)
    along = clad_mm * (("left" in faces) + ("right" in faces))
    across = clad_mm * (("front" in faces) + ("back" in faces))
    return Carcass(
        length_mm=max(box.length_mm - along, 0.0),
        width_mm=max(box.width_mm - across, 0.0),
        height_mm=max(box.height_mm - top_mm, 0.0),
    )


def bays(length_mm: float, spacing_mm: float = POST_SPACING_MM) -> int:
    """Give into how many bays posts divide a side.

    Parameters
    ----------
    length_mm : float
        Length of the side. [mm]
    spacing_mm : float
        Widest bay. [mm]

    Returns
    -------
    count : int
        At least one.

    Examples
    --------
    >>> bays(1200.0), bays(1201.0)
    (2, 3)

    References
    ----------
    Counting.
    """
    return max(1, math.ceil((length_mm - 0.4) / spacing_mm))


def frame_sticks(carcass: Carcass, section: Section) -> tuple[tuple[str, float], ...]:
    """Give the sticks of a box frame.

    Parameters
    ----------
    carcass : Carcass
        Outer size of the frame.
    section : Section
        The timber; its depth stands upright in rails, its width is seen in plan.

    Returns
    -------
    sticks : tuple of (str, float)
        Section id and length: two long rails below and two above; two short rails below and two above
        fitted between them, and one cross rail at every pair of middle posts of the long sides, which
        ties them and carries the seat or top; four corner posts and middle posts at 600 mm or less on
        all sides. [mm]

    References
    ----------
    Common practice, no source.
    """
    short_mm = carcass.width_mm - 2.0 * section.width_mm
    post_mm = carcass.height_mm - 2.0 * section.depth_mm
    long_bays, short_bays = bays(carcass.length_mm), bays(carcass.width_mm)
    posts = 4 + 2 * (long_bays - 1) + 2 * (short_bays - 1)
    wanted = ((4, carcass.length_mm), (4 + long_bays - 1, short_mm), (posts, post_mm))
    return tuple((section.id, length) for count, length in wanted for _ in range(count) if length > 1.0)


def clad_faces_of(
    box: Box,
    clad_faces: Iterable[Face],
    face_height_mm: float,
    board: Board,
    rule: RunRule,
    first: int = 1,
) -> tuple[tuple[Piece, ...], float]:
    """Clad the faces of a box, courses up the height, in the plane ``BOX-front`` and so on.

    Parameters
    ----------
    box : Box
        Outer size.
    clad_faces : iterable of str
        Faces to clad, in this order.
    face_height_mm : float
        Height of the cladding. [mm]
    board : Board
        The cladding.
    rule : RunRule
        Longest piece and the gap at its ends.
    first : int
        Number of the first piece.

    Returns
    -------
    pieces : tuple of Piece
        Front and back run over the corners, left and right fit between them.
    clad_m2 : float
        Area of the faces. [m2]

    References
    ----------
    Definition; which face covers the corner is common practice, no source.
    """
    faces = tuple(dict.fromkeys(clad_faces))
    between_mm = box.width_mm - board.thickness_mm * (("front" in faces) + ("back" in faces))
    pieces: tuple[Piece, ...] = ()
    area_mm2 = 0.0
    for face in faces:
        along_mm = box.length_mm if face in ("front", "back") else max(between_mm, 0.0)
        place = Place(box.id, f"{box.id}-{face}", board.id, board.width_mm)
        pieces += clad_face(place, (along_mm, face_height_mm), BOX_GAP_MM, rule, first + len(pieces))
        area_mm2 += along_mm * face_height_mm
    return pieces, area_mm2 / 1e6
