"""Trimmers: timber round a box that stays free, fixed to the sleepers on both sides of it."""

from collections.abc import Sequence

from shapely import Polygon

from app.takeoff.framing.bars import Bar


def trimmers_of(islands: Sequence[Polygon], bars: Sequence[Bar], width_mm: float) -> tuple[Bar, ...]:
    """Give the trimmers round every box inside a field.

    Parameters
    ----------
    islands : sequence of Polygon
        Boxes to stay free, in local axes.
    bars : sequence of Bar
        Rims, joint bars and sleepers, already cut back from the boxes.
    width_mm : float
        Width of the section as laid. [mm]

    Returns
    -------
    trimmers : tuple of Bar
        Two along the courses, from sleeper to sleeper, that carry the cut sleepers and the box's own
        sides; and one along each side of the box. None where a rim or a sleeper lies already.

    References
    ----------
    Common practice, no source.
    """
    return tuple(trimmer for island in islands for trimmer in _round(island, bars, width_mm))


def _round(island: Polygon, bars: Sequence[Bar], width_mm: float) -> list[Bar]:
    """Give the trimmers round one box."""
    left, low, right, high = island.bounds
    half = width_mm / 2
    beside = [
        bar.start[0]
        for bar in bars
        if abs(bar.direction[0]) < 1e-4
        and min(bar.start[1], bar.end[1]) <= low + 1
        and max(bar.start[1], bar.end[1]) >= high - 1
    ]
    west = max((x for x in beside if x <= left - half + 0.1), default=left - width_mm - half)
    east = min((x for x in beside if x >= right + half - 0.1), default=right + width_mm + half)
    found = [
        Bar("trimmer", (west + half, y), (east - half, y), width_mm, is_primary=False)
        for y in (low - half, high + half)
    ]
    if left - (west + half) > width_mm:
        found.append(Bar("trimmer", (left - half, low), (left - half, high), width_mm, is_primary=False))
    if (east - half) - right > width_mm:
        found.append(Bar("trimmer", (right + half, low), (right + half, high), width_mm, is_primary=False))
    taken = [bar.body for bar in bars]
    return [bar for bar in found if not any(bar.body.intersection(body).area > 1.0 for body in taken)]
