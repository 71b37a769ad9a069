"""The grid that runs follow: lines through every source, device and corner, and distances along them."""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from app.takeoff.roughin.obstacles import ROUNDING_DIGITS, FreeArea
from app.takeoff.roughin.sweep import Sweep
from app.takeoff.roughin.trench import Spans

Floats = NDArray[np.float64]
Node = tuple[int, int]
SQUARE_MM = 1.0  # a stick this much out of line still lies along the axis
BARE_WORTH = 0.1  # of a length beside runs to be kept apart, for one in the open; common practice, no source
TIE_MM = 1e-6  # two lengths this close are the same length
OFF_MM = 1e-4  # a crossing this far past the end of a stretch still lies on it


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """Crossings of the grid lines, with the length of each step or infinity where the way is shut.

    Attributes
    ----------
    xs_mm, ys_mm : array
        Coordinates of the lines, rising. [mm]
    step_x_mm : array
        From crossing (i, j) to (i + 1, j). [mm]
    step_y_mm : array
        From crossing (i, j) to (i, j + 1). [mm]
    busy_x_mm, busy_y_mm : array or None
        How much of each step lies beside runs that must be kept apart, or in the open; among equal ways
        the one with less of it is taken. [mm]
    holes_x, holes_y : array or None
        Sleepers that each step passes; among ways as far apart the one with fewer is taken.
    """

    xs_mm: Floats
    ys_mm: Floats
    step_x_mm: Floats
    step_y_mm: Floats
    busy_x_mm: Floats | None = None
    busy_y_mm: Floats | None = None
    holes_x: Floats | None = None
    holes_y: Floats | None = None

    @property
    def shape(self) -> tuple[int, int]:
        """Give the number of lines each way."""
        return len(self.xs_mm), len(self.ys_mm)

    def node(self, turned_mm: tuple[float, float]) -> Node:
        """Give the crossing at a point the grid was drawn through."""
        return (
            int(np.abs(self.xs_mm - turned_mm[0]).argmin()),
            int(np.abs(self.ys_mm - turned_mm[1]).argmin()),
        )

    def point_mm(self, node: Node) -> tuple[float, float]:
        """Give the place of a crossing, in turned axes."""
        return float(self.xs_mm[node[0]]), float(self.ys_mm[node[1]])

    def step_mm(self, node: Node, other: Node) -> float:
        """Give the length of the step between two neighbouring crossings."""
        low, high = min(node, other), max(node, other)
        return float(self.step_x_mm[low] if high[0] > low[0] else self.step_y_mm[low])

    def neighbours(self, node: Node) -> list[tuple[Node, int]]:
        """Give the crossings one open step away, each with its direction (0 along x, 1 along y)."""
        i, j = node
        nx, ny = self.shape
        found: list[tuple[Node, int]] = []
        if i > 0 and self.step_x_mm[i - 1, j] < math.inf:
            found.append(((i - 1, j), 0))
        if i + 1 < nx and self.step_x_mm[i, j] < math.inf:
            found.append(((i + 1, j), 0))
        if j > 0 and self.step_y_mm[i, j - 1] < math.inf:
            found.append(((i, j - 1), 1))
        if j + 1 < ny and self.step_y_mm[i, j] < math.inf:
            found.append(((i, j + 1), 1))
        return found


def _lines(values: Sequence[float]) -> Floats:
    """Give the rising coordinates without repeats."""
    # Sets, not arrays: a few hundred numbers are put in order sooner so.
    return np.array(sorted({*np.round(np.asarray(values, dtype=np.float64), ROUNDING_DIGITS).tolist()}))


def _steps(free: FreeArea, along: Floats, across: Floats, is_x: bool) -> Floats:
    """Give the steps along one set of parallel lines; a line is cut once by the whole free area."""
    steps = np.full((len(along) - 1, len(across)), np.inf)
    lengths, places = along[1:] - along[:-1], along.tolist()
    # A line has a stretch or two: looked up one by one they take less time than laid out as arrays.
    for number, found in enumerate(_stretches_mm(free, across, is_x)):
        for start, stop in found:
            first = bisect_left(places, start - OFF_MM)
            last = bisect_right(places, stop + OFF_MM) - 1
            if last > first:
                steps[first:last, number] = lengths[first:last]
    return steps


