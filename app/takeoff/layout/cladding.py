"""Feature walls unfolded: cladding courses over furring, cut round openings, niches lined."""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely

from app.job.choices import Board, Choices, Section
from app.job.job import Job
from app.job.plan import FeatureWall, Opening
from app.takeoff.layout.courses import balanced_across, clip_courses, cut_along, strips_over
from app.takeoff.layout.end_gaps import RunRule, run_rule
from app.takeoff.layout.faces import clad_face
from app.takeoff.layout.joints import joints_over_furring, row_offsets_mm
from app.takeoff.layout.outlines import Frame, Shapes, common, joined, less, rings_of
from app.takeoff.layout.pieces import Cuts, Place, drop_slivers, make_pieces, open_round_pipes
from app.takeoff.layout.records import Line, Piece, WallLayout
from app.takeoff.layout.wall_parts import (
    SMALL_PARTS,
    blocking_of,
    cap_across_mm,
    cap_developed_mm,
    cap_sheet_m2,
)

FLAT = Frame(0.0, 0.0, 0.0)


@dataclass(frozen=True)
class CladWall:
    """A feature wall and what the findings are made from.

    Attributes
    ----------
    layout : WallLayout
    pieces : tuple of Piece
        Courses from the bottom up, then the linings of openings, then the returns.
    joints_off_furring : int
        Joints for which no furring strip was in reach.
    dropped_mm2 : float
        Slivers left out. [mm2]
    """

    layout: WallLayout
    pieces: tuple[Piece, ...]
    joints_off_furring: int
    dropped_mm2: float


def wall_length_mm(wall: FeatureWall) -> float:
    """Give the length of a feature wall.

    Parameters
    ----------
    wall : FeatureWall
        Drawn as a line.

    Returns
    -------
    length_mm : float
        From start to end. [mm]

    References
    ----------
    Definition.
    """
    return math.dist(wall.start_mm, wall.end_mm)


def clad_wall(wall: FeatureWall, job: Job) -> CladWall:
    """Clad one feature wall.

    Parameters
    ----------
    wall : FeatureWall
        Line, height, materials, openings.
    job : Job
        Survey and choices.

    Returns
    -------
    clad : CladWall
        Horizontal courses, the first and the last ripped alike, joints over furring.

    References
    ----------
    Definition; joints over furring are common practice, no source.
    """
    board, furring, rule = _materials(wall, job)
    length_mm = wall_length_mm(wall)
    face = shapely.box(0.0, 0.0, length_mm, wall.height_mm)
    holes = [_opening_shape(opening) for opening in wall.openings]
    free = less(face, joined(holes))
    columns = furring_columns_mm(wall, length_mm, furring.width_mm)
    across = balanced_across(face, board.width_mm, wall.side_gap_mm)
    strips = strips_over(face, across, board.width_mm, wall.side_gap_mm)
    offsets = row_offsets_mm(length_mm, rule.limit_mm) if wall.joints == "staggered" else (0.0, 0.0)
    courses, off = _over_furring(clip_courses(strips, free), strips, columns, rule, offsets)
    kept, dropped = drop_slivers(open_round_pipes(courses, rule.least_gap_mm))
    place = Place(wall.id, wall.id, board.id, board.width_mm)
    pieces = make_pieces(place, (Cuts("cladding", FLAT, kept),))
    for opening in wall.openings:
        pieces += _lining(wall, opening, board, rule, len(pieces) + 1)
    pieces += _returns(wall, board, rule, len(pieces) + 1)
    blocking = tuple(line for opening in wall.openings for line in blocking_of(opening))
    strips_mm = (*_furring_lines(columns, wall.height_mm, free), *blocking)
    returns_mm = (wall.start_return_mm, wall.end_return_mm)
    cap_mm = length_mm + sum(returns_mm) if wall.has_cap else 0.0
    across_mm = cap_across_mm(wall, board, furring) if wall.has_cap else 0.0
    developed_mm = cap_developed_mm(across_mm, wall.cap_slope_pct) if wall.has_cap else 0.0
    through = joined([_opening_shape(o) for o in wall.openings if o.kind != "niche"])
    layout = WallLayout(
        wall=wall.id,
        length_mm=length_mm,
        height_mm=wall.height_mm,
        openings_mm=tuple(rings_of(hole)[0] for hole in holes),
        furring_mm=strips_mm,
        net_m2=(free.area + sum(returns_mm) * wall.height_mm) / 1e6,
        cap_mm=cap_mm,
        fabric_m2=less(face, through).area / 1e6 if wall.has_fabric else 0.0,
        blocking_mm=blocking,
        cap_across_mm=across_mm,
        cap_developed_mm=developed_mm,
        cap_m2=cap_sheet_m2(cap_mm, developed_mm),
        mass_kg=_mass_kg(pieces, strips_mm, board, furring),
        returns_mm=returns_mm,
    )
    return CladWall(layout, pieces, off, dropped)


def _materials(wall: FeatureWall, job: Job) -> tuple[Board, Section, RunRule]:
    """Give the cladding, the furring and what limits the runs."""
    choices: Choices = job.choices
    board = next(board for board in choices.boards if board.id == wall.cladding)
    furring = next(section for section in choices.sections if section.id == wall.furring)
    survey = job.survey
    rule = run_rule(board, survey.temperatures, survey.way_up, choices.cutting, None)
    return board, furring, replace(rule, limit_mm=max(rule.limit_mm, 2.0 * board.width_mm))


