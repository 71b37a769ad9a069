"""Sleepers: across the courses, evenly spread between the bars that must be there."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from app.takeoff.framing.axes import as_parts
from app.takeoff.framing.bars import Bar, body_with_room
from app.takeoff.framing.regions import Region, room_for

_CROSSES_ROWS = 0.2  # sine of a slant that still counts as a bearing in the rows it crosses
_SHORTEST_MM = 100.0  # below this there is no room for a pad


def spread_mm(from_mm: float, to_mm: float, spacing_mm: float) -> tuple[float, ...]:
    """Give evenly spread places strictly between two ends.

    Parameters
    ----------
    from_mm, to_mm : float
        The two ends. [mm]
    spacing_mm : float
        Greatest distance between neighbours. [mm]

    Returns
    -------
    places_mm : tuple of float
        As few as keep the distance. [mm]

    Notes
    -----
    ⌈gap / spacing⌉ − 1 places; a gap that is a whole number of spacings but for rounding (1e-9) gains none.

    Examples
    --------
    >>> spread_mm(0.0, 1200.0, 400.0)
    (400.0, 800.0)
    >>> spread_mm(0.0, 400.0, 400.0)
    ()

    References
    ----------
    Definition.
    """
    gap = to_mm - from_mm
    count = math.ceil(gap / spacing_mm - 1e-9)
    return tuple(from_mm + gap * step / count for step in range(1, count))


def sleepers_of(region: Region, fixed: Sequence[Bar], width_mm: float, spacing_mm: float) -> tuple[Bar, ...]:
    """Give the sleepers of a field, between rims and joint bars.

    Parameters
    ----------
    region : Region
        The ground of the frame.
    fixed : sequence of Bar
        Rims and bars under joints, which stay where they are.
    width_mm : float
        Width of the section as laid. [mm]
    spacing_mm : float
        Greatest distance between centres. [mm]

    Returns
    -------
    sleepers : tuple of Bar
        Left to right, then bottom to top.

    Notes
    -----
    The first and last bars lie half a width inside the edges; between each two bars that run (nearly) the
    whole way across, the rest is spread evenly. A sleeper in the way of a bar that runs only part of the
    way is left out there, and comes back in the middle of the gap if the gap is wider than the spacing.
    Ends that would lie under a border alone are left out: the border bears on the rim and the joint bar.

    References
    ----------
    Common practice, no source.
    """
    joints = [body_with_room(bar, width_mm) for bar in fixed if bar.role == "breaker sleeper"]
    taken = shapely.union_all(joints)
    clear = room_for(region, [bar for bar in fixed if bar.role == "rim"], width_mm)
    found: list[Bar] = []
    for part in region.area.geoms:
        room = as_parts(part.buffer(-width_mm, join_style="mitre"))
        free = as_parts(room.intersection(clear).difference(taken))
        lines = _lines_across(part, room, fixed, width_mm)
        mine: list[Bar] = []
        for left, right in pairwise(lines):
            mine += cut_to(free, spread_mm(left, right, spacing_mm), width_mm)
        found += mine + _in_wide_gaps(room, free, [*fixed, *mine], width_mm, spacing_mm)
    if region.has_border and not region.inner.is_empty:
        found = [bar for bar in found if bar.line.intersection(region.inner).length > 1.0]
    return tuple(sorted(found, key=lambda bar: (bar.start, bar.end)))


def cut_to(free: BaseGeometry, places_mm: Sequence[float], width_mm: float) -> list[Bar]:
    """Give the sleepers on some lines, cut to where they may lie.

    Parameters
    ----------
    free : shapely geometry
        Where centre lines may run, in local axes.
    places_mm : sequence of float
        The lines. [mm]
    width_mm : float
        Width of the section as laid. [mm]

    Returns
    -------
    sleepers : list of Bar
        Line by line, bottom to top; at a slanting edge cut at the longest point.

    References
    ----------
    Geometry.
    """
    if free.is_empty or not places_mm:
        return []
    _, low, _, high = free.bounds
    lines = shapely.linestrings([((x_mm, low - 1), (x_mm, high + 1)) for x_mm in places_mm])
    ends: list[tuple[float, float, float]] = []
    for x_mm, line in zip(places_mm, shapely.intersection(lines, free), strict=True):
        for piece in getattr(line, "geoms", (line,)):
            if isinstance(piece, LineString) and piece.length >= max(width_mm, _SHORTEST_MM):
                bottom, top = sorted(float(y) for _, y in piece.coords)[:: len(piece.coords) - 1]
                ends.append((x_mm, bottom, top))
    return [
        Bar("sleeper", (x_mm, bottom), (x_mm, top), width_mm, extra_mm=extra_mm)
        for (x_mm, bottom, top), extra_mm in zip(ends, _slants(free, ends, width_mm), strict=True)
    ]


def _slants(free: BaseGeometry, ends: Sequence[tuple[float, float, float]], width_mm: float) -> list[float]:
    """Give what slanting ends add to the centre line of each sleeper, told by its line and both its ends."""
    if not ends:
        return []
    half = width_mm / 2
    x_mm, bottom, top = np.array(ends).T
    bodies = shapely.box(x_mm - half, bottom - 4 * half, x_mm + half, top + 4 * half)
    return [_slant(strip, *end) for strip, end in zip(shapely.intersection(bodies, free), ends, strict=True)]


def _slant(strip: BaseGeometry, x_mm: float, bottom: float, top: float) -> float:
    """Give what slanting ends add to a sleeper's centre line, from the free ground about it."""
    middle = shapely.Point(x_mm, (bottom + top) / 2)
    mine = [part for part in as_parts(strip).geoms if part.distance(middle) < 1e-6]
    if not mine:
        return 0.0
    _, low, _, high = mine[0].bounds
    return float(round(max(0.0, bottom - low) + max(0.0, high - top), 3))


