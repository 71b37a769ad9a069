"""Border courses: boards round the edge of a field, mitred or butted at every corner."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from app.takeoff.layout.courses import cut_along, split_evenly
from app.takeoff.layout.end_gaps import RunRule
from app.takeoff.layout.joints import joints_over_furring
from app.takeoff.layout.outlines import (
    Floats,
    Frame,
    Shapes,
    common,
    less,
    polygons_of,
    without_straight_corners,
)
from app.takeoff.layout.pieces import SLIVER_AREA_MM2, Cuts, drop_slivers, open_round_pipes

# Round a reflex corner sharper than this (a notch narrower than 58°) the offset is cut off square, since
# the mitre would run out more than two boards; the next border course then runs along that cut.
MITRE_LIMIT = 2.05
# Cuts reach this far past both sides of a border course, so that no thread of area is left.
REACH_MM = 2.0
Corner = Literal["mitred", "butted"]


@dataclass(frozen=True)
class _Side:
    """One side of a border course: its outer edge, with the boards on its left."""

    start: Floats
    end: Floats
    along: Floats
    left: Floats


@dataclass(frozen=True)
class Border:
    """The border courses of a field.

    Attributes
    ----------
    cuts : tuple of Cuts
        One for each side of each course, from the outside in.
    inner : shapely.Geometry
        What is left inside for the courses. [mm]
    dropped_mm2 : float
        Slivers left out. [mm2]
    """

    cuts: tuple[Cuts, ...]
    inner: shapely.Geometry
    dropped_mm2: float


def inset(area: shapely.Geometry, by_mm: float) -> shapely.Geometry:
    """Draw an area in on all sides, corners kept sharp.

    Parameters
    ----------
    area : shapely.Geometry
        Polygons with or without holes.
    by_mm : float
        How far. [mm]

    Returns
    -------
    inner : shapely.Geometry
        May be empty.

    References
    ----------
    Definition.
    """
    return shapely.buffer(area, -by_mm, join_style="mitre", mitre_limit=MITRE_LIMIT)


def inside_border(
    drawn: shapely.Polygon, clear: shapely.Geometry, courses: int, pitch_mm: float
) -> shapely.Geometry:
    """Give what is left for the courses inside a border.

    Parameters
    ----------
    drawn : shapely.Polygon
        The field as drawn, on plan.
    clear : shapely.Geometry
        Kept free of boards.
    courses : int
        Border courses.
    pitch_mm : float
        Board and side gap. [mm]

    Returns
    -------
    inner : shapely.Geometry
        May be empty.

    References
    ----------
    Definition.
    """
    inside: shapely.Geometry = drawn
    for _ in range(courses):
        inside = inset(inside, pitch_mm)
    return less(inside, clear)


def border_courses(
    drawn: shapely.Polygon,
    clear: shapely.Geometry,
    courses: int,
    board_mm: float,
    side_gap_mm: float,
    corner: Corner,
    rule: RunRule,
    joint_lines: Sequence[shapely.LineString] = (),
) -> Border:
    """Lay border courses round a field and its holes.

    Parameters
    ----------
    drawn : shapely.Polygon
        The field as drawn, on plan.
    clear : shapely.Geometry
        Kept free of boards; cut out of the pieces, but no border runs round it.
    courses : int
        Border courses.
    board_mm : float
        Width of the board. [mm]
    side_gap_mm : float
        Gap between border courses, and between them and the courses inside. [mm]
    corner : str
        ``mitred`` or ``butted``.
    rule : RunRule
        Longest piece and the gap at its ends.
    joint_lines : sequence of shapely.LineString
        Lines of breaker boards or joints inside, on plan; a border that must be joined is joined in line
        with them where that keeps within the limit.

    Returns
    -------
    border : Border
        Pieces and what is left inside.

    Notes
    -----
    Each border course is the area between an outline and the same drawn in by b; the next one starts
    at the outline drawn in by b + g. It is cut at every corner, along the line that halves the angle or
    square to one board; where a corner is too short or too sharp for a butt it is mitred.

    References
    ----------
    Definition; border courses are common practice, no source.
    """
    pitch_mm = board_mm + side_gap_mm
    cuts: list[Cuts] = []
    dropped = 0.0
    inside: shapely.Geometry = drawn
    for _ in range(courses):
        for part in polygons_of(inside):
            outer = shapely.orient_polygons(part)
            band = less(outer, inset(outer, board_mm))
            sides = _sides(outer)
            gap_mm = rule.gap_mm(min(max((_length(side) for side in sides), default=0.0), rule.limit_mm))
            shares, left_open = _faces_by_side(band, sides, board_mm, corner, gap_mm)
            dropped += left_open
            for side, faces in zip(sides, shares, strict=True):
                cut, lost = _side_cuts(side, faces, clear, gap_mm, rule, joint_lines)
                cuts.append(cut)
                dropped += lost
        inside = inset(inside, pitch_mm)
    return Border(tuple(cuts), less(inside, clear), dropped)


def _length(side: _Side) -> float:
    """Give the length of a side's outer edge."""
    return float(np.hypot(*(side.end - side.start)))


