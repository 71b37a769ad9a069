"""Between the sleepers: no run lies along a piece of timber, so that lanes beside it are opened."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from app.job.choices import Section
from app.takeoff.framing.records import Stick
from app.takeoff.roughin.grid import SQUARE_MM, Floats, Grid
from app.takeoff.roughin.records import Path
from app.takeoff.roughin.trench import UNDER_DECK

Corner = tuple[float, float]

CLEAR_MM = 10.0  # from the side of a sleeper to the middle of a run beside it; common practice, no source
MOST_ASIDE = 4.0  # half widths, past a piece doubled, that a thing is met from
ROUNDS = 3  # a lane that falls on the next piece of timber is moved on, at most so often
LEAST_MM = 1.0  # shorter overlaps are where a run ends on a piece, not along it


def half_widths_mm(sticks: Sequence[Stick], sections: Sequence[Section]) -> Floats:
    """Give how far from its centre line the middle of a run beside each stick lies.

    Parameters
    ----------
    sticks : sequence of Stick
        All of the framing; furring and box frames are left out.
    sections : sequence of Section
        Of the choices.

    Returns
    -------
    half_mm : array
        One for each row of `stick_lines`: half the section's width and 10 mm. [mm]

    References
    ----------
    Common practice, no source.
    """
    widths: Mapping[str, float] = {section.id: section.width_mm for section in sections}
    kept = [widths.get(stick.section, 0.0) / 2 + CLEAR_MM for stick in sticks if stick.role in UNDER_DECK]
    return np.array(kept, dtype=np.float64)


def _strips(sticks_mm: Floats, half_mm: Floats, axis: int) -> Floats:
    """Give the sticks that lie along a line of constant coordinate: place, half width, from, to."""
    return _strips_and_places(sticks_mm, half_mm, axis)[0]


def _strips_and_places(sticks_mm: Floats, half_mm: Floats, axis: int) -> tuple[Floats, Floats]:
    """Give the strips, and each place and half width among them once."""
    sticks, half = (np.asarray(part, dtype=np.float64).tobytes() for part in (sticks_mm, half_mm))
    return _kept_strips(sticks, half, axis)


@lru_cache(maxsize=256)
def _kept_strips(sticks: bytes, half: bytes, axis: int) -> tuple[Floats, Floats]:
    """Give both from bytes, which can be remembered by: all circuits ask for the same ones."""
    sticks_mm, half_mm = np.frombuffer(sticks).reshape(-1, 4), np.frombuffer(half)
    along = np.abs(sticks_mm[:, axis] - sticks_mm[:, axis + 2]) < SQUARE_MM
    rows = sticks_mm[along]
    ends = rows[:, 1 - axis :: 2]
    low, high = np.minimum(ends[:, 0], ends[:, 1]), np.maximum(ends[:, 0], ends[:, 1])
    strips = np.column_stack([rows[:, axis], half_mm[along], low, high])
    places = np.array(sorted({*map(tuple, strips[:, :2].tolist())})).reshape(-1, 2)
    strips.flags.writeable = places.flags.writeable = False
    return strips, places


def lanes_mm(lines_mm: Floats, sticks_mm: Floats, half_mm: Floats, axis: int) -> Floats:
    """Give the lines beside the sticks that some lines would lie along.

    Parameters
    ----------
    lines_mm : array
        Coordinates of the lines of one direction. [mm]
    sticks_mm : array
        Centre lines in turned axes, one row (x, y, x, y) each. [mm]
    half_mm : array
        From each centre line to the lanes beside it. [mm]
    axis : int
        0 for lines of constant x, 1 for lines of constant y.

    Returns
    -------
    lanes_mm : array
        Coordinates to add. [mm]

    Examples
    --------
    >>> stick = np.array([[100.0, 0.0, 100.0, 900.0]])
    >>> lanes_mm(np.array([90.0, 400.0]), stick, np.array([29.0]), 0)
    array([ 71., 129.])

    References
    ----------
    Definition.
    """
    _, places = _strips_and_places(sticks_mm, half_mm, axis)
    found: set[float] = set()
    new = np.asarray(lines_mm, dtype=np.float64)
    for _ in range(ROUNDS):
        near = np.abs(new[:, None] - places[None, :, 0]) < places[None, :, 1] - CLEAR_MM / 2
        hit = places[near.any(axis=0)]
        fresh = {*(hit[:, 0] - hit[:, 1]).tolist(), *(hit[:, 0] + hit[:, 1]).tolist()} - found
        if not fresh:
            break
        found |= fresh
        new = np.array(sorted(fresh))
    return np.array(sorted(found))


def _shut(along_mm: Floats, across_mm: Floats, strips: Floats) -> NDArray[np.bool_]:
    """Say which steps along one set of lines lie on a stick."""
    place, half, start, stop = strips.T[:, :, None]
    near = np.abs(across_mm - place) < half - CLEAR_MM / 2
    kept = near.any(axis=1)
    overlap = np.minimum(along_mm[1:], stop[kept]) - np.maximum(along_mm[:-1], start[kept])
    # Counts of strips, small enough to be exact.
    lying = (overlap > LEAST_MM).T.astype(np.float32) @ near[kept].astype(np.float32)
    shut: NDArray[np.bool_] = lying > 0
    return shut


def beside(
    spot_mm: Corner, sticks_mm: Floats, half_mm: Floats, boarded: BaseGeometry | None = None
) -> Corner:
    """Give where a run meets a thing that stands over a stick: outside the deck, or on the nearer side.

    Parameters
    ----------
    spot_mm : tuple of float
        Of the thing, in turned axes. [mm]
    sticks_mm : array
        Centre lines in turned axes, one row (x, y, x, y) each. [mm]
    half_mm : array
        From each centre line to the lanes beside it. [mm]
    boarded : shapely geometry or None
        What lies under boards, in turned axes; the side that does not is taken first.

    Returns
    -------
    spot_mm : tuple of float
        The same where it stands over nothing, or where both sides are taken. [mm]

    Examples
    --------
    >>> beside((110.0, 50.0), np.array([[100.0, 0.0, 100.0, 900.0]]), np.array([29.0]))
    (129.0, 50.0)

    References
    ----------
    Common practice, no source.
    """
    spot = list(spot_mm)
    for axis in (0, 1):
        strips = _strips(sticks_mm, half_mm, axis)
        other = spot[1 - axis]
        here = strips[(strips[:, 2] - strips[:, 1] < other) & (other < strips[:, 3] + strips[:, 1])]

        def is_free(place: float, here: Floats = here) -> bool:
            return not bool((np.abs(here[:, 0] - place) < here[:, 1] - CLEAR_MM / 2).any())

        if is_free(spot[axis]):
            continue
        sides = np.concatenate([here[:, 0] - here[:, 1], here[:, 0] + here[:, 1]])
        near = sides[np.abs(sides - spot_mm[axis]) < MOST_ASIDE * here[:, 1].max()]
        free = [float(side) for side in near if is_free(float(side))]
        spots = [(side, other) if axis == 0 else (other, side) for side in free]
        under = [boarded is not None and bool(boarded.intersects(Point(one))) for one in spots]
        away = [round(abs(side - spot_mm[axis]), 3) for side in free]
        best = min(zip(under, away, free, strict=True), default=(False, 0.0, spot_mm[axis]))
        spot[axis] = round(best[2], 3)
    return spot[0], spot[1]


def between_sticks(grid: Grid, sticks_mm: Floats, half_mm: Floats) -> Grid:
    """Give the grid with every step shut that would lie along a stick; crossings stay open.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    sticks_mm : array
        Centre lines in turned axes, one row (x, y, x, y) each. [mm]
    half_mm : array
        From each centre line to the lanes beside it. [mm]

    Returns
    -------
    grid : Grid

    References
    ----------
    Definition.
    """
    if not len(sticks_mm):
        return grid
    shut_x = _shut(grid.xs_mm, grid.ys_mm, _strips(sticks_mm, half_mm, 1))
    shut_y = _shut(grid.ys_mm, grid.xs_mm, _strips(sticks_mm, half_mm, 0)).T
    return replace(
        grid,
        step_x_mm=np.where(shut_x, np.inf, grid.step_x_mm),
        step_y_mm=np.where(shut_y, np.inf, grid.step_y_mm),
    )


def thinned(grid: Grid, points_mm: Sequence[Corner]) -> Grid:
    """Give the grid without the lines that no run can follow anywhere.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    points_mm : sequence of tuple of float
        Places whose lines stay, in turned axes. [mm]

    Returns
    -------
    grid : Grid
        Steps on either side of a line taken out are joined; without burdens.

    References
    ----------
    Definition.
    """
    nodes = [grid.node(point) for point in points_mm]
    open_x = np.flatnonzero(np.isfinite(grid.step_y_mm).any(axis=1))
    open_y = np.flatnonzero(np.isfinite(grid.step_x_mm).any(axis=0))
    xs = np.array(sorted({0, *(i for i, _ in nodes), *open_x.tolist(), len(grid.xs_mm) - 1}))
    ys = np.array(sorted({0, *(j for _, j in nodes), *open_y.tolist(), len(grid.ys_mm) - 1}))
    return Grid(
        xs_mm=grid.xs_mm[xs],
        ys_mm=grid.ys_mm[ys],
        step_x_mm=np.add.reduceat(grid.step_x_mm, xs[:-1], axis=0)[:, ys],
        step_y_mm=np.add.reduceat(grid.step_y_mm, ys[:-1], axis=1)[xs],
    )


def along_sticks(paths: Sequence[Path], sticks_mm: Floats, half_mm: Floats) -> tuple[float, Corner | None]:
    """Give the length over which runs lie along sticks all the same, and where that begins.

    Parameters
    ----------
    paths : sequence of Path
        In turned axes.
    sticks_mm : array
        Centre lines in turned axes, one row (x, y, x, y) each. [mm]
    half_mm : array
        From each centre line to the lanes beside it. [mm]

    Returns
    -------
    along_mm : float
        Each run by itself. [mm]
    at_mm : tuple of float or None
        Beginning of the first such stretch, in turned axes. [mm]

    References
    ----------
    Definition.
    """
    strips = (_strips(sticks_mm, half_mm, 0), _strips(sticks_mm, half_mm, 1))
    total, first = 0.0, None
    for path in paths:
        for a, b in pairwise(path):
            axis = 0 if a[0] == b[0] else 1
            low, high = min(a[1 - axis], b[1 - axis]), max(a[1 - axis], b[1 - axis])
            rows = strips[axis]
            near = rows[np.abs(rows[:, 0] - a[axis]) < rows[:, 1] - CLEAR_MM / 2]
            lengths = np.minimum(near[:, 3], high) - np.maximum(near[:, 2], low)
            if len(lengths) and float(lengths.max()) > LEAST_MM:
                total += float(lengths[lengths > LEAST_MM].sum())
                first = first or a
    return total, first
