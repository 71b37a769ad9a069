"""Joist tape and connectors: what goes on and between the timber of a deck."""

from collections.abc import Sequence

import shapely
from shapely import Point

from app.takeoff.framing.bars import Bar

_TOUCH_MM = 3.0


def tape_mm(bars: Sequence[Bar]) -> float:
    """Give the length of tape on the tops of all timber of a field.

    Parameters
    ----------
    bars : sequence of Bar
        Everything under its boards.

    Returns
    -------
    length_mm : float
        Net, without laps. [mm]

    References
    ----------
    Definition.
    """
    return sum(bar.centre_mm + bar.extra_mm for bar in bars)


def connectors_of(bars: Sequence[Bar]) -> int:
    """Give the frame connectors of a field.

    Parameters
    ----------
    bars : sequence of Bar
        Everything under its boards.

    Returns
    -------
    connectors : int
        One where an end of a bar meets the side of another, one at every splice.

    References
    ----------
    Common practice, no source; the connector's maker decides.
    """
    bodies = [bar.body for bar in bars]
    tree = shapely.STRtree(bodies)
    joined = 0
    for index, bar in enumerate(bars):
        for end in (bar.start, bar.end):
            near = [int(other) for other in tree.query(Point(end).buffer(_TOUCH_MM), predicate="intersects")]
            joined += any(other != index and not _is_splice(bar, bars[other]) for other in near)
    splices = len([bar for bar in bars if bar.run]) - len({bar.run for bar in bars if bar.run})
    return joined + splices


def _is_splice(bar: Bar, other: Bar) -> bool:
    """Say whether two bars are pieces of one."""
    return bool(bar.run) and bar.run == other.run
