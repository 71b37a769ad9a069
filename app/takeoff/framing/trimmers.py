"""Trimmers: timber round a box that stays free, fixed to the sleepers on both sides of it."""

from collections.abc import Sequence
from dataclasses import replace

import shapely
from shapely import Polygon

from app.takeoff.framing.bars import Bar, bodies_of


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
    found: list[Bar] = []
    for island in islands:
        others = [other for other in islands if other is not island]
        found += [
            trimmer
            for bar in _round(island, [*bars, *found], width_mm)
            if (trimmer := _short_of(bar, others, island)) is not None
        ]
    return tuple(found)


def _short_of(bar: Bar, others: Sequence[Polygon], island: Polygon) -> Bar | None:
    """Give a trimmer cut short where another box that stays free is in its way."""
    zones = [other.buffer(bar.width_mm / 2, join_style="mitre") for other in others]
    kept = bar.line.difference(shapely.union_all(zones))
    lines = [part for part in getattr(kept, "geoms", (kept,)) if part.length > bar.width_mm]
    if not lines:
        return None
    line = min(lines, key=lambda part: float(part.distance(island.centroid)))
    return replace(bar, start=line.coords[0], end=line.coords[-1])


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
    if not bars:
        return found
    taken = bodies_of(bars)
    return [bar for bar in found if not (shapely.area(shapely.intersection(bar.body, taken)) > 1.0).any()]