def _lines_across(part: Polygon, room: MultiPolygon, fixed: Iterable[Bar], width_mm: float) -> list[float]:
    """Give where bars run (nearly) the whole way across a field, from left to right."""
    left, low, right, high = part.bounds
    lines = {round(left + width_mm / 2, 3), round(right - width_mm / 2, 3)}
    for bar in fixed:
        x_mm = bar.start[0]
        if abs(bar.direction[0]) > 1e-4 or not left < x_mm < right:
            continue
        across = LineString([(x_mm, low), (x_mm, high)]).intersection(room).length
        if bar.role == "breaker sleeper" and bar.centre_mm > 0.8 * across:
            lines.add(round(x_mm, 3))
    return sorted(lines)


def _in_wide_gaps(
    room: MultiPolygon, free: MultiPolygon, bars: Sequence[Bar], width_mm: float, spacing_mm: float
) -> list[Bar]:
    """Give sleepers for rows where bars in the way have left a gap wider than the spacing."""
    found: list[Bar] = []
    along = [bar for bar in bars if abs(bar.direction[1]) > _CROSSES_ROWS]
    ends = sorted({round(y, 1) for bar in along for y in (bar.start[1], bar.end[1])})
    for low, high in pairwise(ends):
        if high - low < max(width_mm, _SHORTEST_MM):
            continue
        middle = (low + high) / 2
        places = sorted((x, _slack(bar)) for bar in [*along, *found] for x in _crosses(bar, middle))
        for (left, left_mm), (right, right_mm) in pairwise(places):
            if right - left <= spacing_mm + 0.5 + max(left_mm, right_mm):
                continue
            if _is_open(room, left, right, middle):
                strip = free.intersection(box(left, low, right, high))
                found += cut_to(strip, spread_mm(left, right, spacing_mm), width_mm)
    return [replace(bar, extra_mm=0.0) for bar in found]


def _slack(bar: Bar) -> float:
    """Give what a gap beside a slanting bar may be wider: no sleeper finds room in the point it leaves."""
    return bar.width_mm if abs(bar.direction[0]) > 1e-3 else 0.0


def _crosses(bar: Bar, y_mm: float) -> list[float]:
    """Give where a bar crosses a row, if it does."""
    (x0, y0), (x1, y1) = sorted((bar.start, bar.end), key=lambda end: end[1])
    if not y0 <= y_mm <= y1 or y1 - y0 < 1e-6:
        return []
    return [x0 + (x1 - x0) * (y_mm - y0) / (y1 - y0)]


def _is_open(room: MultiPolygon, left: float, right: float, y_mm: float) -> bool:
    """Say whether boards lie all the way between two places of a row."""
    inset = 0.45 * (right - left)
    return bool(room.covers(LineString([(left + inset, y_mm), (right - inset, y_mm)])))