def _opening_shape(opening: Opening) -> shapely.Polygon:
    """Give an opening in the elevation."""
    return shapely.box(
        opening.x_mm, opening.z_mm, opening.x_mm + opening.width_mm, opening.z_mm + opening.height_mm
    )


def furring_columns_mm(wall: FeatureWall, length_mm: float, strip_mm: float) -> tuple[float, ...]:
    """Give the middles of the furring strips of a wall.

    Parameters
    ----------
    wall : FeatureWall
        Spacing and openings.
    length_mm : float
        Length of the wall. [mm]
    strip_mm : float
        Width of a strip. [mm]

    Returns
    -------
    columns_mm : tuple of float
        One at each end, one each side of every opening, and evenly between these at the spacing or less.
        [mm]

    References
    ----------
    Definition; a strip beside every opening is common practice, no source.
    """
    first, last = strip_mm / 2.0, max(length_mm - strip_mm / 2.0, strip_mm / 2.0)
    beside = [
        column
        for opening in wall.openings
        for column in (opening.x_mm - strip_mm / 2.0, opening.x_mm + opening.width_mm + strip_mm / 2.0)
        if first + strip_mm <= column <= last - strip_mm
    ]
    fixed = [first]
    for column in (*sorted(beside), last):
        if column - fixed[-1] >= strip_mm - 0.1:
            fixed.append(column)
    columns = [first]
    for left, right in pairwise(fixed):
        bays = max(1, math.ceil((right - left - 0.4) / wall.furring_spacing_mm))
        columns += [left + (right - left) * bay / bays for bay in range(1, bays + 1)]
    return tuple(columns)


def _furring_lines(columns: tuple[float, ...], height_mm: float, free: shapely.Geometry) -> tuple[Line, ...]:
    """Give the furring strips, interrupted by openings."""
    lines = shapely.linestrings([[(x, 0.0), (x, height_mm)] for x in columns])
    parts = shapely.get_parts(common(lines, free))
    ends = [shapely.get_coordinates(part).tolist() for part in parts if part.length > 1.0]
    return tuple(Line((e[0][0], e[0][1]), (e[-1][0], e[-1][1])) for e in ends)


def _mass_kg(pieces: tuple[Piece, ...], strips: tuple[Line, ...], board: Board, furring: Section) -> float:
    """Give about what the wall adds, with a tenth for small parts; cap, fabric and lights left out."""
    boards_m = sum(piece.length_mm * piece.width_mm / board.width_mm for piece in pieces) / 1e3
    strips_m = sum(math.dist(line.start_mm, line.end_mm) for line in strips) / 1e3
    return SMALL_PARTS * (boards_m * board.mass_kg_m + strips_m * furring.mass_kg_m)


def _returns(wall: FeatureWall, board: Board, rule: RunRule, first: int) -> tuple[Piece, ...]:
    """Turn the cladding round the ends of the wall, course by course as on its face."""
    pieces: tuple[Piece, ...] = ()
    for name, depth_mm in (("start", wall.start_return_mm), ("end", wall.end_return_mm)):
        place = Place(wall.id, f"{wall.id}-return-{name}", board.id, board.width_mm)
        pieces += clad_face(place, (depth_mm, wall.height_mm), wall.side_gap_mm, rule, first + len(pieces))
    return pieces


def _over_furring(
    shapes: Shapes,
    strips: Shapes,
    columns: tuple[float, ...],
    rule: RunRule,
    offsets_mm: tuple[float, float],
) -> tuple[Shapes, int]:
    """Cut courses that are too long, over furring; also count the joints that missed one."""
    cut: list[shapely.Polygon] = []
    missed = 0
    lows = shapely.bounds(strips)[:, 1]
    for shape in shapes:
        left, low, right, _ = shape.bounds
        row = int(np.searchsorted(lows, low + 0.01, side="right")) - 1
        joints, off = joints_over_furring(left, right, columns, rule, offsets_mm[row % 2])
        missed += off
        cut.extend(cut_along(shape, joints, rule.gap_mm(rule.limit_mm)) if joints else [shape])
    return np.array(cut, dtype=object), missed


def _lining(
    wall: FeatureWall, opening: Opening, board: Board, rule: RunRule, first: int
) -> tuple[Piece, ...]:
    """Line the sides of an opening through its depth, and the back of a niche."""
    if opening.depth_mm <= 0.0:
        return ()
    wide, high, deep = opening.width_mm, opening.height_mm, opening.depth_mm
    faces = [("left", high, deep), ("right", high, deep), ("head", wide, deep)]
    if opening.kind != "door":
        faces.append(("sill", wide, deep))
    if opening.kind == "niche":
        faces.append(("back", wide, high))
    pieces: tuple[Piece, ...] = ()
    for name, along_mm, across_mm in faces:
        plane = f"{wall.id}-{opening.id}-{name}"
        place = Place(wall.id, plane, board.id, board.width_mm)
        size = (along_mm, across_mm)
        pieces += clad_face(place, size, wall.side_gap_mm, rule, first + len(pieces))
    return pieces
