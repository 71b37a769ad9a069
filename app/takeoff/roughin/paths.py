"""One shortest way on the grid, with the fewest turns, and the order in which devices are passed."""

import heapq
from collections.abc import Sequence
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from app.takeoff.roughin.grid import TIE_MM, Floats, Grid, Node

HOLE_WORTH_MM = 150.0  # of way beside other runs, for a hole spared; common practice, no source
Cost = tuple[float, int]  # length beside runs to be kept apart and holes for it, turns
NOTHING: Cost = (0.0, 0)
NEVER: Cost = (float("inf"), 0)
EXACT_STOPS = 9  # up to here the order is exact; beyond, improved step by step
MANY_STOPS = 16  # beyond, one start is tried instead of one from each device


def shortest_path(grid: Grid, start: Node, to_goal_mm: Floats) -> tuple[Node, ...]:
    """Give a shortest way from one crossing to the goal, among equals the one most apart, then straightest.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    start : Node
        Where to begin.
    to_goal_mm : array
        Least length from every crossing to the goal (which may be a whole tree). [mm]

    Returns
    -------
    path : tuple of Node
        Every crossing passed, from start to goal.

    Raises
    ------
    ValueError
        When there is no way.

    Notes
    -----
    Only steps that shorten what is left by their own length are taken, so that length comes first. Among
    equals the least length beside runs to be kept apart decides, a sleeper passed counting as 150 mm of
    it; then the fewest turns, then the lower crossing number.

    References
    ----------
    E. W. Dijkstra, A note on two problems in connexion with graphs, Numer. Math. 1 (1959).
    """
    if not np.isfinite(to_goal_mm[start]):
        raise ValueError(f"no way from crossing {start}")
    waiting: list[tuple[Cost, Node, int]] = [(NOTHING, start, -1)]
    came: dict[tuple[Node, int], tuple[Node, int] | None] = {(start, -1): None}
    cost_at: dict[tuple[Node, int], Cost] = {(start, -1): NOTHING}
    while waiting:
        so_far, node, way = heapq.heappop(waiting)
        if to_goal_mm[node] <= TIE_MM:
            return _walk_back(came, (node, way))
        if so_far > cost_at[node, way]:
            continue
        for other, direction, (busy, holes) in _onward(grid, node, to_goal_mm):
            turns = so_far[1] + (way not in (-1, direction))
            cost = (round(so_far[0] + busy + HOLE_WORTH_MM * holes, 3), turns)
            if cost < cost_at.get((other, direction), NEVER):
                cost_at[other, direction] = cost
                came[other, direction] = (node, way)
                heapq.heappush(waiting, (cost, other, direction))
    raise ValueError(f"no way from crossing {start}")


def _onward(grid: Grid, node: Node, to_goal_mm: Floats) -> list[tuple[Node, int, tuple[float, float]]]:
    """Give the crossings one step away that lie nearer to the goal by all of it: direction and burden too."""
    (i, j), (nx, ny) = node, grid.shape
    here, far, along, across = (
        to_goal_mm.item(i, j),
        to_goal_mm.item,
        grid.step_x_mm.item,
        grid.step_y_mm.item,
    )
    burden = grid.burden
    found: list[tuple[Node, int, tuple[float, float]]] = []
    if i > 0 and abs(far(i - 1, j) + along(i - 1, j) - here) <= TIE_MM:
        found.append(((i - 1, j), 0, burden(i - 1, j, is_x=True)))
    if i + 1 < nx and abs(far(i + 1, j) + along(i, j) - here) <= TIE_MM:
        found.append(((i + 1, j), 0, burden(i, j, is_x=True)))
    if j > 0 and abs(far(i, j - 1) + across(i, j - 1) - here) <= TIE_MM:
        found.append(((i, j - 1), 1, burden(i, j - 1, is_x=False)))
    if j + 1 < ny and abs(far(i, j + 1) + across(i, j) - here) <= TIE_MM:
        found.append(((i, j + 1), 1, burden(i, j, is_x=False)))
    return found


def _walk_back(
    came: dict[tuple[Node, int], tuple[Node, int] | None], end: tuple[Node, int]
) -> tuple[Node, ...]:
    """Give the crossings from the start to the end of a search."""
    path = []
    state: tuple[Node, int] | None = end
    while state is not None:
        path.append(state[0])
        state = came[state]
    return tuple(reversed(path))


