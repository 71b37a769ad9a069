"""Blocking: short timber between a rim and the bar under a border's inner joint.

With two or more border courses the joint between two of them would lie on nothing.

        rim ║ border 1 │ border 2 ║ joint bar
            ╟──────────┼──────────╢  ← blocking, at the sleeper spacing
"""

import math
from collections.abc import Sequence

from shapely import LineString, Point

from app.takeoff.framing.bars import Bar
from app.takeoff.framing.breakers import Joint
from app.takeoff.framing.regions import Region
from app.takeoff.framing.sleepers import spread_mm

_LEAST_COURSES = 2
_FAR_MM = 2000.0


def blocking_of(
    joints: Sequence[Joint], region: Region, bars: Sequence[Bar], border_courses: int, spacing_mm: float
) -> tuple[Bar, ...]:
    """Give the blocking under a border that runs along the sleepers.

    Parameters
    ----------
    joints : sequence of Joint
        Inner edges of the border.
    region : Region
        The ground of the frame.
    bars : sequence of Bar
        Rims, joint bars, sleepers and trimmers; blocking is left out where one of them, or a keep-clear,
        lies.
    border_courses : int
        Courses of border; one alone bears on the rim and on the joint bar.
    spacing_mm : float
        Greatest distance between centres along the edge. [mm]

    Returns
    -------
    blocking : tuple of Bar
        From the face of the rim to the face of the joint bar, square to the edge.

    References
    ----------
    Common practice, no source.
    """
    if border_courses < _LEAST_COURSES or not bars:
        return ()
    found: list[Bar] = []
    for joint in joints:
        length = math.dist(joint.start, joint.end)
        width_mm = bars[0].width_mm
        for along in (width_mm, *spread_mm(width_mm, length - width_mm, spacing_mm), length - width_mm):
            block = _block(joint, along / length, region, bars)
            if block is None or block.body.intersection(region.keep_clear).area > 1:
                continue
            if not any(block.body.intersection(bar.body).area > 1 for bar in bars):
                found.append(block)
    return tuple(found)


def _block(joint: Joint, share: float, region: Region, bars: Sequence[Bar]) -> Bar | None:
    """Give one block at a share of the way along a joint, from rim to joint bar."""
    x = joint.start[0] + share * (joint.end[0] - joint.start[0])
    y = joint.start[1] + share * (joint.end[1] - joint.start[1])
    dx, dy = joint.inward
    width_mm = bars[0].width_mm
    outward = LineString([(x, y), (x - dx * _FAR_MM, y - dy * _FAR_MM)]).intersection(region.area.boundary)
    if outward.is_empty:
        return None
    edge_mm = outward.distance(Point(x, y))
    faces = [
        bar.body.distance(Point(x - dx * (edge_mm - width_mm), y - dy * (edge_mm - width_mm)))
        for bar in bars
        if bar.role == "breaker sleeper"
    ]
    clear_mm = min(faces, default=0.0)
    if clear_mm < width_mm:
        return None
    from_mm, to_mm = edge_mm - width_mm, edge_mm - width_mm - clear_mm
    return Bar(
        "blocking",
        (x - dx * from_mm, y - dy * from_mm),
        (x - dx * to_mm, y - dy * to_mm),
        width_mm,
        is_primary=False,
    )