def _stretches_mm(free: FreeArea, places: Floats, is_x: bool) -> list[list[tuple[float, float]]]:
    """Give what of each line lies in the free area; many circuits ask for the same lines."""
    kept = free.stretches_mm
    keys = [(is_x, place) for place in places.tolist()]
    new = [key for key in keys if key not in kept]
    if new and not free.area.is_empty:
        left, low, right, high = free.area.bounds
        ends = np.empty((len(new), 2, 2))
        ends[:, 0, 0 if is_x else 1], ends[:, 1, 0 if is_x else 1] = (
            (left - 1.0, right + 1.0) if is_x else (low - 1.0, high + 1.0)
        )
        ends[:, :, 1 if is_x else 0] = np.array([place for _, place in new])[:, None]
        cut = shapely.intersection(shapely.linestrings(ends), free.area)
        parts, line = shapely.get_parts(cut, return_index=True)
        bounds = shapely.bounds(parts)[:, [0, 2] if is_x else [1, 3]]
        found: list[list[tuple[float, float]]] = [[] for _ in new]
        for number, (start, stop) in zip(line.tolist(), bounds.tolist(), strict=True):
            if start <= stop:  # a line past the area is cut to nothing, which has no bounds
                found[number].append((start, stop))
        kept.update(zip(new, found, strict=True))
    return [kept.get(key, []) for key in keys]


def _beside(along: Floats, across: Floats, axis: str, spans: Spans, apart_mm: float) -> Floats:
    """Give how much of each step along one set of lines lies nearer than allowed to some spans."""
    found = np.zeros((len(along) - 1, len(across)))
    for (other, at), stretches in spans.items():
        if other != axis:
            continue
        near = (np.abs(across - at) < apart_mm).nonzero()[0]
        for start, stop in stretches if len(near) else ():
            overlap = np.maximum(np.minimum(along[1:], stop) - np.maximum(along[:-1], start), 0.0)
            found[:, near] += overlap[:, None]
    return found


def _holes(along: Floats, across: Floats, sticks_mm: Floats, axis: int) -> Floats:
    """Give how many sticks square to one set of lines each step along them passes."""
    ends = sticks_mm[:, 1 - axis :: 2]
    step = np.searchsorted(along, sticks_mm[:, axis]) - 1
    is_square = np.abs(sticks_mm[:, axis] - sticks_mm[:, axis + 2]) < SQUARE_MM
    kept = is_square & (step >= 0) & (step < len(along) - 1)
    low, high = np.sort(ends[kept], axis=1).T[:, :, None]
    passed = ((across > low) & (across < high)).astype(np.float64)
    # Counts of sticks, small enough to be exact.
    holes: Floats = (step[kept] == np.arange(len(along) - 1)[:, None]).astype(np.float64) @ passed
    return holes


def _bare(grid: Grid, free: FreeArea, is_x: bool) -> Floats | float:
    """Give how much of each step along one set of lines lies in the open, by its middle."""
    if free.covered is None or free.covered.is_empty:
        return 0.0
    xs, ys = grid.xs_mm, grid.ys_mm
    if is_x:
        steps, xs = grid.step_x_mm, (xs[:-1] + xs[1:]) / 2
    else:
        steps, ys = grid.step_y_mm, (ys[:-1] + ys[1:]) / 2
    bare = np.where(np.isfinite(steps), steps, 0.0)
    rows, columns = bare.nonzero()
    shapely.prepare(free.covered)
    under = shapely.intersects_xy(free.covered, xs[rows], ys[columns])
    bare[rows[under], columns[under]] = 0.0
    return bare


def with_burden(grid: Grid, free: FreeArea, spans: Spans, apart_mm: float, sticks_mm: Floats) -> Grid:
    """Give the grid with what is to be kept apart from, what is bare, and what is in the way.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    free : FreeArea
        What covers the runs.
    spans : dict
        Stretches of other runs by line, as `spans_of` gives them.
    apart_mm : float
        Least distance that counts as apart. [mm]
    sticks_mm : array
        Centre lines under the boards in turned axes, one row (x, y, x, y) each. [mm]

    Returns
    -------
    grid : Grid
        The same steps and lengths.

    References
    ----------
    Definition.
    """
    return replace(
        grid,
        busy_x_mm=_beside(grid.xs_mm, grid.ys_mm, "y", spans, apart_mm)
        + BARE_WORTH * _bare(grid, free, is_x=True),
        busy_y_mm=_beside(grid.ys_mm, grid.xs_mm, "x", spans, apart_mm).T
        + BARE_WORTH * _bare(grid, free, is_x=False),
        holes_x=_holes(grid.xs_mm, grid.ys_mm, sticks_mm, 0),
        holes_y=_holes(grid.ys_mm, grid.xs_mm, sticks_mm, 1).T,
    )


