"""Timber under the joints: where courses end at a breaker board, or at the inner edge of a border.

Every board end needs its own bearing. A section wide enough gets one bar, centred on the joint; a
narrower one gets two, side by side with a gap between for water.

      board end ▐ gap ▌ breaker board          ▐▌ = the joint
        ██████  ·  ██████                      a bar under each side
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely
from shapely import LineString, MultiPolygon, Point

from app.takeoff.framing.axes import as_parts
from app.takeoff.framing.bars import Bar, body_with_room
from app.takeoff.framing.regions import Region, room_for

LEAST_BEARING_MM = 38.0  # of a board end: common practice, no source
PAIR_GAP_MM = 10.0  # between two bars under one joint, for water: common practice, no source
_FAR_MM = 1000.0  # further than any border is wide
_ALONG_COURSES = math.sin(math.radians(10.0))  # an inner edge flatter than this bears on the sleepers
_SHORTEST_EDGE_MM = 300.0  # shorter inner edges go round a keep-clear and bear on its trimmers


@dataclass(frozen=True, slots=True)
class Joint:
    """A line on which board ends meet, in local axes.

    Attributes
    ----------
    start, end : tuple of float
        The line, in millimetres.
    inward : tuple of float
        Unit vector across it, away from the edge of the field (for a breaker: towards greater x).
    is_at_border : bool
        Whether a rim lies on its outer side.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    inward: tuple[float, float]
    is_at_border: bool


def needs_two(width_mm: float, gap_mm: float) -> bool:
    """Say whether one bar is too narrow to carry two board ends.

    Parameters
    ----------
    width_mm : float
        Width of the section as laid. [mm]
    gap_mm : float
        Gap between the two board ends. [mm]

    Returns
    -------
    needs_two : bool

    Examples
    --------
    >>> needs_two(38.0, 5.0), needs_two(89.0, 5.0)
    (True, False)

    References
    ----------
    Common practice, no source.
    """
    return (width_mm - gap_mm) / 2 < LEAST_BEARING_MM


def breaker_joints(
    lines: Iterable[tuple[tuple[float, float], tuple[float, float]]],
    board_mm: float,
    gap_mm: float,
    width_mm: float,
) -> tuple[Joint, ...]:
    """Give the joints on both sides of every breaker board.

    Parameters
    ----------
    lines : iterable of two corners
        Centre lines of the breaker boards, in local axes.
    board_mm : float
        Width of the breaker board. [mm]
    gap_mm : float
        Gap at each board end. [mm]
    width_mm : float
        Width of the sleepers; two joints closer than this are held apart by it. [mm]

    Returns
    -------
    joints : tuple of Joint

    References
    ----------
    Definition.
    """
    bars_mm = 2 * width_mm + PAIR_GAP_MM if needs_two(width_mm, gap_mm) else width_mm
    half = max((board_mm + gap_mm) / 2, bars_mm / 2)
    return tuple(
        Joint(
            (start[0] + side * half, start[1]), (end[0] + side * half, end[1]), (1.0, 0.0), is_at_border=False
        )
        for start, end in lines
        for side in (-1.0, 1.0)
    )


def butt_joints(
    lines: Iterable[tuple[tuple[float, float], tuple[float, float]]],
) -> tuple[Joint, ...]:
    """Give the joints where board ends meet over a sleeper, with no breaker board between them.

    Parameters
    ----------
    lines : iterable of two corners
        In local axes.

    Returns
    -------
    joints : tuple of Joint

    References
    ----------
    Definition.
    """
    return tuple(Joint(start, end, (1.0, 0.0), is_at_border=False) for start, end in lines)


def border_joints(region: Region) -> tuple[Joint, ...]:
    """Give the joints along the inner edge of a border, where course ends meet it.

    Parameters
    ----------
    region : Region
        The ground of the frame.

    Returns
    -------
    joints : tuple of Joint
        None for edges along the courses: there the border lies across the sleepers.

    References
    ----------
    Common practice, no source.
    """
    if not region.has_border:
        return ()
    found = []
    for part in region.inner.geoms:
        oriented = shapely.orient_polygons(part)
        for ring in (oriented.exterior, *oriented.interiors):
            corners = [(float(x), float(y)) for x, y in ring.coords]
            found += [_joint(start, end) for start, end in pairwise(corners)]
    return tuple(joint for joint in found if joint is not None and not _is_at_island(joint, region))