def _sides(outer: shapely.Polygon) -> list[_Side]:
    """Give the sides of all rings, each ring in its own direction, the material on the left."""
    sides = []
    for ring in (outer.exterior, *outer.interiors):
        corners = without_straight_corners(shapely.get_coordinates(ring)[:-1])
        ahead = np.roll(corners, -1, axis=0)
        for start, end in zip(corners, ahead, strict=True):
            along = (end - start) / np.hypot(*(end - start))
            sides.append(_Side(start, end, along, np.array([-along[1], along[0]])))
    return sides


def _faces_by_side(
    band: shapely.Geometry, sides: list[_Side], board_mm: float, corner: Corner, gap_mm: float
) -> tuple[list[Shapes], float]:
    """Cut a border course at its corners; give each side its share, and the area that none can cover."""
    ending_at = {tuple(side.end.tolist()): side for side in sides}
    lines = [
        _corner_cut(ending_at[tuple(side.start.tolist())], side, board_mm, corner, gap_mm) for side in sides
    ]
    cuts = [line for line in lines if line is not None]
    zones = shapely.buffer(shapely.MultiLineString(cuts), max(gap_mm, 0.02) / 2.0, cap_style="flat")
    faces = polygons_of(less(band, zones))
    shares: list[list[shapely.Polygon]] = [[] for _ in sides]
    left_open = 0.0
    for face, nearest_first in zip(faces, _sides_of_faces(faces, sides), strict=True):
        rest = face
        for number in nearest_first:
            # What lies beyond the board's width, where a side is too short for its mitres to part it from
            # the next, cannot be cut from it and goes to the next side.
            strip = _strip(sides[number], board_mm)
            shares[number].extend(polygons_of(common(rest, strip)))
            rest = less(rest, shapely.buffer(strip, gap_mm, join_style="mitre"))
            if rest.area < SLIVER_AREA_MM2:
                break
        left_open += float(rest.area)
    return [np.array(share, dtype=object) for share in shares], left_open


def _sides_of_faces(faces: Shapes, sides: list[_Side]) -> list[list[int]]:
    """Give for each face the sides it lies along, the one it shares most with first."""
    edges = shapely.linestrings(np.array([[side.start, side.end] for side in sides]))
    touched = shapely.buffer(faces, 0.5)
    found: list[list[tuple[float, int]]] = [[] for _ in faces]
    pairs = shapely.STRtree(touched).query(edges, "intersects").T
    shared = shapely.length(shapely.intersection(edges[pairs[:, 0]], touched[pairs[:, 1]]))
    for (side, face), length in zip(pairs.tolist(), shared.tolist(), strict=True):
        found[face].append((-length, side))
    middles = shapely.point_on_surface(faces)
    return [
        [side for _, side in sorted(sides_found)]
        or np.argsort(shapely.distance(edges, middle), kind="stable")[:3].tolist()
        for sides_found, middle in zip(found, middles, strict=True)
    ]