def with_dear_steps(grid: Grid, spans: Spans, apart_mm: float, worth: float) -> Grid:
    """Give the grid on which steps beside some spans are as long as they are dear.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    spans : dict
        Stretches of other runs by line, as `spans_of` gives them.
    apart_mm : float
        Least distance that counts as apart. [mm]
    worth : float
        How many times a length beside them counts more.

    Returns
    -------
    grid : Grid
        The same crossings.

    References
    ----------
    Definition.
    """
    beside_x = _beside(grid.xs_mm, grid.ys_mm, "y", spans, apart_mm)
    beside_y = _beside(grid.ys_mm, grid.xs_mm, "x", spans, apart_mm).T
    return replace(
        grid,
        step_x_mm=grid.step_x_mm + worth * beside_x,
        step_y_mm=grid.step_y_mm + worth * beside_y,
    )


def grid_lines(
    free: FreeArea,
    points_mm: Sequence[tuple[float, float]],
    more_xs_mm: Sequence[float] = (),
    more_ys_mm: Sequence[float] = (),
) -> tuple[Floats, Floats]:
    """Give the lines through some points and all corners of the free area.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    points_mm : sequence of tuple of float
        Sources and devices, in turned axes. [mm]
    more_xs_mm, more_ys_mm : sequence of float
        Other lines to draw. [mm]

    Returns
    -------
    xs_mm, ys_mm : array
        Rising, without repeats. [mm]

    References
    ----------
    Definition.
    """
    xs = _lines([*free.xs_mm, *(x for x, _ in points_mm), *more_xs_mm])
    return xs, _lines([*free.ys_mm, *(y for _, y in points_mm), *more_ys_mm])


def draw_on(free: FreeArea, xs_mm: Floats, ys_mm: Floats) -> Grid:
    """Give the grid of some lines.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    xs_mm, ys_mm : array
        Rising, without repeats. [mm]

    Returns
    -------
    grid : Grid

    References
    ----------
    Definition.
    """
    return Grid(
        xs_mm=xs_mm,
        ys_mm=ys_mm,
        step_x_mm=_steps(free, xs_mm, ys_mm, is_x=True),
        step_y_mm=_steps(free, ys_mm, xs_mm, is_x=False).T,
    )


def draw_grid(free: FreeArea, points_mm: Sequence[tuple[float, float]]) -> Grid:
    """Give the grid through some points and all corners of the free area.

    Parameters
    ----------
    free : FreeArea
        Where runs may lie.
    points_mm : sequence of tuple of float
        Sources and devices, in turned axes. [mm]

    Returns
    -------
    grid : Grid

    Notes
    -----
    Among obstacles with sides along the axes a shortest orthogonal way lies on this grid.

    References
    ----------
    M. Hanan, On Steiner's problem with rectilinear distance, SIAM J. Appl. Math. 14 (1966).
    """
    return draw_on(free, *grid_lines(free, points_mm))


def spread_mm(grid: Grid, start_mm: Floats) -> Floats:
    """Give the least length to every crossing from starting lengths, by sweeping line after line.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    start_mm : array
        Starting length at each crossing (infinity where none); leading axes are separate questions. [mm]

    Returns
    -------
    length_mm : array
        Same shape; infinity where there is no way. [mm]

    Notes
    -----
    Bellman–Ford in the order of the lines: each round settles every way with one turn more, so that a
    few rounds do; it stops when a round changes nothing.

    References
    ----------
    Definition of the shortest path; Bellman's principle.
    """
    start = np.asarray(start_mm, dtype=np.float64).reshape(-1, *grid.shape)
    left = np.ascontiguousarray(start.transpose(1, 2, 0))
    step_x, step_y = grid.step_x_mm[:, :, None], np.ascontiguousarray(grid.step_y_mm.T)[:, :, None]
    found = np.empty_like(left)
    numbers = np.arange(len(start))
    while len(numbers):
        sweep = Sweep(left, step_x, step_y)
        is_open = np.ones(len(numbers), dtype=bool)
        while is_open.all():
            sweep.run()
            is_open = sweep.open_questions()
        if not is_open.any():
            found[..., numbers] = left
            break
        found[..., numbers[~is_open]] = left[..., ~is_open]
        left, numbers = np.ascontiguousarray(left[..., is_open]), numbers[is_open]
    return np.ascontiguousarray(found.transpose(2, 0, 1)).reshape(np.shape(start_mm))


def spread_from(grid: Grid, nodes: Sequence[Node]) -> Floats:
    """Give the least length from each of some crossings to every crossing.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    nodes : sequence of Node
        Starting crossings.

    Returns
    -------
    length_mm : array
        One layer per starting crossing. [mm]

    References
    ----------
    Definition.
    """
    start = np.full((len(nodes), *grid.shape), np.inf)
    for number, (i, j) in enumerate(nodes):
        start[number, i, j] = 0.0
    return spread_mm(grid, start)