def _joint(start: tuple[float, float], end: tuple[float, float]) -> Joint | None:
    """Give the joint on one inner edge, walked with the courses on its left."""
    length = math.dist(start, end)
    if length < _SHORTEST_EDGE_MM:
        return None
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    if abs(uy) < _ALONG_COURSES:
        return None
    return Joint(start, end, (-uy, ux), is_at_border=True)


def _is_at_island(joint: Joint, region: Region) -> bool:
    """Say whether a joint only goes round a box that trimmers frame anyway."""
    line = LineString([joint.start, joint.end])
    return any(
        island.distance(line) < 2 * _SHORTEST_EDGE_MM / 3 and line.length < 1000 for island in region.islands
    )


def bars_under(
    joints: Iterable[Joint], region: Region, rims: Sequence[Bar], width_mm: float, gap_mm: float
) -> tuple[Bar, ...]:
    """Give the bars that carry the board ends at every joint.

    Parameters
    ----------
    joints : iterable of Joint
        Of borders, then of breakers.
    region : Region
        The ground of the frame.
    rims : sequence of Bar
        Round its edges.
    width_mm : float
        Width of the section as laid. [mm]
    gap_mm : float
        Gap at each board end. [mm]

    Returns
    -------
    bars : tuple of Bar
        Clear of the rims and of each other; two under one joint share a pair number.

    References
    ----------
    Common practice, no source.
    """
    clear = as_parts(room_for(region, rims, width_mm))
    half = (width_mm + PAIR_GAP_MM) / 2
    shifts = (-half, half) if needs_two(width_mm, gap_mm) else (0.0,)
    found: list[Bar] = []
    for number, joint in enumerate(joints, start=1):
        free = as_parts(clear.difference(shapely.union_all([body_with_room(bar, width_mm) for bar in found])))
        line = _reaching(joint, region)
        for shift in shifts:
            bars = _beside(joint, line, _moved_in(joint, shift, region, width_mm), free, width_mm)
            found += [replace(bar, pair=number if len(shifts) == 2 else 0) for bar in bars]
    return tuple(found)


def _reaching(joint: Joint, region: Region) -> LineString:
    """Give a joint's line, lengthened through the border to the rims at both its ends."""
    (x0, y0), (x1, y1) = joint.start, joint.end
    length = math.dist(joint.start, joint.end)
    ux, uy = (x1 - x0) / length * _FAR_MM, (y1 - y0) / length * _FAR_MM
    ends = []
    for x, y, dx, dy in ((x0, y0, -ux, -uy), (x1, y1, ux, uy)):
        beyond = LineString([(x, y), (x + dx, y + dy)]).difference(region.inner)
        near = [part for part in getattr(beyond, "geoms", (beyond,)) if part.distance(Point(x, y)) < 1.0]
        past = near[0].length if near and not near[0].is_empty else 0.0
        ends.append((x + dx * past / _FAR_MM, y + dy * past / _FAR_MM))
    return LineString(ends)


def _moved_in(joint: Joint, shift: float, region: Region, width_mm: float) -> float | None:
    """Give how far inward a bar lies, more where a rim would be in the way; None where the rim does."""
    if not joint.is_at_border:
        return shift
    middle = Point((joint.start[0] + joint.end[0]) / 2, (joint.start[1] + joint.end[1]) / 2)
    from_edge = float(region.area.boundary.distance(middle))
    if from_edge + shift >= 1.5 * width_mm:
        return shift
    return None if shift < 0 else 1.5 * width_mm - from_edge


def _beside(
    joint: Joint, line: LineString, shift: float | None, free: MultiPolygon, width_mm: float
) -> list[Bar]:
    """Give the bars on one line beside a joint, where they may lie."""
    if shift is None:
        return []
    dx, dy = joint.inward[0] * shift, joint.inward[1] * shift
    kept = LineString([(x + dx, y + dy) for x, y in line.coords]).intersection(free)
    return [
        Bar("breaker sleeper", part.coords[0], part.coords[-1], width_mm)
        for part in getattr(kept, "geoms", (kept,))
        if isinstance(part, LineString) and part.length >= max(width_mm, 100.0)
    ]
