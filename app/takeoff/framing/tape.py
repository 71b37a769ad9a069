"""Joist tape and connectors: what goes on and between the timber of a deck."""

from collections.abc import Sequence

import shapely

from app.takeoff.framing.bars import Bar, bodies_of

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
    if not bars:
        return 0
    tree = shapely.STRtree(bodies_of(bars))
    ends = shapely.points([end for bar in bars for end in (bar.start, bar.end)])
    near = tree.query(ends, predicate="dwithin", distance=_TOUCH_MM)
    joined = len(
        {
            int(end)
            for end, other in near.T
            if other != end // 2 and not _is_splice(bars[end // 2], bars[other])
        }
    )
    splices = len([bar for bar in bars if bar.run]) - len({bar.run for bar in bars if bar.run})
    return joined + splices


def _is_splice(bar: Bar, other: Bar) -> bool:
    """Say whether two bars are pieces of one."""
    return bool(bar.run) and bar.run == other.run