def _strip(side: _Side, board_mm: float) -> shapely.Polygon:
    """Give the board of a side, carried on past both its ends."""
    far = side.along * (10.0 * board_mm + _length(side))
    inner = side.left * board_mm
    return shapely.Polygon(
        [side.start - far, side.end + far, side.end + far + inner, side.start - far + inner]
    )


def _corner_cut(
    before: _Side, after: _Side, board_mm: float, corner: Corner, gap_mm: float
) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Give the line along which the boards of two sides meet, or None where they fold back."""
    point = after.start
    dot = float(before.left @ after.left)
    if 1.0 + dot < 1e-3:
        return None
    inner = point + board_mm * (before.left + after.left) / (1.0 + dot)
    toward = (inner - point) / np.hypot(*(inner - point))
    cross = float(before.along[0] * after.along[1] - before.along[1] * after.along[0])
    # In a sharp point the boards meet before their inner lines do.
    most_mm = min(_length(before), _length(after)) if cross > 0.0 else MITRE_LIMIT * board_mm
    start, end = point, point + toward * min(float(np.hypot(*(inner - point))), most_mm)
    if corner == "butted" and abs(cross) > 0.2:
        # At a corner the side before runs through; the next butts against its inner line. At a
        # reflex corner it runs through too, and the next butts against its outer line.
        offset = board_mm / abs(cross)
        butt = point + after.along * offset if cross > 0.0 else point + before.along * offset
        if cross > 0.0 and offset < _length(after):
            start, end = butt, inner
        elif cross < 0.0:
            end = butt
    toward = (end - start) / np.hypot(*(end - start))
    # The sharper the corner, the farther on the gap still meets the boards beside it.
    reach_mm = REACH_MM + min(gap_mm / 2.0 * abs(cross) / (1.0 + dot), board_mm / 2.0)
    first, last = start - reach_mm * toward, end + reach_mm * toward
    return (float(first[0]), float(first[1])), (float(last[0]), float(last[1]))


def _side_cuts(
    side: _Side,
    faces: Shapes,
    clear: shapely.Geometry,
    gap_mm: float,
    rule: RunRule,
    joint_lines: Sequence[shapely.LineString],
) -> tuple[Cuts, float]:
    """Cut the share of one side to length, along its own axis."""
    angle_deg = float(np.degrees(np.arctan2(side.along[1], side.along[0])))
    frame = Frame(float(side.start[0]), float(side.start[1]), angle_deg)
    pieces: list[shapely.Polygon] = []
    marks = _marks(side, frame, joint_lines)
    if len(faces):
        for face in frame.into(faces):
            pieces.extend(_split(face, marks, gap_mm, rule))
    shapes: Shapes = np.array(pieces, dtype=object)
    if len(shapes) and not shapely.is_empty(clear):
        shapes = polygons_of(less(shapes, frame.into(clear)))
    shapes, dropped = drop_slivers(open_round_pipes(shapes, gap_mm))
    return Cuts("border", frame, shapes), dropped


def _marks(side: _Side, frame: Frame, joint_lines: Sequence[shapely.LineString]) -> tuple[float, ...]:
    """Give where lines of joints, carried on, meet a side: along it from its start."""
    found = []
    for line in joint_lines:
        (x0, y0), (x1, y1) = shapely.get_coordinates(frame.into(line)).tolist()
        rise = y1 - y0
        if abs(rise) > abs(x1 - x0):  # lines nearer to the side's own direction do not cross it
            found.append(x0 - y0 * (x1 - x0) / rise)
    return tuple(sorted(found))


def _split(face: shapely.Polygon, marks: tuple[float, ...], gap_mm: float, rule: RunRule) -> Shapes:
    """Cut a border board to length: at the marks where they serve, else evenly."""
    left, _, right, _ = face.bounds
    within = tuple(mark for mark in marks if left + rule.least_gap_mm < mark < right - rule.least_gap_mm)
    if right - left <= rule.limit_mm + 0.05 or not within:
        return split_evenly(face, rule.limit_mm, gap_mm)
    joints, missed = joints_over_furring(left, right, within, rule)
    if missed:
        return split_evenly(face, rule.limit_mm, gap_mm)
    return cut_along(face, joints, gap_mm)
