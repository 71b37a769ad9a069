"""Courses: boards side by side, clipped to the area they fill."""

import math
from collections.abc import Sequence

import numpy as np
import shapely

from app.takeoff.layout.outlines import (
    GRID_MM,
    GRID_PLACES,
    Floats,
    Shapes,
    common,
    joined,
    less,
    polygons_of,
)
from app.takeoff.layout.rips import Across, boards_across


def balanced_across(area: shapely.Geometry, board_mm: float, gap_mm: float) -> Across:
    """Give the courses that fill an area, with the first and the last ripped alike.

    Parameters
    ----------
    area : shapely.Geometry
        In a frame whose x axis runs along the courses; not empty.
    board_mm : float
        Width of a full board. [mm]
    gap_mm : float
        Gap between courses. [mm]

    Returns
    -------
    across : Across
        By the extent of the area across the courses.

    References
    ----------
    Definition.
    """
    _, low, _, high = area.bounds
    return boards_across(high - low, board_mm, gap_mm)


def strips_over(area: shapely.Geometry, across: Across, board_mm: float, gap_mm: float) -> Shapes:
    """Give the full strips in which the courses of an area lie.

    Parameters
    ----------
    area : shapely.Geometry
        In a frame whose x axis runs along the courses; not empty.
    across : Across
        Courses that fill it.
    board_mm : float
        Width of a full board. [mm]
    gap_mm : float
        Gap between courses. [mm]

    Returns
    -------
    strips : array of shapely.Polygon
        One rectangle of full board width a course, from the lowest up; the first and the last reach
        beyond the area by what is ripped off.

    References
    ----------
    Definition.
    """
    left, low, right, high = area.bounds
    pitch_mm = board_mm + gap_mm
    # Centred: exact when balanced, and what an exact fit is over or short is shared by both sides.
    first = (low + high) / 2.0 - (across.count * pitch_mm - gap_mm) / 2.0
    starts = first + pitch_mm * np.arange(across.count)
    lows, highs = np.round(starts, GRID_PLACES), np.round(starts + board_mm, GRID_PLACES)
    strips: Shapes = shapely.box(left - 1.0, lows, right + 1.0, highs)
    return strips


def clip_courses(strips: Shapes, area: shapely.Geometry) -> Shapes:
    """Give what lies of each strip within an area.

    Parameters
    ----------
    strips : array of shapely.Polygon
        One a course.
    area : shapely.Geometry
        What the courses fill, less breaker boards and their gaps.

    Returns
    -------
    shapes : array of shapely.Polygon
        In laying order: course by course, along each.

    References
    ----------
    Definition.
    """
    # Strips and area both on the grid, edges that should be in one line are exactly so, and the plain
    # overlay (several times faster than one that rounds as it goes) cannot go astray there.
    on_grid = shapely.set_precision(area, GRID_MM)
    parts, course = shapely.get_parts(shapely.intersection(strips, on_grid), return_index=True)
    # A strip that touches the area at a corner leaves points and lines, alone or beside its polygons.
    is_polygon = (shapely.get_type_id(parts) == 3) & ~shapely.is_empty(parts)
    shapes, course = parts[is_polygon], course[is_polygon]
    if not len(shapes):
        return polygons_of(shapes)
    order = np.lexsort((shapely.bounds(shapes)[:, 0], course))
    ordered: Shapes = shapes[order]
    return ordered


def spans_along(shapes: Shapes) -> Floats:
    """Give where each shape begins and ends along the courses.

    Parameters
    ----------
    shapes : array of shapely.Polygon
        In a frame whose x axis runs along the courses.

    Returns
    -------
    spans_mm : array
        From and to, one row each. [mm]

    References
    ----------
    Definition.
    """
    spans: Floats = shapely.bounds(shapes)[:, [0, 2]]
    return spans


def shrink_along(area: shapely.Geometry, by_mm: float) -> shapely.Geometry:
    """Draw an area in along the courses only, to leave a gap at the board ends.

    Parameters
    ----------
    area : shapely.Geometry
        In a frame whose x axis runs along the courses.
    by_mm : float
        How far each end is drawn in; zero or less changes nothing. [mm]

    Returns
    -------
    area : shapely.Geometry
        What stays inside itself when moved either way along the courses by that much.

    References
    ----------
    Definition (erosion by a straight segment, for openings wider than the segment).
    """
    if by_mm <= 0.0:
        return area
    moved = (
        shapely.transform(area, lambda places, s=step: np.add(places, (s, 0.0))) for step in (by_mm, -by_mm)
    )
    for other in moved:
        area = common(area, other)
    return joined(polygons_of(area))


def cut_along(shape: shapely.Polygon, at_mm: Sequence[float], gap_mm: float) -> Shapes:
    """Cut a shape square across at places along the courses.

    Parameters
    ----------
    shape : shapely.Polygon
        In a frame whose x axis runs along the courses.
    at_mm : sequence of float
        Middle of each cut. [mm]
    gap_mm : float
        Gap at each cut. [mm]

    Returns
    -------
    shapes : array of shapely.Polygon
        From left to right.

    References
    ----------
    Definition.
    """
    _, low, _, high = shape.bounds
    half_mm = gap_mm / 2.0
    zones = [shapely.box(x - half_mm, low - 1.0, x + half_mm, high + 1.0) for x in at_mm]
    parts = polygons_of(less(shape, joined(zones)))
    ordered: Shapes = parts[np.argsort(shapely.bounds(parts)[:, 0], kind="stable")]
    return ordered


def pieces_along(length_mm: float, limit_mm: float, gap_mm: float) -> int:
    """Give into how many equal pieces a length is cut.

    Parameters
    ----------
    length_mm : float
        Length to fill. [mm]
    limit_mm : float
        Longest piece. [mm]
    gap_mm : float
        Gap at each joint. [mm]

    Returns
    -------
    count : int
        The fewest that stay within the limit; a twentieth of a millimetre over is not over.

    Examples
    --------
    >>> pieces_along(3600.0, 3600.0, 3.0), pieces_along(3601.0, 3600.0, 3.0)
    (1, 2)

    References
    ----------
    Counting.
    """
    return max(1, math.ceil((length_mm + gap_mm - 0.05) / (limit_mm + gap_mm)))


def split_evenly(shape: shapely.Polygon, limit_mm: float, gap_mm: float) -> Shapes:
    """Cut a shape along the courses into equal lengths within a limit.

    Parameters
    ----------
    shape : shapely.Polygon
        In a frame whose x axis runs along the courses.
    limit_mm : float
        Longest piece. [mm]
    gap_mm : float
        Gap at each joint. [mm]

    Returns
    -------
    shapes : array of shapely.Polygon
        The fewest that stay within the limit, from left to right.

    References
    ----------
    Definition.
    """
    left, _, right, _ = shape.bounds
    count = pieces_along(right - left, limit_mm, gap_mm)
    if count <= 1:
        return np.array([shape], dtype=object)
    each_mm = (right - left + gap_mm) / count
    return cut_along(shape, [left + each_mm * k - gap_mm / 2.0 for k in range(1, count)], gap_mm)