def corners_mm(grid: Grid, path: Sequence[Node]) -> tuple[tuple[float, float], ...]:
    """Give the ends and turns of a way; a way of no length gives its place twice.

    Parameters
    ----------
    grid : Grid
        Where runs may lie.
    path : sequence of Node
        Every crossing passed.

    Returns
    -------
    corners_mm : tuple of tuple of float
        In turned axes. [mm]

    References
    ----------
    Definition.
    """
    kept = [path[0]]
    for before, here, after in zip(path, path[1:], path[2:], strict=False):
        if (before[0] == here[0]) != (here[0] == after[0]):
            kept.append(here)
    kept.append(path[-1])
    return tuple(grid.point_mm(node) for node in kept)


def _exact_order(length_mm: Floats, is_loop: bool) -> list[int]:
    """Give the best order by subsets (Held and Karp); stop 0 is the source."""
    stops = len(length_mm) - 1
    between = length_mm[1:, 1:]
    cost = np.full((1 << stops, stops), np.inf)
    last = np.full((1 << stops, stops), -1, dtype=np.int64)
    for stop in range(stops):
        cost[1 << stop, stop] = length_mm[0, stop + 1]
    for subset in range(1, 1 << stops):
        ways = cost[subset][:, None] + between
        best = ways.argmin(axis=0)
        for stop in range(stops):
            grown = subset | 1 << stop
            if grown != subset and ways[best[stop], stop] < cost[grown, stop] - TIE_MM:
                cost[grown, stop] = ways[best[stop], stop]
                last[grown, stop] = best[stop]
    subset = (1 << stops) - 1
    stop = int((cost[subset] + (length_mm[1:, 0] if is_loop else 0.0)).argmin())
    order = []
    while stop >= 0:
        order.append(stop + 1)
        subset, stop = subset & ~(1 << stop), int(last[subset, stop])
    return order[::-1]


def _total_mm(length_mm: Floats, order: Sequence[int], is_loop: bool) -> float:
    """Give the length of one order."""
    stops = [0, *order, 0] if is_loop else [0, *order]
    return float(sum(length_mm[a, b] for a, b in pairwise(stops)))


def _nearest_next(length_mm: Floats, first: int = 0) -> list[int]:
    """Give the order that always goes to the nearest device left, after a first one if it is given."""
    left = [stop for stop in range(1, len(length_mm)) if stop != first]
    order = [first] if first else []
    while left:
        here = order[-1] if order else 0
        following = min(left, key=lambda stop: (round(float(length_mm[here, stop]), 3), stop))
        order.append(following)
        left.remove(following)
    return order


@cache
def _changes(size: int) -> NDArray[np.int16]:
    """Give every order of places with one stretch turned round, or one to three moved elsewhere."""
    places = list(range(size))
    changed = [
        places[:i] + places[i:j][::-1] + places[j:] for i in range(size) for j in range(i + 2, size + 1)
    ]
    for count in (1, 2, 3):
        for i in range(size - count + 1):
            rest = places[:i] + places[i + count :]
            changed += [rest[:j] + places[i : i + count] + rest[j:] for j in range(len(rest) + 1) if j != i]
    return np.array(changed, dtype=np.int16)


def _improved(length_mm: Floats, first: list[int], is_loop: bool) -> list[int]:
    """Give an order that none of the changes shortens."""
    order = np.array(first)
    while True:
        tried = order[_changes(len(order))]
        totals = length_mm[0, tried[:, 0]] + length_mm[tried[:, :-1], tried[:, 1:]].sum(axis=1)
        if is_loop:
            totals += length_mm[tried[:, -1], 0]
        best = int(totals.argmin())
        if totals[best] >= _total_mm(length_mm, order.tolist(), is_loop) - TIE_MM:
            return [int(stop) for stop in order]
        order = tried[best]


def passing_order(length_mm: Floats, is_loop: bool) -> tuple[int, ...]:
    """Give the order in which one cable passes all devices.

    Parameters
    ----------
    length_mm : array
        Between all places; place 0 is the source. [mm]
    is_loop : bool
        Whether the cable comes back to the source.

    Returns
    -------
    order : tuple of int
        Numbers of the devices, from 1.

    Notes
    -----
    Exact up to nine devices; beyond, nearest next from each device, then stretches turned round and short
    stretches moved until nothing is shorter.

    References
    ----------
    M. Held and R. M. Karp, J. SIAM 10 (1962); G. A. Croes, Oper. Res. 6 (1958) for the turned stretches.
    """
    stops = len(length_mm) - 1
    if stops <= 1:
        return tuple(range(1, stops + 1))
    if stops <= EXACT_STOPS:
        return tuple(_exact_order(length_mm, is_loop))
    firsts = range(stops + 1) if stops <= MANY_STOPS else (0,)
    tried = [_improved(length_mm, _nearest_next(length_mm, first), is_loop) for first in firsts]
    best = min(tried, key=lambda order: (round(_total_mm(length_mm, order, is_loop), 3), order))
    return tuple(best)
